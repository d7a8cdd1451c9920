package mesh

import (
	"cmp"
	"math"
	"slices"
)

// MendReport tells what Mend did and what it left.
type MendReport struct {
	Flipped int // facets reversed to agree with the rest of their shell
	Turned  int // shells reversed whole, because they were inside out
	// Twisted patches have no two sides, like a Möbius strip; they are left.
	Twisted int
	// Undecided shells enclose a negative volume but cross another shell, so
	// whether they are solids inside out or hollows cannot be told.
	Undecided int
}

// Mend returns the mesh with its facets facing out, as far as that is certain:
//
//  1. Facets that meet at an edge of two are made to agree; of the two ways to
//     do so, the one that keeps more area as it is.
//  2. A closed shell of negative volume is turned round, unless it is a hollow:
//     inside a shell that makes its surroundings solid. When all shells nested
//     in it face the wrong way as well, they turn with it.
//
// Nothing else is changed: no corner moves, no facet is added, dropped or
// renumbered. A mesh without faults is returned as it is.
//
// Laws: (1) Mend of a mended mesh changes nothing; (2) mending a closed mesh
// after flipping facets of it gives the mesh back, if less than half of each
// shell's area was flipped.
// Cost: O(n log n).
func Mend(m *Mesh) (*Mesh, MendReport) { return newMender(m).mend() }

// mender holds what mending finds out, which Build goes on to use.
type mender struct {
	mesh     *Mesh
	reverse  []bool    // facets to reverse, by FaceID
	topology *Topology // of the mesh, or of the mesh with all facets agreeing
	contacts *Contacts // of the shells; nil until needed
}

func newMender(m *Mesh) *mender {
	return &mender{mesh: m, reverse: make([]bool, m.NumFaces()), topology: NewTopology(m)}
}

func (d *mender) mend() (*Mesh, MendReport) {
	var report MendReport
	if d.topology.edges.Flipped > 0 {
		report.Twisted = d.agree()
		d.topology = NewTopology(d.mesh.reversed(d.reverse))
	}
	turn := make([]bool, d.topology.NumShells())
	report.Undecided = d.chooseTurns(turn)
	for f := range d.reverse {
		if turn[d.topology.shell[f]] {
			d.reverse[f] = !d.reverse[f]
		}
	}
	report.count(d.topology, d.reverse)
	if report.Flipped == 0 && report.Turned == 0 {
		return d.mesh, report
	}
	return d.mesh.reversed(d.reverse), report
}

// count tells shells that were reversed whole from single facets.
func (r *MendReport) count(t *Topology, reverse []bool) {
	reversed := make([]int, t.NumShells())
	for f, is := range reverse {
		if is {
			reversed[t.shell[f]]++
		}
	}
	for s, n := range reversed {
		if n == t.shells[s].Faces {
			r.Turned++
		} else {
			r.Flipped += n
		}
	}
}

// reversed returns the mesh with some facets turned over.
func (m *Mesh) reversed(reverse []bool) *Mesh {
	out := &Mesh{
		vertices: m.vertices,
		faces:    slices.Clone(m.faces),
		normals:  slices.Clone(m.normals),
		areas:    m.areas,
		bounds:   m.bounds,
	}
	for f, is := range reverse {
		if is {
			out.faces[f][1], out.faces[f][2] = out.faces[f][2], out.faces[f][1]
			n := &out.normals[f]
			n.X, n.Y, n.Z = 0-n.X, 0-n.Y, 0-n.Z
		}
	}
	return out
}

// agree marks the facets to reverse so that all facets of a patch, connected
// over edges of two facets, agree. It returns the number of patches for which
// there is no way.
func (d *mender) agree() (twisted int) {
	seen := make([]bool, len(d.reverse))
	var patch []FaceID
	for f := range seen {
		if seen[f] {
			continue
		}
		var ok bool
		if patch, ok = d.spread(FaceID(f), patch[:0], seen); ok {
			d.keepMore(patch)
			continue
		}
		twisted++
		for _, g := range patch {
			d.reverse[g] = false
		}
	}
	return twisted
}

