package worker

import (
	"encoding/json"
	"fmt"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"platewright/bedpack"
	"platewright/orient/printer"
	"platewright/support"
	"platewright/support/mesh"
	"platewright/support/plane"
	"platewright/worker/joblist"
)

// effective returns the settings that the plan is made by.
func (b *build) effective() map[string]any {
	return map[string]any{"shop": b.shop.Effective(), "build": b.build.Effective()}
}

// list makes the job list.
func (b *build) list(parts []*part, p placing) (joblist.List, error) {
	settings, err := json.Marshal(b.effective())
	if err != nil {
		return joblist.List{}, fmt.Errorf("write the settings: %w", err)
	}
	out := joblist.List{
		Schema: joblist.SchemaID, Build: b.name, Made: b.changed, Seed: b.shop.Search.Seed, Settings: settings,
		Totals: joblist.Totals{HoursAre: joblist.Rough}, Notes: b.notes,
	}
	for _, m := range b.shop.Printers {
		out.Printers = append(out.Printers, printerEntry(m.Name, m.Bed.Width, m.Bed.Depth, m.Bed.Diameter, m.Height))
	}
	for i, part := range parts {
		out.Parts = append(out.Parts, b.partEntry(part, i, p))
	}
	for i, plate := range p.arrangement.Plates {
		out.Plates = append(out.Plates, b.plateEntry(i, plate, parts, p.items))
	}
	return out, nil
}

func printerEntry(name string, width, depth, diameter, height float64) joblist.Printer {
	out := joblist.Printer{Name: name, Height: height}
	if out.Diameter = diameter; diameter == 0 {
		out.Bed = [2]float64{width, depth}
	}
	return out
}

// partEntry lists one part, index in the build's order, and what became of it.
func (b *build) partEntry(p *part, index int, placed placing) joblist.Part {
	out := joblist.Part{
		Name: p.name, File: p.file, SHA256: p.sha256, Count: p.count,
		Notes: append([]joblist.Note{}, p.notes...), Options: []joblist.Option{},
		Status: joblist.Unreadable,
	}
	if p.mesh != nil {
		out.Triangles, out.Volume, out.Area = p.mesh.NumFaces(), p.body.volume, p.body.area
		out.Size = [3]float64{p.body.size.X, p.body.size.Y, p.body.size.Z}
	}
	if p.err != nil {
		out.Why = firstLine(p.err)
		return out
	}
	for k := range p.Options {
		out.Options = append(out.Options, b.optionEntry(p, k))
	}
	out.Bound = p.Bound
	chosen := 0
	out.Status = joblist.Placed
	for _, plate := range placed.arrangement.Plates {
		for _, at := range plate.Placements {
			if placed.items[at.Item].part == index {
				chosen = placed.items[at.Item].option + at.Option
			}
		}
	}
	out.Chosen, out.Why = &chosen, b.why(p, chosen)
	if b.build.Parts[p.file].Keep {
		out.Why = "kept the way up of its file, as build.toml asks"
	}
	for _, r := range placed.arrangement.Refused {
		if placed.items[r.Item].part == index {
			out.Status, out.Why = joblist.NotPlaced, b.refusal(r)
		}
	}
	return out
}

func firstLine(err error) string {
	line, _, _ := strings.Cut(err.Error(), "\n")
	return line
}

func (b *build) optionEntry(p *part, k int) joblist.Option {
	o := p.Options[k]
	m, up := o.Measures, o.Up.Vec()
	out := joblist.Option{
		Up: [3]float64{up.X, up.Y, up.Z}, Height: m.Height, Layers: m.Layers,
		Overhang: m.Overhang, OverhangRaw: m.OverhangRaw, Support: m.Support, SupportRaw: m.SupportRaw,
		Footprint: m.Footprint, Contact: m.Contact, Scar: roles(m.Scar), Cusp: roles(m.Cusp),
		Tip: m.Tip.Degrees(), Held: m.Held.Degrees(), Notes: []joblist.Note{}, On: []joblist.On{},
	}
	out.ScarHours, out.SandHours = b.bench(p, k)
	out.BenchHours = out.ScarHours + out.SandHours
	for _, c := range p.costs[k] {
		if c.fits {
			out.On = append(out.On, c.On)
		}
	}
	return out
}

