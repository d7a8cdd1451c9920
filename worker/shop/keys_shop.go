package shop

import (
	"math"
	"time"
	_ "time/tzdata" // so that a zone is known on a computer without the zone files
)

var nan = math.NaN()

func supportTable() table[Support] {
	type s = Support
	return table[s]{
		name:  "support",
		about: "What needs support.",
		keys: []key[s]{
			{"overhang_deg", number{least: 0, most: 89, of: "degrees from the vertical"}, 45.0,
				"Surface leaning out more than this needs support: 0 is a wall, 90 a ceiling.",
				"common practice; no ISO number exists",
				func(s *s) any { return &s.Overhang }},
			{"ledge_mm", number{least: 0, most: 20, of: mm}, 1.0, "A level ledge no wider than this needs none.",
				"published pages for makers give 0.5 to 1.5",
				func(s *s) any { return &s.Ledge }},
			{"bridge_mm", number{least: 0, most: 300, of: mm}, 20.0,
				"A span no longer than this, held on two opposite sides, needs none.",
				"published pages for makers give 5 to 40",
				func(s *s) any { return &s.Bridge }},
		},
	}
}

func searchTable() table[Search] {
	type s = Search
	return table[s]{
		name:  "search",
		about: "How the ways up of a part are searched.",
		keys: []key[s]{
			{"directions", whole{least: 500, most: 100000}, int64(500), "Ways up that are tried for each part.", "",
				func(s *s) any { return &s.Directions }},
			{"options_kept", whole{least: 1, most: 100}, int64(8), "Most ways up of a part that are kept to choose from.", "",
				func(s *s) any { return &s.Options }},
			{"safe_tip_deg", number{least: 0, most: 89, of: "degrees from the vertical"}, 10.0,
				"A way up that can be tilted this far before it falls stands safely. Of one that falls earlier it is taken " +
					"that it may come off, see plate.tip_percent.",
				"common practice, no source: a block worries its owner when it is five times as tall as wide, which is 11",
				func(s *s) any { return &s.SafeTip }},
			{"seed", whole{least: 0, most: 1<<53 - 1}, int64(1), "Starts the random numbers: the same seed gives the same job list.", "",
				func(s *s) any { return &s.Seed }},
		},
	}
}

func hoursTable() table[Hours] {
	type h = Hours
	return table[h]{
		name: "hours",
		about: "Three clocks, kept apart: when a person is there, when a printer may run, when a print may be started. " +
			"Each is a table of windows by weekday below.",
		subs: []string{"attended", "running", "start"},
		keys: []key[h]{
			{"time_zone", text{"name in the IANA time zone database, such as \"Europe/Lisbon\"", ruleOfZone}, "UTC",
				"Time zone of all windows.", "",
				func(h *h) any { return &h.Zone }},
			{"unattended_running", yesNo{}, false,
				"Whether a printer may run while nobody is there. Fire authorities advise against it; local codes and the " +
					"printer's own instructions come first.", "",
				func(h *h) any { return &h.Unattended }},
			{"change_min", number{least: 0, most: 240, of: minutes}, 10.0,
				"Time that a person takes to empty a plate and start the next.",
				"published pages for makers give 2 to 10",
				func(h *h) any { return &h.Change }},
		},
	}
}

// weekTable is one of the three clocks.
func weekTable(name, about string, standard string) table[Week] {
	t := table[Week]{name: name, about: about}
	labels := [7]string{"Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"}
	for i, day := range days {
		t.keys = append(t.keys, key[Week]{day, windows{}, []any{standard}, labels[i] + ".", "",
			func(w *Week) any { return &w[i] }})
	}
	return t
}

func attendedTable() table[Week] {
	return weekTable("hours.attended",
		"When a person is there to change plates. A window whose end is before its start ends on the next day. "+
			"An empty list: nobody. The default is an example: put in your own hours.", "08:00-22:00")
}

