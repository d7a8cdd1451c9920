package shop

import (
	"platewright/orient/printer"
)

// Sources of defaults. "Materials list" is the project's list of published
// process values; its own sources are named after it.
const (
	noSource = "common practice, no source"
	sample   = "108 published configurations of desktop FDM printers, open firmware, commit 84104bb"
	ivan     = "Ivan, Cristoiu & Parpala, Technologies 13(9) 398, 2025"
)

// Units that more than one table uses.
const (
	mm       = "mm"
	mmPerS   = "mm/s"
	mmPerS2  = "mm/s²"
	seconds  = "s"
	minutes  = "min"
	grams    = "g"
	percent  = "%"
	hundred  = 100
	noUnit   = ""
	largest  = 3000 // mm; larger than any desktop printer
	fastest  = 2000 // mm/s
	quickest = 1e6  // mm/s²
)

func speed() number    { return number{least: 1, most: fastest, of: mmPerS} }
func push() number     { return number{least: 10, most: quickest, of: mmPerS2} }
func fraction() number { return number{least: 0, most: hundred, of: percent, per: hundred} }

func printerTable() table[printer.Printer] {
	return table[printer.Printer]{
		name: "printer", many: true,
		about: "One printer; write the header again for each. Lengths on the bed are measured from its front-left corner, " +
			"x to the right and y to the back; of a round bed, from the corner of the square around it.",
		keys: append(append(machineKeys(), settingKeys()...), motionKeys()...),
	}
}

// machineKeys are the keys of what a printer is and what it is loaded with.
func machineKeys() []key[printer.Printer] {
	type p = printer.Printer
	return []key[p]{
		{"name", title, required, "Name of the printer, different from all others. It becomes part of file names.", "",
			func(p *p) any { return &p.Name }},
		{"bed_mm", size{20, largest}, nil, "Width and depth of an oblong bed. Give either this or diameter_mm.", "",
			func(p *p) any { return &p.Bed }},
		{"diameter_mm", number{least: 20, most: largest, of: mm, orZero: true}, 0.0,
			"Diameter of a round bed. 0: the bed is oblong.", "",
			func(p *p) any { return &p.Bed.Diameter }},
		{"height_mm", number{least: 10, most: largest, of: mm}, required, "Height of the tallest part it can print.", "",
			func(p *p) any { return &p.Height }},
		{"keep_out_mm", polygons{}, []any{},
			"Areas of the bed that no part may touch, such as clips: each a polygon of corners [x, y].", "",
			func(p *p) any { return &p.KeepOut }},
		{"margin_mm", number{least: 0, most: 500, of: mm}, 5.0, "Least distance of a part from the edge of the bed.", noSource,
			func(p *p) any { return &p.Margin }},
		{"gap_mm", number{least: 0, most: 500, of: mm}, 5.0, "Least distance between two parts on one plate.", noSource,
			func(p *p) any { return &p.Gap }},
		{"material", title, "PLA", "Name of the material it is loaded with: one of the [[material]] tables.", noSource,
			func(p *p) any { return &p.Material }},
		{"spool_left_g", number{least: 0, most: 100000, of: grams, orNaN: true}, nan,
			"Filament left on the spool. nan: not weighed.", "",
			func(p *p) any { return &p.SpoolLeft }},
	}
}

// settingKeys are the keys of how a printer builds a part up.
func settingKeys() []key[printer.Printer] {
	type p = printer.Printer
	return []key[p]{
		{"nozzle_mm", number{least: 0.1, most: 3, of: mm}, 0.4, "Diameter of the nozzle.", "101 of " + sample,
			func(p *p) any { return &p.Nozzle }},
		{"line_width_mm", number{least: 0.1, most: 5, of: mm}, 0.4,
			"Width of a line of filament; no less than the height of a layer.", ivan,
			func(p *p) any { return &p.LineWidth }},
		{"layer_mm", number{least: 0.02, most: 2, of: mm}, 0.2,
			"Height of a layer; no more than the nozzle is wide.", ivan,
			func(p *p) any { return &p.Layer }},
		{"first_layer_mm", number{least: 0.02, most: 2, of: mm}, 0.2,
			"Height of the first layer; no more than the nozzle is wide.", "as the other layers",
			func(p *p) any { return &p.FirstLayer }},
		{"walls", whole{least: 1, most: 100}, int64(3), "Loops of filament round each outline.",
			"published pages for makers give 3 to 5",
			func(p *p) any { return &p.Walls }},
		{"skins", whole{least: 0, most: 100}, int64(4), "Solid layers at the top, and as many at the bottom.", noSource,
			func(p *p) any { return &p.Skins }},
		{"infill_percent", fraction(), 15.0, "Share of the inside that is filled.",
			"published pages for makers give 0 to 15",
			func(p *p) any { return &p.Infill }},
		{"support_density_percent", fraction(), 15.0, "Share of the support's volume that is filled.", noSource,
			func(p *p) any { return &p.SupportDensity }},
	}
}

