package joblist

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// Names of the layouts of a comparison.
const (
	Flat    = "flat"    // every part in its option of the least height
	Upright = "upright" // every part in that of the least footprint that stands safely
	Chosen  = "chosen"
)

// Layout is a build planned by one rule for which way up, in figures. Sums are
// over the copies that are on plates.
type Layout struct {
	Name      string          `json:"name"`
	Printers  []LayoutPrinter `json:"printers"`
	Hours     float64         `json:"machine_hours" places:"4"`
	Layers    int             `json:"layers"`
	Support   float64         `json:"support_g" places:"2"`
	ScarShow  float64         `json:"scar_show_mm2" places:"3"`
	SandHours float64         `json:"sanding_hours" places:"4"`
	Bench     float64         `json:"bench_hours" places:"4"`
	Plates    int             `json:"plates"`
	Nights    *int            `json:"nights"` // midnights from the first start to the last end; nil while plates have no times
	Parts     []LayoutPart    `json:"parts"`
}

// LayoutPrinter is what one printer has to do in a layout.
type LayoutPrinter struct {
	Name  string  `json:"name"`
	Hours float64 `json:"machine_hours" places:"4"`
}

// LayoutPart is one part in a layout, all its placed copies together. Hours are
// those of copies printed alone.
type LayoutPart struct {
	Name      string   `json:"name"`
	On        []string `json:"on"` // printers, none when no copy is placed
	Height    float64  `json:"height_mm" places:"6"`
	Hours     float64  `json:"hours" places:"4"`
	Layers    int      `json:"layers"`
	Support   float64  `json:"support_g" places:"2"`
	ScarShow  float64  `json:"scar_show_mm2" places:"3"`
	SandHours float64  `json:"sanding_hours" places:"4"`
	Bench     float64  `json:"bench_hours" places:"4"`
}

// LayoutOf puts a job list into figures. Numbers are rounded as they are written
// before they are added, as AddUp does.
func LayoutOf(name string, l List) Layout {
	out := Layout{Name: name, Hours: l.Totals.MachineHours, Bench: l.Totals.BenchHours, Support: l.Totals.Support, Plates: len(l.Plates), Printers: []LayoutPrinter{}, Parts: []LayoutPart{}}
	for _, p := range l.Printers {
		out.Printers = append(out.Printers, LayoutPrinter{p.Name, p.MachineHours})
	}
	index := map[string]int{}
	for i, p := range l.Parts {
		index[p.Name] = i
		out.Parts = append(out.Parts, LayoutPart{Name: p.Name, On: []string{}})
	}
	for _, p := range placements(&l) {
		if p.opt != nil && p.on != nil {
			out.Parts[index[p.part.Name]].add(p)
			out.Layers += p.opt.Layers
			out.ScarShow = rounded(out.ScarShow+rounded(p.opt.Scar.Show, 3), 3)
			out.SandHours = rounded(out.SandHours+rounded(p.opt.SandHours, hourPlaces), hourPlaces)
		}
	}
	if t := l.Totals; t.FirstStart != nil && t.LastEnd != nil {
		nights := 0
		for day := t.FirstStart.AddDate(0, 0, 1); !midnight(day).After(*t.LastEnd); day = day.AddDate(0, 0, 1) {
			nights++
		}
		out.Nights = &nights
	}
	return out
}

func (o *LayoutPart) add(p placed) {
	if len(o.On) == 0 || o.On[len(o.On)-1] != p.plate.Printer {
		o.On = append(o.On, p.plate.Printer)
	}
	o.Height = p.opt.Height
	o.Hours = rounded(o.Hours+rounded(p.on.Hours, hourPlaces), hourPlaces)
	o.Layers += p.opt.Layers
	o.Support = rounded(o.Support+rounded(p.on.Support, gramPlaces), gramPlaces)
	o.ScarShow = rounded(o.ScarShow+rounded(p.opt.Scar.Show, 3), 3)
	o.SandHours = rounded(o.SandHours+rounded(p.opt.SandHours, hourPlaces), hourPlaces)
	o.Bench = rounded(o.Bench+rounded(p.opt.BenchHours, hourPlaces), hourPlaces)
}

// layoutRow is one figure of all layouts.
type layoutRow struct {
	head string
	cell func(Layout) string
}