func runningTable() table[Week] {
	return weekTable("hours.running",
		"When a printer may run. Outside attended hours it runs only if unattended_running is true.", "00:00-24:00")
}

func startTable() table[Week] {
	return weekTable("hours.start",
		"When a print may be started. A person has to be there for the first layer as well.", "00:00-24:00")
}

func ruleOfZone(s string) string {
	if s == "" || s == "Local" {
		return "not the name of a zone"
	}
	if _, err := time.LoadLocation(s); err != nil {
		return "unknown time zone"
	}
	return ""
}

func benchTable() table[Bench] {
	type b = Bench
	scar := func(role string, standard float64, field func(*b) any) key[b] {
		return key[b]{"scar_" + role + "_min_cm2", number{least: 0, most: 1000, of: "min/cm²", per: mm2PerCM2}, standard,
			"Handwork where support touched a " + role + " face.", scarSource, field}
	}
	cusp := func(role string, standard float64, field func(*b) any) key[b] {
		return key[b]{"sand_" + role + "_min_mm3", number{least: 0, most: 1000, of: "min/mm³"}, standard,
			"Sanding of the steps between layers on a " + role + " face.", sandSource, field}
	}
	return table[b]{
		name: "bench",
		about: "Handwork after printing, by the role of a face: show is seen on the finished prop, joint meets another part, " +
			"hidden is neither.",
		keys: []key[b]{
			scar("show", 20, func(b *b) any { return &b.Scar.Show }),
			scar("joint", 5, func(b *b) any { return &b.Scar.Joint }),
			scar("hidden", 0.5, func(b *b) any { return &b.Scar.Hidden }),
			cusp("show", 0.5, func(b *b) any { return &b.Cusp.Show }),
			cusp("joint", 0.1, func(b *b) any { return &b.Cusp.Joint }),
			cusp("hidden", 0, func(b *b) any { return &b.Cusp.Hidden }),
		},
	}
}

const mm2PerCM2 = 100

// scarSource: a face that stood on support comes out worse than the coarsest
// steps, so it has to be worked longer. Nearly level steps of 0.2 mm on show
// are 20 mm³ a cm², which at the sanding rate below are 10 minutes.
const scarSource = "a guess: twice the sanding of the coarsest steps of 0.2 mm, for support leaves the worse face"

// sandSource: makers report 80 h of sanding and more on one prop the size of
// a head. Taken as a half sphere of radius 100 mm in layers of 0.2 mm, its
// cusps are 0.2·½·2π·100² = 6283 mm³, which makes 0.76 min/mm³; not all of
// those hours went into the steps, and the prop was larger.
const sandSource = "a guess from one published total of 80 h"

func weightsTable() table[Weights] {
	type w = Weights
	hour := func(name, of string, field func(*w) any) key[w] {
		return key[w]{name, number{least: 0, most: 1000}, 1.0, "What an hour of " + of + " counts.", "", field}
	}
	price := func(name string, kind number, of string, field func(*w) any) key[w] {
		return key[w]{name, kind, 0.0, "A price on " + of + ", over and above what it costs in hours.", "", field}
	}
	const mm3PerCM3, mm2PerDM2 = 1000, 10000
	return table[w]{
		name: "weights",
		about: "A way up is judged by the hours until the part is ready for paint: a printer's, a person's, and those lost to " +
			"prints that fail. Here is what they count. At least one weight is above 0.",
		keys: []key[w]{
			hour("machine_hour", "a printer", func(w *w) any { return &w.Machine }),
			hour("bench_hour", "handwork", func(w *w) any { return &w.Bench }),
			price("overhang_h_cm2", number{least: 0, most: 1000, of: "h/cm²", per: mm2PerCM2}, "surface that needs support",
				func(w *w) any { return &w.Overhang }),
			price("support_h_cm3", number{least: 0, most: 1000, of: "h/cm³", per: mm3PerCM3}, "the volume of support",
				func(w *w) any { return &w.Support }),
			price("layer_h", number{least: 0, most: 1000, of: "h"}, "a layer", func(w *w) any { return &w.Layer }),
			price("footprint_h_dm2", number{least: 0, most: 1000, of: "h/dm²", per: mm2PerDM2}, "the shadow on the plate",
				func(w *w) any { return &w.Footprint }),
		},
	}
}

