package role

import (
	"platewright/support"
	"platewright/support/mesh"
)

// Part is one part of a build, where its file has it.
type Part struct {
	Name  string
	Mesh  *mesh.Mesh
	Count int           // how many the build needs, of which Mesh is one; 0 counts as 1
	Hint  *support.Role // the role of all its facets, if a person has said so
}

// Settings steer Classify. The zero value of each field means its default.
type Settings struct {
	// Clearance is how far apart, or how deep in each other, faces that meet
	// may lie. Unit: mm; default 0.6, a loose fit and some.
	Clearance float64
	// Wall is the thickest wall of a shell. What has more material behind it
	// has no other side. Unit: mm; default 8.
	Wall float64
}

func (s Settings) withDefaults() Settings {
	if s.Clearance == 0 {
		s.Clearance = 0.6
	}
	if s.Wall == 0 {
		s.Wall = 8
	}
	return s
}

// Assembly is what the parts of a build are to each other and what each of
// their facets is for.
type Assembly struct {
	Roles    [][]support.Role // one a part, of one a facet
	Meetings []Meeting        // in the order of parts
	Clashes  [][2]int         // pairs of parts that lie inside each other, in order
	// Alone tells, for each part, that it meets no other and was judged by its
	// own shape. Together says that some parts are not alone.
	Alone    []bool
	Together bool
	Twins    []Twin     // in the order of their first parts
	Unpaired []Unpaired // in the order of parts
	Odd      []Odd      // in the order of parts
	Notes    []Note
}

// Classify works out the roles of all facets, and what the parts are to each
// other.
//
// A facet is a joint if other parts cover half of it or more; so are pockets in
// such faces, as sockets are whose pegs are not in the folder, and on parts that
// meet no other flat cut faces. Of the rest a facet is hidden if next to
// no light reaches it with the other parts in the way, or if it is of the
// inner skin of a shell. All else shows. The light is let in from all around,
// as a prop can be turned in the hand. A facet is judged whole: of a large one
// that is one thing here and another there, the larger half decides.
//
// Where parts lie inside each other they do not meet, whatever touches by
// chance, and do not stand in each other's light.
//
// Laws: (1) same parts and settings, same answer; (2) turning and shifting all
// parts together changes no meeting and hardly a role; (3) a hint wins.
// Cost: O(n log n + axes·(n + cells)) for n facets in all, and some 100 bytes a
// facet besides the meshes.
func Classify(parts []Part, s Settings) Assembly {
	s = s.withDefaults()
	trees := make([]*tree, len(parts))
	for i, p := range parts {
		trees[i] = newTree(p.Mesh)
	}
	var a Assembly
	var covers []cover
	covers, a.Meetings, a.Clashes = meet(trees, s.Clearance)
	a.findAlone(len(parts))
	a.Odd = oddOnes(trees, a.Alone, s.Clearance)
	judges := judged(trees, covers, scenesOf(len(parts), a.Meetings, a.Clashes, a.Odd), s)
	for i, p := range parts {
		a.Roles = append(a.Roles, hinted(judges[i].roles, p.Hint))
	}
	a.Twins = twins(parts)
	a.Unpaired = unpaired(parts, a.Alone, a.Twins)
	a.Notes = notes(parts, a)
	return a
}

func (a *Assembly) findAlone(parts int) {
	a.Together = len(a.Meetings) > 0
	a.Alone = make([]bool, parts)
	for i := range a.Alone {
		a.Alone[i] = true
	}
	for _, m := range a.Meetings {
		a.Alone[m.A], a.Alone[m.B] = false, false
	}
}

// hinted returns the roles, or the hint for all of them.
func hinted(roles []support.Role, hint *support.Role) []support.Role {
	if hint != nil {
		for f := range roles {
			roles[f] = *hint
		}
	}
	return roles
}