func layoutRows(printers []LayoutPrinter) []layoutRow {
	rows := []layoutRow{{"machine h", func(l Layout) string { return tenths(l.Hours) }}}
	for i, p := range printers {
		rows = append(rows, layoutRow{"  on " + line(p.Name), func(l Layout) string { return tenths(l.Printers[i].Hours) }})
	}
	return append(rows,
		layoutRow{"layers", func(l Layout) string { return strconv.Itoa(l.Layers) }},
		layoutRow{"support g", func(l Layout) string { return tenths(l.Support) }},
		layoutRow{"scar on show cm2", func(l Layout) string { return tenths(l.ScarShow / 100) }},
		layoutRow{"sanding h", func(l Layout) string { return tenths(l.SandHours) }},
		layoutRow{"bench h", func(l Layout) string { return tenths(l.Bench) }},
		layoutRow{"plates", func(l Layout) string { return strconv.Itoa(l.Plates) }},
		layoutRow{"nights", func(l Layout) string { return nights(l.Nights) }},
		layoutRow{"parts not placed", func(l Layout) string { return strconv.Itoa(l.left()) }})
}

func nights(n *int) string {
	if n == nil {
		return ""
	}
	return strconv.Itoa(*n)
}

// left is the number of parts without a placed copy.
func (l Layout) left() int {
	n := 0
	for _, p := range l.Parts {
		if len(p.On) == 0 {
			n++
		}
	}
	return n
}

// WriteComparison writes the layouts of a list side by side, in all and part by
// part, for a person to read.
func WriteComparison(w io.Writer, l List) error {
	var p page
	if len(l.Layouts) == 0 {
		return nil
	}
	p.printf("Build %s, planned %d ways", line(l.Build), len(l.Layouts))
	p.printf("")
	head := []string{"in all"}
	for _, o := range l.Layouts {
		head = append(head, o.Name)
	}
	rows := [][]string{head}
	for _, r := range layoutRows(l.Layouts[0].Printers) {
		row := []string{r.head}
		for _, o := range l.Layouts {
			row = append(row, r.cell(o))
		}
		rows = append(rows, row)
	}
	p.table(2, rows)
	p.printf("")
	rows = [][]string{{"part", "way up", "printer", "height mm", "h", "layers", "support g", "show cm2", "sanding h"}}
	for i, part := range l.Layouts[0].Parts {
		for k, o := range l.Layouts {
			at := o.Parts[i]
			name := ""
			if k == 0 {
				name = line(part.Name)
			}
			if len(at.On) == 0 {
				rows = append(rows, []string{name, o.Name, "not placed", "", "", "", "", "", ""})
				continue
			}
			rows = append(rows, []string{name, o.Name, line(strings.Join(at.On, ", ")), tenths(at.Height), tenths(at.Hours),
				strconv.Itoa(at.Layers), tenths(at.Support), tenths(at.ScarShow / 100), tenths(at.SandHours)})
		}
	}
	p.table(2, rows)
	p.printf("")
	p.printf("flat: each part in its way up of the least height; upright: of the least footprint that")
	p.printf("stands safely; chosen: as planned. Hours of a part are those of its copies printed alone.")
	_, err := w.Write(p.Bytes())
	return err
}

// WriteComparisonCSV writes one row for each part in each layout, and one for
// each layout in all, whose part is empty. Texts go through safeCell.
func WriteComparisonCSV(w io.Writer, l List) error {
	out := csv.NewWriter(w)
	head := []string{"layout", "part", "printers", "height_mm", "machine_hours", "layers", "support_g", "scar_show_mm2", "sanding_hours", "bench_hours", "plates", "nights"}
	if len(l.Layouts) > 0 {
		for _, p := range l.Layouts[0].Printers {
			head = append(head, "machine_hours_on_"+safeCell(p.Name))
		}
	}
	rows := [][]string{head}
	for _, o := range l.Layouts {
		all := []string{o.Name, "", "", "", decimal(o.Hours, hourPlaces), strconv.Itoa(o.Layers), decimal(o.Support, gramPlaces),
			decimal(o.ScarShow, 3), decimal(o.SandHours, hourPlaces), decimal(o.Bench, hourPlaces), strconv.Itoa(o.Plates), nights(o.Nights)}
		for _, p := range o.Printers {
			all = append(all, decimal(p.Hours, hourPlaces))
		}
		rows = append(rows, all)
		for _, p := range o.Parts {
			row := []string{o.Name, safeCell(p.Name), safeCell(strings.Join(p.On, " ")), "", "", "", "", "", "", "", "", ""}
			if len(p.On) > 0 {
				copy(row[3:], []string{decimal(p.Height, 6), decimal(p.Hours, hourPlaces), strconv.Itoa(p.Layers), decimal(p.Support, gramPlaces),
					decimal(p.ScarShow, 3), decimal(p.SandHours, hourPlaces), decimal(p.Bench, hourPlaces)})
			}
			for range o.Printers {
				row = append(row, "")
			}
			rows = append(rows, row)
		}
	}
	if err := out.WriteAll(rows); err != nil {
		return fmt.Errorf("write the comparison: %w", err)
	}
	return nil
}
