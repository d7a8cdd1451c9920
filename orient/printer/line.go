package printer

import "math"

// Lines are linked where their ends are no further apart than linkLimit
// spacings. Neighbouring lines end 1/sin φ spacings apart where the border runs
// at an angle φ to them. All angles alike, and counting that lines end on a
// border in proportion to sin φ, the links follow π/2 spacings of border a line.
// Of that, links beyond the limit, where sin φ < 1/limit, take
// asin(1/limit), which they share between 1 − √(1 − 1/limit²) of the lines.
const linkLimit = 3

func linkedWay() float64 { return math.Pi/2 - math.Asin(1.0/linkLimit) }

func lostWay() float64 {
	return math.Asin(1.0/linkLimit) / (1 - math.Sqrt(1-1.0/(linkLimit*linkLimit)))
}

// drawn is what lines take.
type drawn struct{ seconds, volume, travel float64 }

// into adds what lines take to sums.
func (d drawn) into(seconds, volume, travel *float64) {
	*seconds += d.seconds
	*volume += d.volume
	*travel += d.travel
}

// lines returns what it takes to fill a region, in so many pieces, with lines a
// spacing apart: the mean over the two directions.
func (l layer) lines(r region, pieces, spacing, speed float64) drawn {
	var sum drawn
	if r.area <= 0 {
		return sum
	}
	for _, across := range r.across {
		if across > 0 {
			d := l.hatch(r.area/spacing, across/spacing, r.outline/2/across, pieces, spacing, l.speed(speed))
			sum = drawn{sum.seconds + d.seconds/2, sum.volume + d.volume/2, sum.travel + d.travel/2}
		}
	}
	return sum
}

// hatch returns what so many lines of some length in all take. border is what
// of the region's border falls to a line, in spacings. Each line begins and ends
// in a corner, where the head slows about as at a right angle.
func (l layer) hatch(length, lines, border, pieces, spacing, speed float64) drawn {
	a, u := l.printer.Acceleration, math.Min(speed, l.printer.CornerSpeed)
	linked := math.Min(border, linkedWay())
	lost := math.Min(1, (border-linked)/lostWay())
	on := math.Max(0, lines-pieces) // lines that another comes before
	links := on * (1 - lost)
	link := math.Min(on*linked/math.Max(links, 1e-9), linkLimit) * spacing
	hops := on*lost + math.Min(lines, pieces)
	return drawn{
		seconds: lines*moveTime(length/lines, speed, a, u) + links*moveTime(link, speed, a, u),
		volume:  (length + links*link) * l.bead,
		travel:  hops * l.hop(lostWay()*spacing),
	}
}
