package worker

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/orient"
	"platewright/support"
	"platewright/support/mesh"
	"platewright/support/plane"
)

// why says in a line what the chosen option costs in hand work, and what the
// best of the others would do instead.
func (b *build) why(p *part, chosen int) string {
	text := wayText(p.Options[chosen].Up) + ": " + scarText(p.Options[chosen].Measures.Scar)
	if len(p.Options) == 1 {
		return text + "; no other way up is kept"
	}
	other := otherWay(p.Options, chosen)
	return text + "; " + wayText(p.Options[other].Up) + ": " + b.insteadText(p, other, chosen)
}

// another is how far from the chosen way up one has to be to be worth telling.
const another = 20 * plane.Degree

// otherWay returns the best of the options that are another way up than the
// chosen one, or of all others if none is.
func otherWay(options []orient.Option, chosen int) int {
	first := -1
	for k, o := range options {
		if k == chosen {
			continue
		}
		if orient.Between(o.Up, options[chosen].Up) >= another {
			return k
		}
		if first < 0 {
			first = k
		}
	}
	return first
}

// wayText names a way up by the file's own axes.
func wayText(up mesh.Direction) string {
	names := []struct {
		axis r3.Vec
		name string
	}{
		{r3.Vec{Z: 1}, "as drawn"}, {r3.Vec{Z: -1}, "upside down"},
		{r3.Vec{X: 1}, "-x side down"}, {r3.Vec{X: -1}, "+x side down"},
		{r3.Vec{Y: 1}, "-y side down"}, {r3.Vec{Y: -1}, "+y side down"},
	}
	best, name := plane.Angle(math.Pi), ""
	for _, n := range names {
		axis, err := mesh.NewDirection(n.axis)
		if err != nil {
			panic("worker: an axis has no direction: " + err.Error())
		}
		if a := orient.Between(up, axis); a < best {
			best, name = a, n.name
		}
	}
	if math.Round(best.Degrees()) == 0 {
		return name
	}
	return fmt.Sprintf("%s, tilted %.0f°", name, best.Degrees())
}

// insteadText says what option k costs beside another: hours of the quickest
// printer that each fits on, hours of hand work, scars.
func (b *build) insteadText(p *part, k, than int) string {
	var out []string
	if d := p.leastHours(k) - p.leastHours(than); math.Abs(d) >= 0.05 {
		out = append(out, fmt.Sprintf("prints %.1f h %s", math.Abs(d), [...]string{"longer", "shorter"}[sign(d)]))
	}
	scars, sanding := b.bench(p, k)
	scarsThan, sandingThan := b.bench(p, than)
	if d := scars + sanding - scarsThan - sandingThan; math.Abs(d) >= 0.05 {
		out = append(out, fmt.Sprintf("%.1f h %s handwork", math.Abs(d), [...]string{"more", "less"}[sign(d)]))
	}
	return strings.Join(append(out, scarText(p.Options[k].Measures.Scar)), ", ")
}

func sign(d float64) int {
	if d < 0 {
		return 1
	}
	return 0
}

// leastHours returns the hours of option k on the quickest printer that it fits
// on; on any, when it fits on none.
func (p *part) leastHours(k int) float64 {
	best, any := math.Inf(1), math.Inf(1)
	for _, c := range p.costs[k] {
		any = min(any, c.Hours)
		if c.fits {
			best = min(best, c.Hours)
		}
	}
	if math.IsInf(best, 1) {
		return any
	}
	return best
}

// cm2 is a square centimetre in mm², and leastScar the area in mm² below which a
// scar is not told: it would read 0.0 cm².
const (
	cm2       = 100
	leastScar = 5
)

// scarText says how much scar there is and where; what would be told as 0.0 is
// left out.
func scarText(s support.ByRole) string {
	switch {
	case s.Sum() < leastScar:
		return "no scar"
	case s[support.Show] < leastScar && s[support.Joint] < leastScar:
		return fmt.Sprintf("%.1f cm² of scar, all hidden", s.Sum()/cm2)
	}
	var where []string
	for r := range support.Role(support.NumRoles) {
		if s[r] >= leastScar {
			where = append(where, fmt.Sprintf("%.1f cm² %s", s[r]/cm2, [...]string{"on show", "on joints", "hidden"}[r]))
		}
	}
	return "scar of " + strings.Join(where, ", ")
}
