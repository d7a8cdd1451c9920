package worker

import (
	"platewright/orient/role"
	"platewright/support"
	"platewright/worker/joblist"
)

// classify works out what every facet of every sound part is for, from how the
// parts lie to each other, and returns the notes on the folder as a whole.
// Notes on a part go to the part.
func (b *build) classify(parts []*part) []joblist.Note {
	var sound []*part
	var in []role.Part
	for _, p := range parts {
		if p.err == nil {
			sound = append(sound, p)
			in = append(in, role.Part{Name: p.name, Mesh: p.mesh, Count: p.count, Hint: b.hint(p)})
		}
	}
	assembly := role.Classify(in, role.Settings{})
	for i, p := range sound {
		p.roles = assembly.Roles[i]
	}
	var folder []joblist.Note
	for _, n := range assembly.Notes {
		if n.Part < 0 {
			folder = append(folder, joblist.Note{Code: n.Code, Text: n.Text})
			continue
		}
		sound[n.Part].note(n.Code, n.Text)
	}
	return folder
}

// hint returns the role that the build file gives a part, or nil.
func (b *build) hint(p *part) *support.Role {
	for r := range support.Role(support.NumRoles) {
		if b.build.Parts[p.file].Role == r.String() {
			return &r
		}
	}
	return nil
}