func plateTable() table[Plate] {
	type p = Plate
	return table[p]{
		name:  "plate",
		about: "How much one plate may hold, so that one failure does not sink too much.",
		keys: []key[p]{
			{"most_parts", whole{least: 1, most: 10000, orZero: true}, int64(0), "Most parts on one plate. 0: no limit.", "",
				func(p *p) any { return &p.Parts }},
			{"most_time_h", number{least: 0.1, most: 1000, of: "h", orZero: true}, 0.0, "Longest print of one plate. 0: no limit.", "",
				func(p *p) any { return &p.Hours }},
			{"most_filament_g", number{least: 1, most: 100000, of: grams, orZero: true}, 0.0,
				"Most filament in one plate. 0: no limit.", "",
				func(p *p) any { return &p.Grams }},
			{"failure_percent_h", number{least: 0, most: 50, of: "%/h", per: hundred}, 1.0,
				"Chance that a running plate fails within an hour: at 1 a plate of 12 h fails 11 times in 100.", "a guess, no source",
				func(p *p) any { return &p.Failure }},
			{"tip_percent", number{least: 0, most: 100, of: percent, per: hundred}, 80.0,
				"Chance that a part that is easily tilted over comes off the plate: up to half of search.safe_tip_deg, and from there on " +
					"less, down to none at that angle.", "a guess, no source",
				func(p *p) any { return &p.Tip }},
		},
	}
}

func reserveTable() table[Reserve] {
	type r = Reserve
	return table[r]{
		name:  "reserve",
		about: "What is kept in hand.",
		keys: []key[r]{
			{"filament_g", number{least: 0, most: 10000, of: grams}, 20.0,
				"Least filament that has to be left on the spool after a plate.", "published pages for makers give 20 at least",
				func(r *r) any { return &r.Grams }},
			{"filament_percent", fraction(), 5.0,
				"The same as a share of what the plate needs; the larger of the two counts.", "published pages for makers give 5 to 10",
				func(r *r) any { return &r.Filament }},
			{"time_percent", number{least: 0, most: 200, of: percent, per: hundred}, 10.0,
				"Time added to the forecast of a print when it is fitted into a window. Until a printer's time factor is " +
					"learned, a forecast may be 30 % off.", noSource,
				func(r *r) any { return &r.Time }},
		},
	}
}

func worriesTable() table[Worries] {
	type w = Worries
	return table[w]{
		name:  "worries",
		about: "From where on something about a way up is told. None of it weighs anything.",
		keys: []key[w]{
			{"slim_mm", number{least: 0, most: 100, of: mm}, 8.0, "Greatest thickness of a slim feature, such as a peg or a fin, that is listed when layers run across it.",
				noSource, func(w *w) any { return &w.Thick }},
			{"slim_times", number{least: 1, most: 100}, 3.0, "How many times as high as thick it is at the least.", noSource,
				func(w *w) any { return &w.Slender }},
			{"flat_mm", number{least: 0, most: largest, of: mm}, 100.0, "A flat face on the plate longer than this may lift at its ends.", noSource,
				func(w *w) any { return &w.FlatLength }},
			{"flat_cm2", number{least: 0, most: 100000, of: "cm²", per: 1 / float64(mm2PerCM2)}, 60.0, "The same for its area.", noSource,
				func(w *w) any { return &w.FlatArea }},
			{"tall_times", number{least: 1, most: 100}, 4.0, "A part this many times as high as its base is deep is easily knocked over.",
				"published pages for makers worry above 4 to 5", func(w *w) any { return &w.Tall }},
		},
	}
}
