package partfile

import (
	"encoding/xml"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"
)

// units are the lengths that a model may be drawn in. Unit: mm.
var units = map[string]float64{
	"micron": 0.001, "millimeter": 1, "centimeter": 10,
	"inch": 25.4, "foot": 304.8, "meter": 1000,
}

// object is one object resource: a mesh, or components, or neither if it holds
// only content that is not read.
type object struct {
	kind       string // model, solidsupport, support, surface or other
	name       string
	vertices   []r3.Vec
	faces      [][3]int32
	components []placement

	total total // known once counted
	state countState
}

// placement puts an object somewhere: a build item or a component.
type placement struct {
	object uint32
	by     affine
}

// modelReader reads a model member of a 3MF file.
type modelReader struct {
	*xmlReader
	limits Limits

	toMM      float64
	objects   map[uint32]*object
	resources map[uint32]bool // ids of all core resources
	foreign   map[uint32]bool // ids of resources of extensions
	items     []placement
	metadata  map[string]bool
	hasBuild  bool

	vertices, faces int // over all objects
	repeated        int // facets that name a corner twice
	material        bool
	extensions      []string // namespaces whose content is left out
}

func newModelReader(member string, r io.Reader, limits Limits) *modelReader {
	m := &modelReader{
		xmlReader: newXML(member, r),
		limits:    limits,
		objects:   map[uint32]*object{},
		resources: map[uint32]bool{},
		foreign:   map[uint32]bool{},
		metadata:  map[string]bool{},
	}
	m.start = m.lookAt
	return m
}

// lookAt checks what holds for every element.
func (m *modelReader) lookAt(e xml.StartElement) error {
	if e.Name.Space != coreNS {
		m.leaveOut(e.Name.Space)
	}
	for _, a := range e.Attr {
		switch {
		case a.Name.Space == "" || a.Name.Space == "xmlns" || a.Name.Space == schemaNS || a.Name.Space == ignorableNS:
		case a.Name.Space == xmlNS:
			// The core specification, section on white space, allows no
			// xml:space; a must-fail sample of the consortium has one.
			if a.Name.Local == "space" {
				return m.bad(ErrFormat, "attribute xml:space", "3MF allows none: export the part again")
			}
		case a.Name.Space == productionNS && a.Name.Local == "path":
			return m.bad(ErrExtension, "part of the shape is in "+quoted(a.Value)+", by the production extension",
				"save it as a core 3MF file, or as STL")
		default:
			m.leaveOut(a.Name.Space)
		}
	}
	return nil
}

// maxNamedExtensions bounds how many unknown namespaces notes tell of.
const maxNamedExtensions = 8

func (m *modelReader) leaveOut(namespace string) {
	switch {
	case namespace == materialNS:
		m.material = true
	case namespace == productionNS, slices.Contains(m.extensions, namespace):
		// Of the production extension, without paths, only ids remain.
	case len(m.extensions) < maxNamedExtensions:
		m.extensions = append(m.extensions, namespace)
	}
}

// read reads the whole member.
func (m *modelReader) read() error {
	return m.document("model", func(e xml.StartElement) error {
		if e.Name.Space != coreNS {
			return m.bad(ErrFormat, "namespace "+quoted(e.Name.Space), "not that of 3MF core: export the part again")
		}
		if err := m.modelAttributes(e); err != nil {
			return err
		}
		if err := m.children(m.modelChild); err != nil {
			return err
		}
		if !m.hasBuild {
			return m.bad(ErrFormat, "no build element", "export the part as 3MF again")
		}
		return nil
	})
}

func (m *modelReader) modelAttributes(e xml.StartElement) error {
	unit, ok := attribute(e, "unit")
	if !ok {
		unit = "millimeter"
	}
	if m.toMM = units[unit]; m.toMM == 0 {
		return m.bad(ErrFormat, "unit "+quoted(unit), "micron, millimeter, centimeter, inch, foot or meter")
	}
	required, _ := attribute(e, "requiredextensions")
	for prefix := range strings.FieldsSeq(required) {
		namespace := prefix
		for _, a := range e.Attr {
			if a.Name.Space == "xmlns" && a.Name.Local == prefix {
				namespace = a.Value
			}
		}
		// Materials change no shape; of the production extension only paths
		// do, and they are refused where they stand.
		if namespace != materialNS && namespace != productionNS {
			return m.bad(ErrExtension, quoted(namespace), "save it as a core 3MF file, or as STL")
		}
	}
	return nil
}

