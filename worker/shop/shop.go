package shop

import (
	"platewright/orient/printer"
	"platewright/support/plane"
)

// Shop is what a shop file says, defaults filled in.
type Shop struct {
	Printers  []printer.Printer // at least one, in the order of the file
	Materials []printer.Material
	Support   Support
	Search    Search
	Hours     Hours
	Bench     Bench
	Weights   Weights
	Plate     Plate
	Reserve   Reserve
	Worries   Worries
}

// Support says what needs support.
type Support struct {
	Overhang plane.Angle // limit from the vertical
	Ledge    float64     // widest level ledge that needs none, mm
	Bridge   float64     // longest bridge that needs none, mm
}

// Search says how orientations are searched.
type Search struct {
	Directions int // tried for each part
	Options    int // most orientations kept in a choice set
	SafeTip    plane.Angle
	Seed       int64
}

// Hours are the three clocks of the shop.
type Hours struct {
	Zone       string  // IANA name; time.LoadLocation knows it
	Unattended bool    // whether a printer may run outside attended hours
	Change     float64 // minutes a change takes
	Attended   Week    // when a person is there
	Running    Week    // when a printer may run
	Start      Week    // when a print may be started, if also attended
}

// Roles holds a number for each role of a face.
type Roles struct{ Show, Joint, Hidden float64 }

// Bench says how long handwork takes.
type Bench struct {
	Scar Roles // minutes a mm² of scar
	Cusp Roles // minutes a mm³ of cusp
}

// Weights are what counts how much in a score, none negative and not all zero.
type Weights struct {
	Machine, Bench float64 // of an hour
	// Prices of bare figures: hours a mm², a mm³, a layer and a mm².
	Overhang, Support, Layer, Footprint float64
}

// Plate limits what one plate holds; a zero limit is none.
type Plate struct {
	Parts   int
	Hours   float64
	Grams   float64
	Failure float64 // chance that a running plate fails within an hour, 0 to 1
	Tip     float64 // chance that a part on the brink of falling comes off, 0 to 1
}

// Worries are the figures from which on something about a way up is told. They
// weigh nothing.
type Worries struct {
	Thick                float64 // greatest thickness of a slim feature, mm
	Slender              float64 // how many times as high as thick it is at the least
	FlatLength, FlatArea float64 // largest flat face on the plate, mm and mm²
	Tall                 float64 // how many times as high as its base is deep a part may be
}

// Reserve is what is kept in hand.
type Reserve struct {
	Grams    float64 // left on a spool at the least
	Filament float64 // the same as a share of what a plate needs, 0 to 1
	Time     float64 // share added to a forecast when it is fitted into a window
}

// Needed returns the grams to be left on a spool after so many are used.
func (r Reserve) Needed(grams float64) float64 { return max(r.Grams, r.Filament*grams) }

// Parse reads a shop file. The name is only told in faults. With any fault
// the Shop is the zero value.
//
// Laws: 1. the same bytes give the same Shop and the same faults in the same
// order. 2. Parse of Annotated has no faults and gives Standard.
func Parse(name string, data []byte) (Shop, Faults) {
	values, spots, faults := parseDocument(name, data)
	if len(faults) > 0 {
		return Shop{}, faults
	}
	file := top(name, values, spots, shopHomes())
	out := readShop(file)
	file.faults.sort()
	if len(*file.faults) > 0 {
		return Shop{}, *file.faults
	}
	return out, nil
}

func readShop(file *section) Shop {
	var out Shop
	var printers, materials []*section
	out.Printers, printers = list(file, printerTable())
	out.Materials, materials = list(file, materialTable())
	if len(out.Materials) == 0 {
		out.Materials = []printer.Material{standardMaterial()}
	}
	out.Support, _ = single(file, supportTable(), "support")
	out.Search, _ = single(file, searchTable(), "search")
	var hours, weights *section
	out.Hours, hours = readHours(file)
	out.Bench, _ = single(file, benchTable(), "bench")
	out.Weights, weights = single(file, weightsTable(), "weights")
	out.Plate, _ = single(file, plateTable(), "plate")
	out.Reserve, _ = single(file, reserveTable(), "reserve")
	out.Worries, _ = single(file, worriesTable(), "worries")
	file.known(shopTables)

	checkPrinters(file, &out, printers, materials)
	checkMaterials(&out, materials)
	checkHours(out.Hours, hours)
	checkWeights(out.Weights, weights)
	return out
}

func readHours(file *section) (Hours, *section) {
	out, hours := single(file, hoursTable(), "hours")
	out.Attended, _ = single(hours, attendedTable(), "attended")
	out.Running, _ = single(hours, runningTable(), "running")
	out.Start, _ = single(hours, startTable(), "start")
	return out, hours
}

// shopTables are the names at the top of a shop file.
var shopTables = []string{"printer", "material", "support", "search", "hours", "bench", "weights", "plate", "reserve", "worries"}

// shopHomes returns, for every key of a shop file, the header under which it
// belongs.
func shopHomes() map[string]string {
	homes := map[string]string{}
	house(homes, "[[printer]]", printerTable().names())
	house(homes, "[[material]]", materialTable().names())
	house(homes, "[support]", supportTable().names())
	house(homes, "[search]", searchTable().names())
	house(homes, "[hours]", hoursTable().names())
	house(homes, "[hours.attended], [hours.running] or [hours.start]", days[:])
	house(homes, "[bench]", benchTable().names())
	house(homes, "[weights]", weightsTable().names())
	house(homes, "[plate]", plateTable().names())
	house(homes, "[reserve]", reserveTable().names())
	house(homes, "[worries]", worriesTable().names())
	return homes
}

// house notes the header of each name that has none yet.
func house(homes map[string]string, header string, names []string) {
	for _, n := range names {
		if homes[n] == "" {
			homes[n] = header
		}
	}
}

// standardMaterial is the material of a file that describes none.
func standardMaterial() printer.Material {
	m := materialTable().fresh()
	m.Name = "PLA"
	return m
}

// Standard returns the shop that Annotated describes: two invented printers
// and one material, everything else by default.
func Standard() Shop {
	small, large := printerTable().fresh(), printerTable().fresh()
	small.Name, small.Bed.Width, small.Bed.Depth, small.Height = "small", 200, 160, 150
	large.Name, large.Bed.Width, large.Bed.Depth, large.Height = "large", 250, 250, 260
	hours := hoursTable().fresh()
	hours.Attended, hours.Running, hours.Start = attendedTable().fresh(), runningTable().fresh(), startTable().fresh()
	return Shop{
		Printers:  []printer.Printer{small, large},
		Materials: []printer.Material{standardMaterial()},
		Support:   supportTable().fresh(),
		Search:    searchTable().fresh(),
		Hours:     hours,
		Bench:     benchTable().fresh(),
		Weights:   weightsTable().fresh(),
		Plate:     plateTable().fresh(),
		Reserve:   reserveTable().fresh(),
		Worries:   worriesTable().fresh(),
	}
}
