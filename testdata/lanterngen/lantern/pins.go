package lantern

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// joiningPin fits four places between head and middle; the file holds it at
// the first of them. Its ends are turned conical so that it finds its socket.
func joiningPin() *recipe {
	f := pinAt(0, axisX)
	half := pinLength - clearance
	box := f.box(-5, 5, -5, 5, -half, half)
	r := newRecipe("joining-pin_x4", box, 0.25, 600)
	ends := r.curved(func(p r3.Vec) float64 {
		u, v, w := f.coordinates(p)
		return (math.Sqrt(u*u+v*v) + math.Abs(w) - half - 2) / math.Sqrt2
	}, Joint, Joint)
	faces := append(r.hexagon(f, pegFlats, Joint), r.between(f, f.w, -half, half, Joint, Joint)...)
	r.add(box, append(faces, ends)...)
	for i := 1; i < 4; i++ {
		r.shifts = append(r.shifts, r3.Sub(pinAt(i, axisX).at, f.at))
	}
	return r
}

// recipes lists all parts in the order of their files.
func recipes() []*recipe {
	list := []*recipe{
		headUpper(), headLower(), middleUpper(), middleLower(), backLeft(), backRight(),
	}
	for i := range 4 {
		list = append(list, crest(i).recipe())
	}
	return append(list,
		sideFin(left).recipe(), sideFin(right).recipe(), tailFin().recipe(),
		eyeRing("eye-ring-left", left), eyeRing("eye-ring-right", right),
		lureStalk(), lureBulb(), joiningPin())
}
