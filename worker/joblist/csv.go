package joblist

import (
	"encoding/csv"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// row is one copy of a part, on a plate or on none.
type row struct {
	list *List
	part *Part
	copy int
	put  *placed // nil when the copy is on no plate
	opt  *Option // the copy's, or the part's chosen one; nil when there is none
}

// A column is a heading and how its cell is filled. Texts go through safeCell;
// numbers do not, for they are ours and a minus is part of them.
type column struct {
	head string
	text func(row) string
	num  func(row) string
}

// columns of the table, in order. A cell is empty where there is nothing to
// say: no plate, no option, no time yet.
var columns = []column{
	{head: "part", text: func(r row) string { return r.part.Name }},
	{head: "copy", num: func(r row) string { return strconv.Itoa(r.copy) }},
	{head: "copies", num: func(r row) string { return strconv.Itoa(r.part.Count) }},
	{head: "status", text: row.status},
	{head: "printer", text: onPlate(func(p *placed) string { return p.plate.Printer })},
	{head: "plate", text: onPlate(func(p *placed) string { return p.plate.ID })},
	{head: "start", text: onPlate(func(p *placed) string { return timeCell(p.plate.Start) })},
	{head: "end", text: onPlate(func(p *placed) string { return timeCell(p.plate.End) })},
	{head: "height_mm", num: ofOption(6, func(o *Option) float64 { return o.Height })},
	{head: "layers", num: ofOption(0, func(o *Option) float64 { return float64(o.Layers) })},
	{head: "hours", num: onPrinter(hourPlaces, func(on *On) float64 { return on.Hours })},
	{head: "hours_are", text: func(r row) string { return r.list.Totals.HoursAre }},
	{head: "filament_g", num: onPrinter(gramPlaces, func(on *On) float64 { return on.Filament })},
	{head: "support_g", num: onPrinter(gramPlaces, func(on *On) float64 { return on.Support })},
	{head: "overhang_mm2", num: ofOption(3, func(o *Option) float64 { return o.Overhang })},
	{head: "support_mm3", num: ofOption(3, func(o *Option) float64 { return o.Support })},
	{head: "scar_show_mm2", num: ofOption(3, func(o *Option) float64 { return o.Scar.Show })},
	{head: "scar_joint_mm2", num: ofOption(3, func(o *Option) float64 { return o.Scar.Joint })},
	{head: "scar_hidden_mm2", num: ofOption(3, func(o *Option) float64 { return o.Scar.Hidden })},
	{head: "tip_deg", num: ofOption(4, func(o *Option) float64 { return o.Tip })},
	{head: "bench_hours", num: ofOption(hourPlaces, func(o *Option) float64 { return o.BenchHours })},
	{head: "up_x", num: ofOption(9, func(o *Option) float64 { return o.Up[0] })},
	{head: "up_y", num: ofOption(9, func(o *Option) float64 { return o.Up[1] })},
	{head: "up_z", num: ofOption(9, func(o *Option) float64 { return o.Up[2] })},
	{head: "turn_deg", num: row.turn},
	{head: "x_mm", num: centre(0)},
	{head: "y_mm", num: centre(1)},
	{head: "file", text: func(r row) string { return r.part.File }},
	{head: "why", text: func(r row) string { return r.part.Why }},
	{head: "notes", text: row.notes},
}

// WriteCSV writes one row for each copy of each part, in the order of the list,
// below a row of headings that carry the units. hours, filament_g and support_g
// are what the copy costs alone on its printer; x_mm and y_mm are the middle of
// its box on the bed, and turn_deg how far it is spun counter-clockwise after
// the shortest turn that brings its up vector up. A copy on no plate has the
// figures of the part's chosen option.
//
// RFC 4180 with LF line ends, UTF-8 without a byte order mark. It is safe to
// open in a spreadsheet: no text cell starts like a formula, see safeCell;
// number cells hold nothing but a number, which may be negative.
func WriteCSV(w io.Writer, l List) error {
	out := csv.NewWriter(w)
	cells := make([]string, len(columns))
	for i, c := range columns {
		cells[i] = c.head
	}
	if err := out.Write(cells); err != nil {
		return err
	}
	for _, r := range rows(&l) {
		for i, c := range columns {
			if c.num != nil {
				cells[i] = c.num(r)
			} else {
				cells[i] = safeCell(c.text(r))
			}
		}
		if err := out.Write(cells); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// rows returns the copies of all parts. A count above MaxCopies, which no sound
// list has, is cut: a number alone must not decide how much is written.
func rows(l *List) []row {
	type copyOf struct {
		part string
		n    int
	}
	on := map[copyOf]*placed{}
	items := placements(l)
	for i := range items {
		on[copyOf{items[i].item.Part, items[i].item.Copy}] = &items[i]
	}
	var out []row
	for i := range l.Parts {
		part := &l.Parts[i]
		for n := 1; n <= min(part.Count, MaxCopies); n++ {
			r := row{list: l, part: part, copy: n, put: on[copyOf{part.Name, n}]}
			switch {
			case r.put != nil:
				r.opt = r.put.opt
			case part.Chosen != nil && *part.Chosen >= 0 && *part.Chosen < len(part.Options):
				r.opt = &part.Options[*part.Chosen]
			}
			out = append(out, r)
		}
	}
	return out
}

func (r row) status() string {
	if r.put != nil {
		return string(Placed)
	}
	return string(r.part.Status)
}

func (r row) notes() string {
	var texts []string
	for _, n := range r.part.Notes {
		texts = append(texts, n.Text)
	}
	if r.opt != nil {
		for _, n := range r.opt.Notes {
			texts = append(texts, n.Text)
		}
	}
	return strings.Join(texts, "; ")
}

// turn returns the spin that is left of the matrix when the shortest turn to
// upright is taken off.
func (r row) turn() string {
	if r.put == nil || r.opt == nil {
		return ""
	}
	up, err := mesh.NewDirection(r3.Vec{X: r.opt.Up[0], Y: r.opt.Up[1], Z: r.opt.Up[2]})
	if err != nil {
		return ""
	}
	m, x := r.put.item.Matrix, mesh.Upright(up).X
	sin := r3.Dot(r3.Vec{X: m[4], Y: m[5], Z: m[6]}, x)
	cos := r3.Dot(r3.Vec{X: m[0], Y: m[1], Z: m[2]}, x)
	const places = 4
	degrees := rounded(math.Atan2(sin, cos)*180/math.Pi, places)
	if degrees < 0 {
		degrees += 360
	}
	return decimal(degrees, places)
}

// centre returns what fills the cell for the middle of the box along an axis.
func centre(axis int) func(row) string {
	return func(r row) string {
		if r.put == nil || r.put.item.Box == nil {
			return ""
		}
		box := r.put.item.Box
		return decimal(box[axis]/2+box[axis+2]/2, 6)
	}
}

func onPlate(f func(*placed) string) func(row) string {
	return func(r row) string {
		if r.put == nil {
			return ""
		}
		return f(r.put)
	}
}

func ofOption(places int, f func(*Option) float64) func(row) string {
	return func(r row) string {
		if r.opt == nil {
			return ""
		}
		return decimal(f(r.opt), places)
	}
}

func onPrinter(places int, f func(*On) float64) func(row) string {
	return func(r row) string {
		if r.put == nil || r.put.on == nil {
			return ""
		}
		return decimal(f(r.put.on), places)
	}
}

func timeCell(t *time.Time) string {
	if t == nil {
		return ""
	}
	return t.Format(time.RFC3339)
}
