package nights

import (
	"slices"
	"time"
)

// Group is a sub-assembly, by the names that Plate.Parts uses.
type Group struct {
	Name  string
	Parts []string
}

// Done says when a sub-assembly is complete.
type Done struct {
	Name    string
	At      time.Time // when the last plate that holds one of its parts ends; the zero time when none does
	Missing []string  // parts on a plate that is not planned, or on none, in the order of the group
}

// Complete returns when each group is complete, in the order of the groups. A
// part on several plates is complete when all of them have ended.
func Complete(p Problem, s Schedule, groups []Group) []Done {
	ends := map[string]time.Time{}
	left := map[string]bool{}
	planned := make([]bool, len(p.Plates))
	for _, one := range s.Starts {
		planned[one.Plate] = true
		for _, part := range p.Plates[one.Plate].Parts {
			ends[part] = later(one.End, ends[part])
		}
	}
	for i, plate := range p.Plates {
		for _, part := range plate.Parts {
			left[part] = left[part] || !planned[i]
		}
	}
	var out []Done
	for _, g := range groups {
		d := Done{Name: g.Name}
		for _, part := range g.Parts {
			end, known := ends[part]
			if (!known || left[part]) && !slices.Contains(d.Missing, part) {
				d.Missing = append(d.Missing, part)
			}
			d.At = later(end, d.At)
		}
		out = append(out, d)
	}
	return out
}