// motionKeys are the keys of how fast a printer is.
func motionKeys() []key[printer.Printer] {
	type p = printer.Printer
	return []key[p]{
		{"wall_speed_mm_s", speed(), 50.0, "Speed of walls.", ivan,
			func(p *p) any { return &p.WallSpeed }},
		{"skin_speed_mm_s", speed(), 50.0, "Speed of the solid layers at the top and bottom.", ivan + ", as walls",
			func(p *p) any { return &p.SkinSpeed }},
		{"infill_speed_mm_s", speed(), 60.0, "Speed of infill.", ivan,
			func(p *p) any { return &p.InfillSpeed }},
		{"support_speed_mm_s", speed(), 50.0, "Speed of support.", ivan + ", as walls",
			func(p *p) any { return &p.SupportSpeed }},
		{"travel_speed_mm_s", speed(), 150.0, "Speed of moves that print nothing.", noSource,
			func(p *p) any { return &p.TravelSpeed }},
		{"first_layer_speed_mm_s", speed(), 20.0, "Speed of everything in the first layer.", noSource,
			func(p *p) any { return &p.FirstLayerSpeed }},
		{"acceleration_mm_s2", push(), 1000.0, "Acceleration of moves that print.", "reached by nine in ten of " + sample,
			func(p *p) any { return &p.Acceleration }},
		{"travel_acceleration_mm_s2", push(), 3000.0, "Acceleration of moves that print nothing.", "median ceiling of " + sample,
			func(p *p) any { return &p.TravelAcceleration }},
		{"corner_speed_mm_s", number{least: 0.1, most: 200, of: mmPerS}, 5.0, "Speed kept through a right-angled corner.",
			"default of an open firmware",
			func(p *p) any { return &p.CornerSpeed }},
		{"heat_up_min", number{least: 0, most: 240, of: minutes}, 5.0, "Time from the start to the first layer.", noSource,
			func(p *p) any { return &p.HeatUp }},
		{"layer_change_s", number{least: 0, most: 600, of: seconds}, 1.0, "Time lost between two layers.", noSource,
			func(p *p) any { return &p.LayerChange }},
		{"minimum_layer_time_s", number{least: 0, most: 600, of: seconds}, 8.0,
			"Least time of a layer: the printer slows down so that the layer below can cool.", noSource,
			func(p *p) any { return &p.LeastLayerTime }},
		{"time_factor", number{least: 0.1, most: 10}, 1.0,
			"Real print time over forecast print time, learned from recorded prints. 1: nothing learned yet.", "",
			func(p *p) any { return &p.TimeFactor }},
	}
}

func materialTable() table[printer.Material] {
	type m = printer.Material
	return table[m]{
		name: "material", many: true,
		about: "One material; write the header again for each. A file without any has the one described by the defaults, named PLA.",
		keys: []key[m]{
			{"name", title, required, "Name of the material, different from all others; two colours are two materials.", "",
				func(m *m) any { return &m.Name }},
			{"density_g_cm3", number{least: 0.3, most: 10, of: "g/cm³"}, 1.24, "Density of the filament.",
				"PLA filament, resin data sheets and a reseller's page",
				func(m *m) any { return &m.Density }},
			{"diameter_mm", number{least: 0.5, most: 5, of: mm}, 1.75, "Diameter of the filament.", "102 of " + sample,
				func(m *m) any { return &m.Diameter }},
			{"price_per_kg", number{least: 0, most: 1e6, of: "currency of the shop/kg"}, 20.0, "Price of a kilogram.", noSource,
				func(m *m) any { return &m.Price }},
			{"flow_limit_mm3_s", number{least: 0.1, most: 200, of: "mm³/s"}, 11.0,
				"Most filament that the nozzle can melt.",
				"standard hot end, 0.4 mm nozzle, ellis3dp.com, determining max volumetric flow rate",
				func(m *m) any { return &m.FlowLimit }},
		},
	}
}