// keepMore takes the other way to make a patch agree if that keeps more area
// as it is.
func (d *mender) keepMore(patch []FaceID) {
	var kept, changed float64
	for _, g := range patch {
		if d.reverse[g] {
			changed += d.mesh.areas[g]
		} else {
			kept += d.mesh.areas[g]
		}
	}
	if changed <= kept {
		return
	}
	for _, g := range patch {
		d.reverse[g] = !d.reverse[g]
	}
}

// spread goes from facet to facet over edges of two, breadth first, marking
// those to reverse so that they agree with the first. It returns the facets
// reached, and false when they cannot agree.
func (d *mender) spread(first FaceID, patch []FaceID, seen []bool) ([]FaceID, bool) {
	t, ok := d.topology, true
	seen[first] = true
	patch = append(patch, first)
	for i := 0; i < len(patch); i++ {
		f := patch[i]
		for k := range 3 {
			half := int32(3*int(f) + k)
			mate := t.mates[half]
			if mate < 0 {
				continue
			}
			g := FaceID(mate / 3)
			sameWay := t.mesh.start(half) == t.mesh.start(mate)
			want := d.reverse[f] != sameWay
			if !seen[g] {
				seen[g] = true
				d.reverse[g] = want
				patch = append(patch, g)
			} else if d.reverse[g] != want {
				ok = false
			}
		}
	}
	return patch, ok
}

// chooseTurns marks the closed shells to turn round and returns the number of
// those it cannot decide on.
func (d *mender) chooseTurns(turn []bool) (undecided int) {
	measures := d.topology.MeasureShells()
	var negative []ShellID
	for s := range measures {
		if measures[s].Volume < 0 {
			negative = append(negative, ShellID(s))
		}
	}
	if len(negative) == 0 {
		return 0
	}
	contacts := d.topology.Contacts()
	d.contacts = &contacts
	n := newNesting(measures, contacts)
	// From the outside in, so that what surrounds a shell is settled first.
	slices.SortFunc(negative, func(a, b ShellID) int {
		return cmp.Or(cmp.Compare(measures[a].Volume, measures[b].Volume), cmp.Compare(a, b))
	})
	for _, s := range negative {
		switch {
		case !n.facesIn(s) || n.around(s) > 0:
			// Turned already with what it is in, or a hollow in a solid.
		case n.crosses[s]:
			undecided++
		case len(n.outer[s]) == 0 && n.invertedThroughout(s):
			for _, inner := range n.inner[s] {
				n.turn(inner, turn)
			}
			n.turn(s, turn)
		default:
			n.turn(s, turn)
		}
	}
	return undecided
}

// nesting knows which closed shells are inside which.
type nesting struct {
	sign         []int // 1 faces out, −1 in, 0 not a solid
	size         []float64
	outer, inner [][]ShellID // what is around a shell, what is in it
	crosses      []bool
}

func newNesting(measures []Measures, c Contacts) *nesting {
	k := len(measures)
	n := &nesting{make([]int, k), make([]float64, k), make([][]ShellID, k), make([][]ShellID, k), make([]bool, k)}
	for s, m := range measures {
		n.size[s] = math.Abs(m.Volume)
		n.sign[s] = cmp.Compare(m.Volume, 0)
	}
	for _, p := range c.Inside {
		n.outer[p[0]] = append(n.outer[p[0]], p[1])
		n.inner[p[1]] = append(n.inner[p[1]], p[0])
	}
	for _, p := range c.Crossing {
		n.crosses[p[0]], n.crosses[p[1]] = true, true
	}
	return n
}

func (n *nesting) facesIn(s ShellID) bool { return n.sign[s] < 0 }

func (n *nesting) turn(s ShellID, turn []bool) {
	turn[s] = !turn[s]
	n.sign[s] = -n.sign[s]
}

// around returns how many times the place just outside a shell is solid.
func (n *nesting) around(s ShellID) int {
	sum := 0
	for _, o := range n.outer[s] {
		sum += n.sign[o]
	}
	return sum
}

// invertedThroughout says whether all shells inside an outermost shell face
// the wrong way: in where they should face out, out where they should face in.
func (n *nesting) invertedThroughout(s ShellID) bool {
	for _, i := range n.inner[s] {
		if n.crosses[i] || (n.sign[i] < 0) != (len(n.outer[i])%2 == 0) {
			return false
		}
	}
	return true
}