func roles(r support.ByRole) joblist.Roles {
	return joblist.Roles{Show: r[support.Show], Joint: r[support.Joint], Hidden: r[support.Hidden]}
}

// refusal says why a part is on no plate.
func (b *build) refusal(r bedpack.Refusal) string {
	switch r.Reason {
	case bedpack.TooLarge:
		m := b.shop.Printers[r.Printer]
		return fmt.Sprintf("too large for every printer, whichever way up and however turned: nearest is %s, %.1f mm over its %s",
			m.Name, r.Over, axisText(r.Axis, m))
	case bedpack.Blocked:
		return fmt.Sprintf("would fit on %s, but its keep-out areas leave no free place", b.shop.Printers[r.Printer].Name)
	case bedpack.Barred:
		return "fits no printer that it may go on"
	}
	return "has no shadow that could be packed"
}

// axisText names an axis of a printer and its length within the margins.
func axisText(a bedpack.Axis, m printer.Printer) string {
	length := map[bedpack.Axis]float64{
		bedpack.Width: m.Bed.Width - 2*m.Margin, bedpack.Depth: m.Bed.Depth - 2*m.Margin,
		bedpack.Diameter: m.Bed.Diameter - 2*m.Margin, bedpack.Height: m.Height,
	}[a]
	within := " within the margin"
	if a == bedpack.Height || m.Margin == 0 {
		within = ""
	}
	return fmt.Sprintf("%s of %g mm%s", a, length, within)
}

// plateEntry lists one plate.
func (b *build) plateEntry(i int, plate bedpack.Plate, parts []*part, items []item) joblist.Plate {
	machine := b.shop.Printers[plate.Printer]
	id := fmt.Sprintf("%02d", i+1)
	stem := "plates/" + id + "-" + fileName(machine.Name)
	out := joblist.Plate{ID: id, Printer: machine.Name, Files: joblist.Files{ThreeMF: stem + ".3mf", STL: stem + ".stl"}}
	for _, at := range plate.Placements {
		from := items[at.Item]
		p, option := parts[from.part], from.option+at.Option
		pose := placed(p.stands[option].pose, at.Spin, at.Shift)
		box := p.stands[option].hull.Placed(at.Spin, at.Shift).Bounds()
		out.Items = append(out.Items, joblist.Item{
			Part: p.name, Copy: from.copy, Option: option, Matrix: pose.Matrix(),
			Box: &[4]float64{box.Min.X, box.Min.Y, box.Max.X, box.Max.Y},
		})
		on := p.costs[option][plate.Printer]
		out.Hours += on.Hours
		out.Filament += on.Filament
	}
	// Each part's hours alone hold a heat-up; the plate has one.
	out.Hours -= float64(len(plate.Placements)-1) * machine.HeatUp / 60 * machine.TimeFactor
	return out
}

// placed returns the pose followed by a spin about z and a shift on the plate.
func placed(p mesh.Pose, spin plane.Angle, shift r2.Vec) mesh.Pose {
	moved := r2.Rotate(r2.Vec{X: p.Shift.X, Y: p.Shift.Y}, float64(spin), r2.Vec{})
	return mesh.Pose{
		Frame: p.Frame.Spun(spin),
		Shift: r3.Vec{X: moved.X + shift.X, Y: moved.Y + shift.Y, Z: p.Shift.Z},
	}
}

// fileName returns a name that any file system takes, much like s.
func fileName(s string) string {
	out := strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z', r >= '0' && r <= '9', r == '-', r == '_':
			return r
		}
		return '-'
	}, s)
	if len(out) > 60 {
		out = out[:60]
	}
	return out
}
