package worker

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/worker/joblist"
)

// NoteWrongSize is the code of the one note on sizes that a folder may get.
const NoteWrongSize = "wrong size"

// Sizes, in mm, that make a person look twice. Common practice, no source: a
// part of a large prop is centimetres across at least, and no desktop printer
// takes a metre and a half.
const (
	tiny = 15.0   // whole folder smaller: perhaps inches
	dust = 3.0    // whole folder smaller: perhaps metres
	huge = 1500.0 // whole folder larger: perhaps shrunk one time too few
)

// Factors between the units that files are drawn in.
const (
	inch  = 25.4
	metre = 1000.0
)

// sizeNote returns the folder's note on wrong sizes, if it deserves one. It
// looks at the parts as they would be printed, changes nothing, and says what
// to write into the build file.
func sizeNote(parts []*part) (joblist.Note, bool) {
	var sound []*part
	for _, p := range parts {
		if p.err == nil {
			sound = append(sound, p)
		}
	}
	if len(sound) == 0 {
		return joblist.Note{}, false
	}
	if text := wholeFolder(sound); text != "" {
		return joblist.Note{Code: NoteWrongSize, Text: text}, true
	}
	for _, p := range sound {
		if text := oddOne(p, sound); text != "" {
			return joblist.Note{Code: NoteWrongSize, Text: text}, true
		}
	}
	return joblist.Note{}, false
}

// wholeFolder judges the folder by its largest part: a prop has small parts
// too, but not only.
func wholeFolder(parts []*part) string {
	largest := slices.MaxFunc(parts, func(a, b *part) int { return compareSize(a, b) })
	size := longest(largest.body.size)
	switch {
	case size < dust:
		return fmt.Sprintf("the largest part, %s, is only %.3g mm long; if the files are drawn in metres it is %.4g mm (write unit = \"m\" into build.toml), if in inches %.3g mm (unit = \"in\")",
			largest.file, size, size*metre, size*inch)
	case size < tiny:
		return fmt.Sprintf("the largest part, %s, is only %.3g mm long; if the files are drawn in inches it is %.4g mm (write unit = \"in\" into build.toml)",
			largest.file, size, size*inch)
	case size > huge:
		return fmt.Sprintf("the largest part, %s, is %.5g mm long; if the files were made %g times too large write scale = %g into build.toml, if they were converted from inches twice, scale = %.6f",
			largest.file, size, metre, 1/metre, 1/inch)
	}
	return ""
}

// oddOne tells of a part that is out of scale with the others: too small to be
// meant or, where the parts share one frame, small and in a place that would be
// among the others if it were drawn in inches.
func oddOne(p *part, all []*part) string {
	var others []*part
	for _, o := range all {
		if o != p {
			others = append(others, o)
		}
	}
	if len(others) < 2 {
		return ""
	}
	sizes := make([]float64, len(others))
	for i, o := range others {
		sizes[i] = longest(o.body.size)
	}
	slices.Sort(sizes)
	least, most, size := sizes[0], sizes[len(sizes)-1], longest(p.body.size)
	factor, unit := 0.0, ""
	switch {
	case size < dust && size*metre >= least/2 && size*metre <= 2*most:
		factor, unit = metre, "m"
	case size < most/5 && size*inch >= least/2 && size*inch <= 2*most && oneFrame(others) && meets(p, others, inch):
		factor, unit = inch, "in"
	default:
		return ""
	}
	return fmt.Sprintf("%s is only %.3g mm long among parts of %.4g to %.4g mm; %g times as large it would be %.4g mm (if so write unit = %q under [part.%q] into build.toml)",
		p.file, size, least, most, factor, size*factor, unit, p.file)
}

// oneFrame reports whether the parts keep their places in the prop: most of
// them then lie beside the origin, not about it.
func oneFrame(parts []*part) bool {
	beside := 0
	for _, p := range parts {
		box := p.mesh.Bounds()
		if r3.Norm(r3.Scale(0.5, r3.Add(box.Min, box.Max))) > longest(p.body.size)/2 {
			beside++
		}
	}
	return 2*beside > len(parts)
}

// meets reports whether a part's box, scaled about the origin, comes within a
// clearance of the box of any of the others.
func meets(p *part, others []*part, k float64) bool {
	a := p.mesh.Bounds()
	const clearance = 1.0 // mm
	reach := r3.Vec{X: clearance, Y: clearance, Z: clearance}
	low, high := r3.Sub(r3.Scale(k, a.Min), reach), r3.Add(r3.Scale(k, a.Max), reach)
	return slices.ContainsFunc(others, func(o *part) bool {
		b := o.mesh.Bounds()
		return low.X <= b.Max.X && high.X >= b.Min.X && low.Y <= b.Max.Y && high.Y >= b.Min.Y &&
			low.Z <= b.Max.Z && high.Z >= b.Min.Z
	})
}

func longest(v r3.Vec) float64 { return math.Max(v.X, math.Max(v.Y, v.Z)) }

func compareSize(a, b *part) int {
	switch x, y := longest(a.body.size), longest(b.body.size); {
	case x < y:
		return -1
	case x > y:
		return 1
	}
	return 0
}
