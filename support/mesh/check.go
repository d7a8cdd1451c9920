package mesh

import (
	"cmp"

	"gonum.org/v1/gonum/spatial/r3"
)

// Findings tells what is remarkable about a mesh as it stands.
type Findings struct {
	Edges    EdgeCount
	FirstBad r3.Vec // mm, middle of the first open, flipped or unbalanced edge
	Shells   int
	Flakes   int      // closed shells that enclose nothing
	Hollows  int      // closed shells that face in, inside a solid
	FacingIn int      // closed shells that face in with no solid around them
	Nested   int      // closed shells that face out, inside a solid
	Lumps    int      // bodies that do not hang together; 0 if Contacts is Partial
	Contacts Contacts // how the shells lie to each other
}

// Check looks a mesh over. It changes nothing; Mend first.
//
// Shells that cross, touch or share their inside are one lump, and so are a
// body and its hollows; a body loose in a hollow is a lump of its own.
//
// Cost: that of Topology.Contacts.
func Check(m *Mesh) Findings {
	t := NewTopology(m)
	return check(t, t.Contacts())
}

func check(t *Topology, contacts Contacts) Findings {
	m, measures := t.mesh, t.MeasureShells()
	out := Findings{Edges: t.Edges(), Shells: t.NumShells(), Contacts: contacts}
	for _, e := range t.bad {
		if e.kind != edgeBalanced {
			a, b := m.start(e.half), m.start(nextHalf(e.half))
			out.FirstBad = r3.Scale(0.5, r3.Add(m.vertices[a], m.vertices[b]))
			break
		}
	}
	n := newNesting(measures, out.Contacts)
	for i := range measures {
		switch s := ShellID(i); {
		case t.shells[s].Closed && n.sign[s] == 0:
			out.Flakes++
		case n.sign[s] < 0 && n.around(s) > 0:
			out.Hollows++
		case n.sign[s] < 0:
			out.FacingIn++
		case n.sign[s] > 0 && n.around(s) > 0:
			out.Nested++
		}
	}
	if !out.Contacts.Partial {
		out.Lumps = n.lumps(out.Contacts)
	}
	return out
}

// lumps counts the bodies that do not hang together.
func (n *nesting) lumps(c Contacts) int {
	joined := newSets(len(n.sign))
	for _, list := range [][][2]ShellID{c.Crossing, c.Touching} {
		for _, p := range list {
			joined.join(int32(p[0]), int32(p[1]))
		}
	}
	for s, outer := range n.outer {
		if n.around(ShellID(s)) > 0 {
			joined.join(int32(s), int32(n.innermost(outer)))
		}
	}
	lumps := 0
	for s := range joined {
		if joined.root(int32(s)) == int32(s) {
			lumps++
		}
	}
	return lumps
}

// innermost returns the smallest of the shells around another, of equals the
// lowest.
func (n *nesting) innermost(outer []ShellID) ShellID {
	best := outer[0]
	for _, o := range outer[1:] {
		if cmp.Or(cmp.Compare(n.size[o], n.size[best]), cmp.Compare(o, best)) < 0 {
			best = o
		}
	}
	return best
}

// Report is the whole story of a mesh built from a file.
type Report struct {
	Weld WeldReport
	Mend MendReport
	Findings
}

// Build makes a mesh out of loose triangles: welded with WeldTolerance, mended
// and checked. An indexed mesh from a file goes the same way by its Triangles,
// since such files repeat corners too.
//
// Errors: as Weld.
func Build(soup []Triangle) (*Mesh, Report, error) {
	m, weld, err := Weld(soup, WeldTolerance)
	if err != nil {
		return nil, Report{Weld: weld}, err
	}
	mender := newMender(m)
	m, mend := mender.mend()
	t, contacts := mender.topology, mender.contacts
	if t.mesh != m { // else the comparison of shells need not be done again
		t, contacts = NewTopology(m), nil
	}
	if contacts == nil {
		c := t.Contacts()
		contacts = &c
	}
	return m, Report{weld, mend, check(t, *contacts)}, nil
}
