package shop

import (
	"fmt"
	"math"
	"strings"

	"platewright/orient/printer"
)

// checkPrinters checks what no single key of a printer can tell.
func checkPrinters(file *section, s *Shop, at, materials []*section) {
	if len(s.Printers) == 0 && file.sound("printer") {
		file.fault("printer", Fault{Wrong: "no printer described", Hint: "write the header [[printer]] above each printer"})
	}
	names := make([]string, len(s.Printers))
	for i := range s.Printers {
		p := &s.Printers[i]
		names[i] = p.Name
		checkBed(p, at[i])
		checkRoom(*p, at[i])
		checkLayers(*p, at[i])
	}
	checkUnique(names, at)
	for _, m := range materials {
		if !m.sound("name") {
			return // what a printer may be loaded with is not known
		}
	}
	for i, p := range s.Printers {
		checkLoaded(p, s.Materials, at[i])
	}
}

// checkBed checks that a bed is given once, and squares a round one.
func checkBed(p *printer.Printer, at *section) {
	_, oblong := at.values["bed_mm"]
	if !at.sound("bed_mm", "diameter_mm") {
		return
	}
	switch {
	case oblong && p.Bed.Round():
		at.fault("diameter_mm", Fault{Value: decimal(p.Bed.Diameter), Wrong: "bed_mm is given too", Allowed: "0", Unit: mm,
			Hint: "a bed is oblong or round"})
	case p.Bed.Round():
		p.Bed.Width, p.Bed.Depth = p.Bed.Diameter, p.Bed.Diameter
	case !oblong:
		k := size{20, largest}
		at.fault("bed_mm", Fault{Wrong: "missing", Allowed: k.allowed(), Unit: k.unit(), Hint: "or give diameter_mm for a round bed"})
	}
}

// checkRoom checks that margin and keep-out areas suit the bed.
func checkRoom(p printer.Printer, at *section) {
	if !at.sound("bed_mm", "diameter_mm") {
		return
	}
	least := math.Min(p.Bed.Width, p.Bed.Depth)
	if at.sound("margin_mm") && 2*p.Margin >= least {
		at.fault("margin_mm", Fault{Value: decimal(p.Margin), Wrong: "leaves no room on the bed",
			Allowed: "less than " + decimal(least/2), Unit: mm})
	}
	for i, ring := range p.KeepOut {
		box := ring.Bounds()
		if box.Min.X < 0 || box.Min.Y < 0 || box.Max.X > p.Bed.Width || box.Max.Y > p.Bed.Depth {
			at.fault("keep_out_mm", Fault{Value: literal(polygons{}.write(&p.KeepOut)),
				Wrong:   fmt.Sprintf("polygon %d reaches beyond the bed", i+1),
				Allowed: fmt.Sprintf("x 0 to %s, y 0 to %s", decimal(p.Bed.Width), decimal(p.Bed.Depth)), Unit: mm})
			return
		}
	}
}

// checkLayers checks that lines of filament can be laid: no higher than the
// nozzle is wide (common practice, no source), nor than the line is wide
// (printer.BeadArea: a line is an oblong with rounded sides).
func checkLayers(p printer.Printer, at *section) {
	layers := map[string]float64{"layer_mm": p.Layer, "first_layer_mm": p.FirstLayer}
	for _, name := range []string{"layer_mm", "first_layer_mm"} {
		if at.sound(name, "nozzle_mm") && layers[name] > p.Nozzle {
			at.fault(name, Fault{Value: decimal(layers[name]), Wrong: "higher than the nozzle is wide",
				Allowed: "at most " + decimal(p.Nozzle), Unit: mm})
		}
	}
	highest := math.Max(p.Layer, p.FirstLayer)
	if at.sound("layer_mm", "first_layer_mm", "line_width_mm") && p.LineWidth < highest {
		at.fault("line_width_mm", Fault{Value: decimal(p.LineWidth), Wrong: "less than the height of a layer",
			Allowed: "at least " + decimal(highest), Unit: mm})
	}
}

// checkLoaded checks that the material in a printer is described.
func checkLoaded(p printer.Printer, materials []printer.Material, at *section) {
	if !at.sound("material") {
		return
	}
	var known []string
	for _, m := range materials {
		if m.Name == p.Material {
			return
		}
		known = append(known, m.Name)
	}
	at.fault("material", Fault{Value: quoted(p.Material), Wrong: "no such material", Allowed: choices(known)})
}

func checkMaterials(s *Shop, at []*section) {
	names := make([]string, len(at))
	for i := range at {
		names[i] = s.Materials[i].Name
	}
	checkUnique(names, at)
}

// checkUnique checks that no two names are the same, capitals or not: on some
// file systems their files would be one.
func checkUnique(names []string, at []*section) {
	first := map[string]*section{}
	for i, name := range names {
		if !at[i].sound("name") {
			continue
		}
		folded := strings.ToLower(name)
		if before := first[folded]; before != nil {
			at[i].fault("name", Fault{Value: quoted(name), Wrong: "used twice",
				Hint: fmt.Sprintf("first in line %d", before.spot.inside("name").line)})
			continue
		}
		first[folded] = at[i]
	}
}

// checkHours checks that a print can ever be started and a plate be changed.
func checkHours(h Hours, at *section) {
	if !at.clean() {
		return
	}
	if shared(h.Attended, h.Running, h.Start) == 0 {
		at.fault("attended", Fault{Wrong: "no minute of the week in which a person is there, a printer may run and a print may be started"})
		return
	}
	if longest := h.Attended.longest(); h.Change > float64(longest) {
		at.fault("change_min", Fault{Value: decimal(h.Change), Wrong: "longer than the longest attended window",
			Allowed: fmt.Sprintf("at most %d", longest), Unit: minutes})
	}
}

func checkWeights(w Weights, at *section) {
	if at.clean() && w == (Weights{}) {
		at.fault("machine_hour", Fault{Value: "0", Wrong: "all weights are 0", Allowed: "one weight above 0"})
	}
}
