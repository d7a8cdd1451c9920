package partfile

import (
	"encoding/xml"
	"fmt"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"
)

// mesh reads the mesh of an object and checks that its facets name corners
// that exist.
func (m *modelReader) mesh(id uint32, o *object) error {
	err := m.children(func(e xml.StartElement) error {
		if e.Name.Space != coreNS {
			return m.skip()
		}
		switch e.Name.Local {
		case "vertices":
			return m.list(e, "vertex", func(e xml.StartElement) error { return m.vertex(o, e) })
		case "triangles":
			return m.list(e, "triangle", func(e xml.StartElement) error { return m.triangle(o, e) })
		}
		return m.skip()
	})
	if err != nil {
		return err
	}
	for i, f := range o.faces {
		for _, v := range f {
			if int(v) >= len(o.vertices) {
				return &Error{
					Err:   ErrIndex,
					Place: fmt.Sprintf("%s object %d facet %d", m.name, id, i+1),
					Value: fmt.Sprintf("vertex %d of %d, counted from 0", v, len(o.vertices)),
					Hint:  "export the part again",
				}
			}
		}
	}
	return nil
}

// list reads the children of vertices or triangles. The core schema gives the
// two no attributes, not even of other namespaces: a must-fail sample of the
// consortium is one with such an attribute.
func (m *modelReader) list(e xml.StartElement, child string, visit func(xml.StartElement) error) error {
	for _, a := range e.Attr {
		if a.Name.Space != "" && a.Name.Space != "xmlns" {
			return m.bad(ErrFormat, fmt.Sprintf("attribute %s of %s", quoted(a.Name.Local), e.Name.Local), "export the part again")
		}
	}
	return m.children(func(e xml.StartElement) error {
		if e.Name.Space == coreNS && e.Name.Local == child {
			if err := visit(e); err != nil {
				return err
			}
		}
		return m.skip()
	})
}

func (m *modelReader) vertex(o *object, e xml.StartElement) error {
	if m.vertices++; m.vertices > m.limits.vertices() {
		return at(m.place(), tooLarge("vertices and more", m.vertices, m.limits.vertices()))
	}
	var xyz [3]float64
	for i, name := range [...]string{"x", "y", "z"} {
		text, err := m.required(e, name)
		if err != nil {
			return err
		}
		if xyz[i], err = number(strings.TrimSpace(text)); err != nil {
			return at(m.place(), err)
		}
	}
	o.vertices = append(o.vertices, r3.Vec{X: xyz[0], Y: xyz[1], Z: xyz[2]})
	return nil
}

func (m *modelReader) triangle(o *object, e xml.StartElement) error {
	if m.faces++; m.faces > m.limits.Facets {
		return at(m.place(), tooLarge("facets and more", m.faces, m.limits.Facets))
	}
	var f [3]int32
	for i, name := range [...]string{"v1", "v2", "v3"} {
		text, err := m.required(e, name)
		if err != nil {
			return err
		}
		v, err := strconv.ParseUint(strings.TrimSpace(text), 10, 31)
		if err != nil {
			return m.bad(ErrFormat, name+" "+quoted(text), "export the part again")
		}
		f[i] = int32(v)
	}
	if f[0] == f[1] || f[1] == f[2] || f[2] == f[0] {
		m.repeated++
	}
	o.faces = append(o.faces, f)
	return nil
}
