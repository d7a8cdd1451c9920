package partfile

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// total is what placing an object once brings with it. It is counted before
// anything is placed, since a few nested components can stand for billions.
type total struct {
	facets    int
	instances int
	depth     int
}

type countState int

const (
	notCounted countState = iota
	counting
	counted
)

// maxTotal keeps sums of sums from overflowing; every limit is below it.
const maxTotal = math.MaxInt32

// count returns what placing an object brings.
//
// Errors: ErrIndex for an object that does not exist, ErrCycle, ErrTooLarge
// for components nested too deep.
func (m *modelReader) count(id uint32, depth int) (total, error) {
	o := m.objects[id]
	switch {
	case o == nil:
		return total{}, &Error{Err: ErrIndex, Place: m.name, Value: fmt.Sprintf("object %d", id), Hint: "export the part again"}
	case o.state == counting:
		return total{}, &Error{Err: ErrCycle, Place: m.name, Value: fmt.Sprintf("object %d holds itself", id), Hint: "export the part again"}
	case depth > m.limits.Depth || o.state == counted && depth+o.total.depth > m.limits.Depth:
		return total{}, &Error{Err: ErrTooLarge, Place: m.name, Value: fmt.Sprintf("components more than %d deep", m.limits.Depth)}
	case o.state == counted:
		return o.total, nil
	}
	o.state = counting
	sum := total{facets: len(o.faces), instances: 1}
	for _, c := range o.components {
		inner, err := m.count(c.object, depth+1)
		if err != nil {
			return total{}, err
		}
		sum.facets = min(sum.facets+inner.facets, maxTotal)
		sum.instances = min(sum.instances+inner.instances, maxTotal)
		sum.depth = max(sum.depth, inner.depth+1)
	}
	o.total, o.state = sum, counted
	return sum, nil
}

// part places all build items.
func (m *modelReader) part() (Part, error) {
	var sum total
	for _, item := range m.items {
		t, err := m.count(item.object, 0)
		if err != nil {
			return Part{}, err
		}
		sum.facets = min(sum.facets+t.facets, maxTotal)
		sum.instances = min(sum.instances+t.instances, maxTotal)
	}
	if sum.facets > m.limits.Facets {
		return Part{}, tooLarge("facets", sum.facets, m.limits.Facets)
	}
	if sum.instances > m.limits.Instances {
		return Part{}, tooLarge("placed objects", sum.instances, m.limits.Instances)
	}
	p := &placer{model: m, out: make([]mesh.Triangle, 0, sum.facets)}
	for _, item := range m.items {
		if err := p.item(item); err != nil {
			return Part{}, err
		}
	}
	if len(p.out) == 0 {
		return Part{}, &Error{Err: ErrEmpty, Place: m.name, Value: p.emptyBecause(), Hint: "export the part again"}
	}
	part := Part{Triangles: p.out, Items: p.items, InMillimetres: true, Notes: p.notes()}
	if p.items == 1 {
		part.Name = p.itemName
	}
	return part, nil
}

// placer writes out the facets of placed objects.
type placer struct {
	model    *modelReader
	out      []mesh.Triangle
	items    int    // build items that are part of the part
	itemName string // of the last of them
	support  int    // support objects left out
	surfaces int
	mirrored int
}

func (p *placer) item(item placement) error {
	if o := p.model.objects[item.object]; !isSupport(o) {
		p.items++
		p.itemName = o.name
	}
	return p.place(item.object, item.by)
}

func isSupport(o *object) bool { return o.kind == "support" || o.kind == "solidsupport" }

// place adds the facets of an object and of what it is composed of. Support
// that the file brings along is no part geometry: it is planned anew.
func (p *placer) place(id uint32, by affine) error {
	o := p.model.objects[id]
	switch {
	case o.kind == "other":
		return &Error{
			Err:   ErrFormat,
			Place: p.model.name,
			Value: fmt.Sprintf("object %d, built, is of type other", id),
			Hint:  "3MF allows only model, surface and support to be built: export the part again",
		}
	case isSupport(o):
		p.support++
		return nil
	case o.kind == "surface":
		p.surfaces++
	}
	if len(o.faces) > 0 {
		if err := p.facets(id, o, by); err != nil {
			return err
		}
	}
	for _, c := range o.components {
		if err := p.place(c.object, c.by.then(by)); err != nil {
			return err
		}
	}
	return nil
}

func (p *placer) facets(id uint32, o *object, by affine) error {
	mirrors := by.volume() < 0
	if mirrors {
		p.mirrored++
	}
	for i, f := range o.faces {
		var t mesh.Triangle
		for k, v := range f {
			t[k] = r3.Scale(p.model.toMM, by.apply(o.vertices[v]))
			if !usable(t[k]) {
				return &Error{
					Err:   ErrNotFinite,
					Place: fmt.Sprintf("%s object %d facet %d", p.model.name, id, i+1),
					Value: fmt.Sprintf("placed at %v", t[k]),
					Hint:  "export the part again",
				}
			}
		}
		if mirrors {
			t[1], t[2] = t[2], t[1]
		}
		p.out = append(p.out, t)
	}
	return nil
}

func (p *placer) emptyBecause() string {
	switch {
	case len(p.model.items) == 0:
		return "no build items"
	case p.support > 0:
		return "nothing but support"
	}
	return "objects without facets"
}

func (p *placer) notes() []Note {
	var notes []Note
	add := func(n int, code, text string) {
		if n > 0 {
			notes = append(notes, Note{code, fmt.Sprintf(text, n)})
		}
	}
	if p.items > 1 {
		notes = append(notes, several(p.items, "build items"))
	}
	add(p.support, NoteSupport, "%d support objects of the file were left out; support is planned anew")
	add(p.surfaces, NoteSurface, "%d objects are declared as open surfaces, not solids")
	add(p.mirrored, NoteMirrored, "%d objects are placed mirrored; their facets were turned to face outwards")
	add(p.model.repeated, NoteRepeated, "%d facets name a corner twice")
	if p.model.material {
		notes = append(notes, Note{NoteMaterial, "colours and materials were left out; only the shape was read"})
	}
	if len(p.model.extensions) > 0 {
		names := make([]string, len(p.model.extensions))
		for i, namespace := range p.model.extensions {
			names[i] = quoted(namespace)
		}
		notes = append(notes, Note{NoteExtension, "content of other namespaces was left out: " + strings.Join(names, ", ")})
	}
	return notes
}