func (m *modelReader) modelChild(e xml.StartElement) error {
	if e.Name.Space != coreNS {
		return m.skip()
	}
	switch e.Name.Local {
	case "metadata":
		name, err := m.required(e, "name")
		if err != nil {
			return err
		}
		if m.metadata[name] {
			return m.bad(ErrFormat, "metadata "+quoted(name)+" twice", "export the part again")
		}
		m.metadata[name] = true
		return m.skip()
	case "resources":
		return m.children(m.resource)
	case "build":
		if m.hasBuild {
			return m.bad(ErrFormat, "two build elements", "export the part again")
		}
		m.hasBuild = true
		return m.children(m.item)
	}
	return m.skip()
}

func (m *modelReader) resource(e xml.StartElement) error {
	if e.Name.Space != coreNS {
		// Resources of an extension may clash with each other without harm to
		// the shape, but not with an object.
		if id, err := m.id(e, "id"); err == nil {
			m.foreign[id] = true
			if m.resources[id] {
				return m.taken(id)
			}
		}
		return m.skip()
	}
	if e.Name.Local != "object" && e.Name.Local != "basematerials" {
		return m.skip()
	}
	id, err := m.id(e, "id")
	if err != nil {
		return err
	}
	if m.resources[id] || m.foreign[id] {
		return m.taken(id)
	}
	m.resources[id] = true
	if e.Name.Local == "basematerials" {
		m.material = true
		return m.skip()
	}
	return m.object(id, e)
}

func (m *modelReader) taken(id uint32) error {
	return m.bad(ErrFormat, fmt.Sprintf("two resources with id %d", id), "export the part again")
}

func (m *modelReader) object(id uint32, e xml.StartElement) error {
	o := &object{kind: "model"}
	if kind, ok := attribute(e, "type"); ok {
		o.kind = kind
	}
	switch o.kind {
	case "model", "solidsupport", "support", "surface", "other":
	default:
		return m.bad(ErrFormat, "object type "+quoted(o.kind), "export the part again")
	}
	name, _ := attribute(e, "name")
	o.name = short(name, maxQuoted)
	m.objects[id] = o
	shapes := 0
	return m.children(func(e xml.StartElement) error {
		if e.Name.Space != coreNS || e.Name.Local != "mesh" && e.Name.Local != "components" {
			return m.skip()
		}
		if shapes++; shapes > 1 {
			return m.bad(ErrFormat, fmt.Sprintf("object %d with two shapes", id), "export the part again")
		}
		if e.Name.Local == "components" {
			return m.children(func(e xml.StartElement) error { return m.component(o, e) })
		}
		return m.mesh(id, o)
	})
}

func (m *modelReader) component(o *object, e xml.StartElement) error {
	if e.Name.Space != coreNS || e.Name.Local != "component" {
		return m.skip()
	}
	p, err := m.placement(e)
	if err != nil {
		return err
	}
	o.components = append(o.components, p)
	return m.skip()
}

func (m *modelReader) item(e xml.StartElement) error {
	if e.Name.Space != coreNS || e.Name.Local != "item" {
		return m.skip()
	}
	p, err := m.placement(e)
	if err != nil {
		return err
	}
	if len(m.items) >= m.limits.Instances {
		return m.bad(ErrTooLarge, fmt.Sprintf("more than %d build items", m.limits.Instances), "")
	}
	m.items = append(m.items, p)
	return m.skip()
}

func (m *modelReader) placement(e xml.StartElement) (placement, error) {
	id, err := m.id(e, "objectid")
	if err != nil {
		return placement{}, err
	}
	p := placement{id, identity}
	if text, ok := attribute(e, "transform"); ok {
		if p.by, err = parseAffine(text); err != nil {
			return placement{}, at(m.place(), err)
		}
	}
	return p, nil
}

// id reads a resource id, from 1 to 2³¹ − 1.
func (m *modelReader) id(e xml.StartElement, name string) (uint32, error) {
	text, err := m.required(e, name)
	if err != nil {
		return 0, err
	}
	id, err := strconv.ParseUint(strings.TrimSpace(text), 10, 31)
	if err != nil || id == 0 {
		return 0, m.bad(ErrFormat, name+" "+quoted(text), "export the part again")
	}
	return uint32(id), nil
}
