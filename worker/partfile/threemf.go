package partfile

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"net/url"
	"path"
	"strings"
)

// Names out of the 3MF core specification (ISO/IEC 25422) and the package
// conventions (ISO/IEC 29500-2), as they stand in the consortium's samples.
const (
	coreNS       = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
	materialNS   = "http://schemas.microsoft.com/3dmanufacturing/material/2015/02"
	productionNS = "http://schemas.microsoft.com/3dmanufacturing/production/2015/06"
	xmlNS        = "http://www.w3.org/XML/1998/namespace"
	schemaNS     = "http://www.w3.org/2001/XMLSchema-instance"
	ignorableNS  = "http://schemas.openxmlformats.org/markup-compatibility/2006"

	modelRelationship = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"

	contentTypesMember = "[Content_Types].xml"
	rootRelsMember     = "_rels/.rels"
)

// read3MF reads the shape that the build items of a 3MF file place.
func read3MF(r io.ReaderAt, size int64, limits Limits) (Part, error) {
	a, err := openArchive(r, size, limits)
	if err != nil {
		return Part{}, err
	}
	member, err := findModel(a)
	if err != nil {
		return Part{}, err
	}
	content, err := a.open(member)
	if err != nil {
		return Part{}, err
	}
	m := newModelReader(member, content, limits)
	if err := m.read(); err != nil {
		return Part{}, err
	}
	if err := content.Close(); err != nil {
		return Part{}, err
	}
	return m.part()
}

// findModel returns the zip member of the model, and checks on the way that no
// relationship leads out of the file or to nothing, which the conventions
// forbid.
func findModel(a *archive) (string, error) {
	if !a.has(contentTypesMember) {
		return "", &Error{Err: ErrFormat, Place: contentTypesMember, Value: "missing from the zip file", Hint: "export the part as 3MF again"}
	}
	root, err := readRelationships(a, rootRelsMember, "/")
	if err != nil {
		return "", err
	}
	model := ""
	for _, r := range root {
		if r.kind != modelRelationship {
			continue
		}
		if model != "" {
			return "", &Error{Err: ErrFormat, Place: rootRelsMember, Value: "two models", Hint: "save them as two files"}
		}
		model = r.member
	}
	if model == "" {
		return "", &Error{Err: ErrFormat, Place: rootRelsMember, Value: "no model", Hint: "export the part as 3MF again"}
	}
	dir, file := path.Split(model)
	rels := dir + "_rels/" + file + ".rels"
	if a.has(rels) {
		if _, err := readRelationships(a, rels, "/"+dir); err != nil {
			return "", err
		}
	}
	return model, nil
}

// relationship is a link from the package, or a member, to another member.
type relationship struct{ kind, member string }

func readRelationships(a *archive, member, base string) ([]relationship, error) {
	content, err := a.open(member)
	if err != nil {
		return nil, err
	}
	defer func() { _ = content.Close() }() // read to its end below, where damage shows
	var out []relationship
	x := newXML(member, content)
	err = x.document("Relationships", func(xml.StartElement) error {
		return x.children(func(e xml.StartElement) error {
			r, err := x.relationship(e, base)
			if err != nil {
				return err
			}
			if !a.has(r.member) {
				return x.bad(ErrIndex, "link to "+quoted(r.member), "it is not in the file: export the part as 3MF again")
			}
			out = append(out, r)
			return x.skip()
		})
	})
	return out, err
}

func (x *xmlReader) relationship(e xml.StartElement, base string) (relationship, error) {
	target, err := x.required(e, "Target")
	if err != nil {
		return relationship{}, err
	}
	kind, err := x.required(e, "Type")
	if err != nil {
		return relationship{}, err
	}
	mode, _ := attribute(e, "TargetMode")
	link, err := url.Parse(target)
	if err != nil || mode == "External" || link.IsAbs() || link.Host != "" {
		return relationship{}, x.bad(ErrFormat, "link out of the file: "+quoted(target), "export the part as 3MF again")
	}
	to := link.Path
	if !path.IsAbs(to) {
		to = path.Join(base, to)
	}
	return relationship{kind: kind, member: strings.TrimPrefix(path.Clean(to), "/")}, nil
}

// document reads a whole document whose outermost element has the given name.
func (x *xmlReader) document(root string, visit func(xml.StartElement) error) error {
	found := false
	for {
		token, err := x.token()
		if errors.Is(err, io.EOF) && found {
			return nil
		}
		if errors.Is(err, io.EOF) {
			return x.bad(ErrTruncated, "no "+root, "copy or export the file again")
		}
		if err != nil {
			return err
		}
		e, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		if found || e.Name.Local != root {
			return x.bad(ErrFormat, fmt.Sprintf("outermost element %s", quoted(e.Name.Local)), "it should be one "+root)
		}
		found = true
		if err := visit(e); err != nil {
			return err
		}
	}
}
