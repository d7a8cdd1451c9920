package shop

import (
	"slices"
	"strings"
)

// Build is what a build file says of one prop, defaults filled in.
type Build struct {
	Unit     string   // of the part files: mm, cm, m or in; "" as each file says, else mm
	Scale    float64  // the parts are printed this many times as large
	Groups   []string // names, the first to be printed first
	Deadline Deadline
	Parts    map[string]Part // by file name
}

// Part is what a build file says of one part.
type Part struct {
	Count  int     // copies; 0 for as the file name hints
	Keep   bool    // print it the way up that its file has it
	Role   string  // "show", "joint" or "hidden" for all of its faces; "" to be worked out
	Pin    string  // name of the printer it has to be printed on; "" for any
	Group  string  // "" for none: after all groups
	Unit   string  // "" for as the build
	Scale  float64 // 0 for as the build
	Line   int     // of the build file, where the part's table begins; for faults
	Column int
}

// ParseBuild reads a build file. An empty one gives the defaults. The name is
// only told in faults. With any fault the Build is the zero value.
//
// Whether pins and file names exist is left to Check: the file cannot tell.
func ParseBuild(name string, data []byte) (Build, Faults) {
	values, spots, faults := parseDocument(name, data)
	if len(faults) > 0 {
		return Build{}, faults
	}
	file := top(name, values, spots, buildHomes())
	out := read(file, buildTable())
	out.Parts = readParts(file, out.Groups)
	file.faults.sort()
	if len(*file.faults) > 0 {
		return Build{}, *file.faults
	}
	return out, nil
}

// readParts reads the tables of the parts.
func readParts(file *section, groups []string) map[string]Part {
	parts := map[string]Part{}
	v, given := file.values["part"]
	values, isTable := v.(map[string]any)
	if given && !isTable {
		file.fault("part", Fault{Wrong: misfit(v, "a table"), Hint: `write a header such as [part."arm.stl"] for each part`})
		return parts
	}
	all := file.inside("part", values, file.spot.inside("part"))
	for name := range values {
		part, at := single(all, partTable(), name)
		part.Line, part.Column = at.spot.line, at.spot.column
		if part.Group != "" && at.sound("group") && file.sound("groups") && !slices.Contains(groups, part.Group) {
			at.fault("group", Fault{Value: quoted(part.Group), Wrong: "not in groups", Allowed: choices(groups)})
		}
		parts[name] = part
	}
	return parts
}

// Check returns a fault for every part table whose file is not among the
// files of the build, and for every pin that names no printer of the shop.
// The name is that of the build file.
func (b Build) Check(name string, s Shop, files []string) Faults {
	var printers []string
	for _, p := range s.Printers {
		printers = append(printers, p.Name)
	}
	var out Faults
	for file, part := range b.Parts {
		f := Fault{File: name, Line: part.Line, Column: part.Column, Key: "part." + quoted(file)}
		if !slices.Contains(files, file) {
			f.Wrong = "no such file in the build"
			if near := nearest(file, files); near != "" {
				f.Hint = "did you mean " + quoted(near) + "?"
			}
			out = append(out, f)
			continue
		}
		if part.Pin != "" && !slices.Contains(printers, part.Pin) {
			f.Key += ".printer"
			f.Value, f.Wrong, f.Allowed = quoted(part.Pin), "no such printer", choices(printers)
			out = append(out, f)
		}
	}
	out.sort()
	return out
}

// Millimetres of each unit that files are drawn in.
//
// Source: 1 in = 25.4 mm exactly, international yard and pound agreement,
// 1959; the others SI.
var unitLength = map[string]float64{"mm": 1, "cm": 10, "m": 1000, "in": 25.4}

// Factor returns what the coordinates of a part file are multiplied by to
// make the millimetres that are printed. own is the length of the file's unit
// as the file itself declares it, in mm; 1 for formats that declare none. A
// unit in the build file overrules it.
func (b Build) Factor(file string, own float64) float64 {
	part := b.Parts[file]
	unit, scale := b.Unit, b.Scale
	if part.Unit != "" {
		unit = part.Unit
	}
	if part.Scale != 0 {
		scale = part.Scale
	}
	if unit != "" {
		own = unitLength[unit]
	}
	return own * scale
}

// Count returns how many copies of a part file are to be printed: as the build
// file says, else as the file name hints, else one.
func (b Build) Count(file string) int {
	if n := b.Parts[file].Count; n > 0 {
		return n
	}
	_, n := CountFromName(file)
	return n
}

// Effective returns the settings under the keys of the build file, in its
// units, ready to be written as JSON.
func (b Build) Effective() map[string]any {
	out := buildTable().plain(b)
	parts := map[string]any{}
	for name, part := range b.Parts {
		parts[name] = partTable().plain(part)
	}
	out["part"] = parts
	return out
}

// choices names what there is to choose from.
func choices(names []string) string {
	if len(names) == 0 {
		return "none"
	}
	all := make([]string, len(names))
	for i, n := range names {
		all[i] = quoted(n)
	}
	return strings.Join(all, ", ")
}
