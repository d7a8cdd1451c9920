package joblist

import (
	"encoding/json"
	"time"
)

// SchemaID names this version of jobs.json.
const SchemaID = "platewright.jobs/1"

// Rough is the value of Totals.HoursAre while hours are reckoned from layers
// and no recorded print has corrected them.
const Rough = "rough"

// List is a whole job list. Tags: `places` gives the decimals that a number is
// written with, one for all or one for each element in turn; `empty:"null"`
// writes an empty text as null.
type List struct {
	Schema   string          `json:"schema"`
	Build    string          `json:"build"`
	Made     time.Time       `json:"made"` // to the second
	Seed     int64           `json:"seed"`
	Settings json.RawMessage `json:"settings"` // an object: the effective shop and build
	Totals   Totals          `json:"totals"`
	Notes    []Note          `json:"notes"` // on the folder as a whole
	Printers []Printer       `json:"printers"`
	Parts    []Part          `json:"parts"`
	Plates   []Plate         `json:"plates"`
	Layouts  []Layout        `json:"layouts,omitzero"` // the same build planned in other ways; nil when not compared
}

// Totals are sums over the plates and what is on them; AddUp fills them in.
type Totals struct {
	MachineHours float64    `json:"machine_hours" places:"4"`
	BenchHours   float64    `json:"bench_hours" places:"4"`
	Filament     float64    `json:"filament_g" places:"2"` // support included
	Support      float64    `json:"support_g" places:"2"`
	Plates       int        `json:"plates"`
	Changes      int        `json:"changes"`                // one between any two plates of a printer
	FirstStart   *time.Time `json:"first_start"`            // nil while no plate has a start
	LastEnd      *time.Time `json:"last_end"`               // nil while no plate has an end
	BoundHours   *float64   `json:"bound_hours" places:"4"` // no plan is done sooner; nil when not known
	HoursAre     string     `json:"hours_are"`              // how far to trust the hours: Rough
}

// Printer is one machine and what it has to do. Exactly one of Bed and Diameter
// is not zero.
type Printer struct {
	Name         string     `json:"name"`
	Bed          [2]float64 `json:"bed_mm,omitzero" places:"6"`
	Diameter     float64    `json:"diameter_mm,omitzero" places:"6"`
	Height       float64    `json:"height_mm" places:"6"`
	MachineHours float64    `json:"machine_hours" places:"4"`
	IdleHours    *float64   `json:"idle_hours" places:"4"` // nil while plates have no times
}

// Status says what became of a part.
type Status string

// The statuses of a part. A part is placed when every copy is on a plate.
const (
	Placed     Status = "placed"
	NotPlaced  Status = "not placed"
	Unreadable Status = "unreadable"
)

// MaxCopies bounds the count of a part, so that a slip of the keyboard does not
// write a table of millions of rows.
const MaxCopies = 10000

// Part is one file to print, with a count of copies numbered from 1.
type Part struct {
	Name      string     `json:"name"`
	File      string     `json:"file"`
	SHA256    string     `json:"sha256" empty:"null"` // lower-case hex; empty when the file could not be read
	Count     int        `json:"count"`
	Triangles int        `json:"triangles"`
	Volume    float64    `json:"volume_mm3" places:"3"`
	Area      float64    `json:"area_mm2" places:"3"`
	Size      [3]float64 `json:"size_mm" places:"6"` // in the file frame
	Notes     []Note     `json:"notes"`
	Options   []Option   `json:"options"`
	Chosen    *int       `json:"chosen"`                             // index into Options; nil when none
	Bound     float64    `json:"bound_until_paint_hours" places:"4"` // no orientation takes less on any printer; 0 when not known
	Status    Status     `json:"status"`
	Why       string     `json:"why"`
}

// Note is a remark on a part or a folder: a fixed code and words for a person.
type Note struct {
	Code string `json:"code"`
	Text string `json:"text"`
}

// Option is one way up of the choice set, and what it costs. Raw figures are by
// facet alone; the others after ledges and bridges are spared.
type Option struct {
	Up          [3]float64 `json:"up" places:"9"` // unit vector, file frame
	Height      float64    `json:"height_mm" places:"6"`
	Layers      int        `json:"layers"`
	Overhang    float64    `json:"overhang_mm2" places:"3"`
	OverhangRaw float64    `json:"overhang_raw_mm2" places:"3"`
	Support     float64    `json:"support_mm3" places:"3"`
	SupportRaw  float64    `json:"support_raw_mm3" places:"3"`
	Footprint   float64    `json:"footprint_mm2" places:"3"`
	Contact     float64    `json:"contact_mm2" places:"3"`
	Scar        Roles      `json:"scar_mm2"`
	Cusp        Roles      `json:"cusp_mm3"`
	Tip         float64    `json:"tip_deg" places:"4"`
	Held        float64    `json:"tip_supported_deg" places:"4"` // where support stands counted as feet
	BenchHours  float64    `json:"bench_hours" places:"4"`       // scars and sanding
	ScarHours   float64    `json:"scar_hours" places:"4"`        // hand work where support touched
	SandHours   float64    `json:"sanding_hours" places:"4"`     // hand work on the steps between layers
	Notes       []Note     `json:"notes"`                        // what to know before printing it this way; empty but for the chosen option
	On          []On       `json:"on"`                           // printers it fits on
}

// Roles splits an area or a volume by what the surface is for.
type Roles struct {
	Show   float64 `json:"show" places:"3"`
	Joint  float64 `json:"joint" places:"3"`
	Hidden float64 `json:"hidden" places:"3"`
}

// On is what one copy of an option costs alone on a printer.
type On struct {
	Printer  string  `json:"printer"`
	Hours    float64 `json:"hours" places:"4"`
	Filament float64 `json:"filament_g" places:"2"` // support included
	Support  float64 `json:"support_g" places:"2"`
	Loss     float64 `json:"loss_hours" places:"4"`        // lost on average to prints that fail
	Until    float64 `json:"until_paint_hours" places:"4"` // machine, bench and loss, weighted; sanding by this printer's layers
}

// Plate is what one printer prints in one run.
type Plate struct {
	ID         string     `json:"id"`
	Printer    string     `json:"printer"`
	ChangeFrom *time.Time `json:"change_from"` // when the person empties the printer for it; nil when Start is
	Start      *time.Time `json:"start"`       // nil until plates are planned through the days
	End        *time.Time `json:"end"`         // nil when Start is
	Hours      float64    `json:"hours" places:"4"`
	Filament   float64    `json:"filament_g" places:"2"`
	Files      Files      `json:"files"`
	Items      []Item     `json:"items"`
}

// Files are where a plate's shapes are, relative to the job list, with forward
// slashes; empty when a file was not written.
type Files struct {
	ThreeMF string `json:"3mf" empty:"null"`
	STL     string `json:"stl" empty:"null"`
}

// Item is one copy of a part where it stands on a plate.
type Item struct {
	Part   string      `json:"part"`
	Copy   int         `json:"copy"`
	Option int         `json:"option"`                  // index into the part's Options
	Box    *[4]float64 `json:"box_mm" places:"6"`       // least x, least y, most x, most y on the bed; nil when not known
	Matrix [16]float64 `json:"matrix" places:"9,9,9,6"` // row-major, file frame to printer frame, mm
}
