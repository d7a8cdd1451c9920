package nights

import (
	"errors"
	"math"
	"math/bits"
	"slices"
)

// ErrMany is returned for more parts than ShareRuns can look at.
var ErrMany = errors.New("nights: more parts than can be looked at exactly")

// MostRunParts is the most parts that ShareRuns takes: 3^12 pairs of a set and
// a subset take 10 ms a printer.
const MostRunParts = 12

// RunPrinter is a printer as far as the length of its runs goes. A run takes
// Setup, then PerVolume for the volume of all its parts, then PerHeight for
// the height of the highest. Units are the caller's, the same for all.
type RunPrinter struct {
	Setup, PerVolume, PerHeight float64
	Area, Height                float64 // of what a run can hold
}

// RunPart is a part that shares runs with others.
type RunPart struct{ Volume, Height, Area float64 }

// Run is what a printer prints in one go.
type Run struct {
	Printer int
	Parts   []int // rising
}

// ShareRuns puts parts into runs and runs onto printers so that the printer
// that is done last is done soonest, with nobody to wait for; it returns the
// runs and when that is. The result is exact.
//
// Parts share a run when none is too high and their areas together are not too
// large. No real plate is filled to the last mm², so with the shadows of parts
// as their areas the result is a bound for any packing of plates, and with it
// for any plan of them. (This is "p-batch" scheduling on unrelated machines,
// with the run time of layer-wise machines, as Kucukkoc 2019 has it, from
// memory.) Plan does not call it: its plates are packed already.
//
// When a part fits no printer the end is +Inf, without runs. Errors: ErrMany.
// Cost: O(3^n) for each printer.
func ShareRuns(printers []RunPrinter, parts []RunPart) ([]Run, float64, error) {
	if len(parts) > MostRunParts {
		return nil, 0, ErrMany
	}
	all := 1<<len(parts) - 1
	least := make([]float64, all+1) // by set: its end on the printers so far
	for set := 1; set <= all; set++ {
		least[set] = math.Inf(1)
	}
	took := make([][]int, len(printers)) // by printer and set: what that printer takes of it
	cuts := make([][]int, len(printers)) // by printer and set: its first run
	for k, p := range printers {
		var alone []float64
		alone, cuts[k] = p.alone(parts)
		took[k] = make([]int, all+1)
		for set := all; set > 0; set-- {
			for sub := set; sub > 0; sub = (sub - 1) & set {
				if end := max(alone[sub], least[set&^sub]); end < least[set] {
					least[set], took[k][set] = end, sub
				}
			}
		}
	}
	if math.IsInf(least[all], 1) {
		return nil, least[all], nil
	}
	var runs []Run
	for k, set := len(printers)-1, all; k >= 0; k-- {
		sub := took[k][set]
		set &^= sub
		for ; sub > 0; sub &^= cuts[k][sub] {
			runs = append(runs, Run{k, indices(cuts[k][sub])})
		}
	}
	slices.SortStableFunc(runs, func(a, b Run) int { return a.Printer - b.Printer })
	return runs, least[all], nil
}

// alone returns, by set of parts, the least time of its runs one after the
// other, +Inf if it cannot be printed, and the run that holds its first part.
func (p RunPrinter) alone(parts []RunPart) (time []float64, cut []int) {
	sets := 1 << len(parts)
	time, cut = make([]float64, sets), make([]int, sets)
	once := make([]float64, sets)
	for set := 1; set < sets; set++ {
		once[set] = p.once(parts, set)
	}
	for set := 1; set < sets; set++ {
		time[set] = math.Inf(1)
		first := set & -set
		rest := set &^ first
		for sub := rest; ; sub = (sub - 1) & rest {
			if t := once[sub|first] + time[rest&^sub]; t < time[set] {
				time[set], cut[set] = t, sub|first
			}
			if sub == 0 {
				break
			}
		}
	}
	return time, cut
}

// once returns how long a run with a set of parts takes, +Inf if it is too
// full or a part too high.
func (p RunPrinter) once(parts []RunPart, set int) float64 {
	volume, height, area := 0.0, 0.0, 0.0
	for _, i := range indices(set) {
		volume, area = volume+parts[i].Volume, area+parts[i].Area
		height = max(height, parts[i].Height)
	}
	if area > p.Area || height > p.Height {
		return math.Inf(1)
	}
	return p.Setup + p.PerVolume*volume + p.PerHeight*height
}

// indices returns the members of a set, rising.
func indices(set int) []int {
	var out []int
	for ; set > 0; set &= set - 1 {
		out = append(out, bits.TrailingZeros(uint(set)))
	}
	return out
}
