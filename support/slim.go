package support

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// End says how a slim feature ends, above or below. The zero End is Free.
type End uint8

// The ends of a slim feature.
const (
	Free    End = iota // in the air
	Joined             // in more of the part
	OnPlate            // on the plate
)

// String returns the end's name.
func (e End) String() string { return [...]string{"free", "joined", "on plate"}[e] }

// Slim is a slim feature that stands across the layers: a peg, a fin, a stalk, a
// neck. Its figures are those of a section about half-way up.
type Slim struct {
	Bottom, Top float64 // heights over the plate, mm
	// Thickness is the least distance of two parallel lines that hold the
	// section between them, and Breadth its extent along those lines: a pipe is
	// as thick as it is outside, and a curved fin thicker than its wall. mm.
	Thickness, Breadth float64
	Area               float64 // of the section, holes taken off, mm²
	Hollow             bool    // the section has a hole
	Middle             r3.Vec  // of the section; Pose.Back takes it to the file frame
	// Below and Above tell how it ends or, where slim sections go on without
	// being slender, how those end: free above, a peg sticks up; free below, it
	// hangs; joined at both, it is a column or a neck.
	Below, Above End
}

// Height returns how high the feature is. Unit: mm.
func (f Slim) Height() float64 { return f.Top - f.Bottom }

// Slenderness returns how many times as high as thick the feature is.
func (f Slim) Slenderness() float64 { return f.Height() / f.Thickness }

// slimStep is the greatest distance of the sections, in mm: three of them find
// what is half a millimetre thick and slender.
const slimStep = 0.5

// slimSections is the least number of sections that show a feature.
const slimSections = 3

// Slim lists the slim features of a standing body that its layers lie across,
// from the plate up. Bent there, a feature comes apart between two layers, where
// a print keeps AcrossLayers of its strength; the same feature lying down is not
// listed, as layers run along it.
//
// A stretch is a pile of islands, one of each section, each over the next. In a
// slender one all are at most Thick thick, it is at least Slender times as high
// as the thickest of them, and it leans by less than 45°. That is where layers
// cease to be the weak place: a pull p along a feature that leans by a pulls its
// layers apart by p·cos²a, less than AcrossLayers·p from 45° on (shear between
// layers left out). By what a section is longer than thick the stretch may lean
// further: a fin swept back in its own plane stands upright.
//
// A feature is what the slender stretches of a pile make up, together with those
// of piles that go over into it and stand in the same plane: the sides of a hole
// in a fin, the teeth of a comb. Where an island divides, its pile goes on in
// the part that lies over most of it. A wall is no feature: joined below and
// above, and broader than high.
//
// A ring, as of a dome or of a wide pipe, is as thick as all it encloses, and
// shells that overlap or touch are one. Ends are known to half of slimStep, on
// the plate and at the part's top exactly. What is thinner than islandLine may
// be missed. In an open mesh, outlines that do not close are left out.
//
// Laws: (1) Height ≥ Slender·Thickness and Thickness ≤ Thick, for features of
// one pile; (2) turning the body about z moves the middles and changes nothing
// else; (3) standing it on its head swaps the ends.
// Cost: O(facets + n log n) for n cuts through facets and crossings of lines
// islandLine apart; a fifth of a second for a dome of 100,000 facets.
func (w Worries) Slim(b Body) []Slim {
	height := b.Mesh.Bounds().Max.Z
	if !(height > 0) {
		return nil
	}
	n := max(1, int(math.Ceil(height/slimStep*(1-worrySlack))))
	step := height / float64(n)
	middles := make([]float64, n)
	for k := range middles {
		middles[k] = (float64(k) + 0.5) * step
	}
	p := piles{worries: w, step: step}
	eachSlice(b.Mesh, middles, func(_ int, slice []chord) {
		p.add(islandsOf(slice, b.Shells > 1))
	})
	return p.features()
}
