package shop

func unitKind() text { return choice("", "mm", "cm", "m", "in") }

func buildTable() table[Build] {
	type b = Build
	return table[b]{
		about: "One prop.",
		subs:  []string{"part"},
		keys: []key[b]{
			{"unit", unitKind(), "",
				`Unit that the part files are drawn in. "": as a file itself says, and millimetres where it does not.`, "",
				func(b *b) any { return &b.Unit }},
			{"scale", number{least: 1e-6, most: 1e6}, 1.0, "The parts are printed this many times as large as drawn.", "",
				func(b *b) any { return &b.Scale }},
			{"groups", names{}, []any{}, "Names of groups of parts, the group to be finished first in front.", "",
				func(b *b) any { return &b.Groups }},
			{"deadline", moment{}, "",
				"When the last plate should be done, in the time zone of the shop unless the value names an offset; a date alone " +
					`means the end of that day. "": none.`, "",
				func(b *b) any { return &b.Deadline }},
		},
	}
}

func partTable() table[Part] {
	type p = Part
	return table[p]{
		name:  `part."FILE NAME"`,
		about: "One part, by the name of its file.",
		keys: []key[p]{
			{"count", whole{least: 1, most: mostCopies}, nil,
				"Copies of the part. Not given: as the file name hints (peg_x4.stl: 4), else 1.", "",
				func(p *p) any { return &p.Count }},
			{"keep_as_is", yesNo{}, false, "Whether the part is printed the way up that its file has it.", "",
				func(p *p) any { return &p.Keep }},
			{"role", choice("", "show", "joint", "hidden"), "", `Role of all faces of the part. "": worked out from the assembly.`, "",
				func(p *p) any { return &p.Role }},
			{"printer", text{"name of a printer of the shop, or \"\"", anyText}, "",
				`Name of the printer that the part has to be printed on. "": any.`, "",
				func(p *p) any { return &p.Pin }},
			{"group", text{"one of groups, or \"\"", anyText}, "", `Group that the part belongs to. "": none, and printed after all groups.`, "",
				func(p *p) any { return &p.Group }},
			{"unit", unitKind(), "", `Unit of this file. "": as the build.`, "",
				func(p *p) any { return &p.Unit }},
			{"scale", number{least: 1e-6, most: 1e6, orZero: true}, 0.0, "As scale of the build, for this part. 0: as the build.", "",
				func(p *p) any { return &p.Scale }},
		},
	}
}

// anyText is the rule of texts that are checked elsewhere.
func anyText(string) string { return "" }

func buildHomes() map[string]string {
	homes := map[string]string{}
	house(homes, "the top of the file, before the first header", buildTable().names())
	house(homes, `[part."FILE NAME"]`, partTable().names())
	return homes
}
