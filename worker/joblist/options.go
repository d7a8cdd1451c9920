package joblist

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
)

// optionHeads are the headings of the table of options.
var optionHeads = []string{
	"part", "option", "chosen", "printer", "until_paint_hours", "machine_hours", "scar_hours", "sanding_hours", "loss_hours",
	"bound_until_paint_hours", "filament_g", "support_g", "height_mm", "layers", "overhang_mm2", "support_mm3",
	"scar_show_mm2", "scar_joint_mm2", "scar_hidden_mm2", "footprint_mm2", "contact_mm2", "tip_deg", "tip_supported_deg", "up_x", "up_y", "up_z",
}

// WriteOptionsCSV writes one row for each option of each part on each printer
// that it fits on, with every term of the hours until paint, so that a person
// can see why one was taken and not another. An option that fits on no printer
// has one row, its printer empty.
//
// Sanding is for the layers of the first printer; until_paint_hours counts it by
// the row's own. RFC 4180 as WriteCSV.
func WriteOptionsCSV(w io.Writer, l List) error {
	rows := [][]string{optionHeads}
	for i := range l.Parts {
		p := &l.Parts[i]
		for k := range p.Options {
			o := &p.Options[k]
			if len(o.On) == 0 {
				rows = append(rows, optionRow(p, k, nil))
			}
			for j := range o.On {
				rows = append(rows, optionRow(p, k, &o.On[j]))
			}
		}
	}
	if err := csv.NewWriter(w).WriteAll(rows); err != nil {
		return fmt.Errorf("write the options: %w", err)
	}
	return nil
}

func optionRow(p *Part, k int, on *On) []string {
	o := &p.Options[k]
	chosen := "no"
	if p.Chosen != nil && *p.Chosen == k {
		chosen = "yes"
	}
	hours := func(x float64) string { return decimal(x, hourPlaces) }
	row := []string{safeCell(p.Name), strconv.Itoa(k), chosen, "", "", "", hours(o.ScarHours), hours(o.SandHours), "", hours(p.Bound), "", "",
		decimal(o.Height, 6), strconv.Itoa(o.Layers), decimal(o.Overhang, 3), decimal(o.Support, 3),
		decimal(o.Scar.Show, 3), decimal(o.Scar.Joint, 3), decimal(o.Scar.Hidden, 3), decimal(o.Footprint, 3), decimal(o.Contact, 3),
		decimal(o.Tip, 4), decimal(o.Held, 4), decimal(o.Up[0], 9), decimal(o.Up[1], 9), decimal(o.Up[2], 9)}
	if on != nil {
		row[3], row[4], row[5], row[8] = safeCell(on.Printer), hours(on.Until), hours(on.Hours), hours(on.Loss)
		row[10], row[11] = decimal(on.Filament, gramPlaces), decimal(on.Support, gramPlaces)
	}
	return row
}
