package printer

import (
	"math"

	"platewright/support"
)

// sharp is the turn from which a loop may start at a corner without losing
// time: it would slow there anyway.
const sharp = 1 // radian

// walls adds the time and volume of the walls and returns how many fit.
func (l layer) walls(s *Parts, v *Volumes) int {
	speed := l.speed(l.printer.WallSpeed)
	for i := range l.printer.Walls {
		_, length := l.movedIn(l.inset(i))
		if length == 0 {
			return i
		}
		v.Walls += length * l.bead
		s.Walls += l.loops(length, l.inset(i), speed)
	}
	return l.printer.Walls
}

// loops returns the seconds for all outlines of the layer moved in by d, length
// in all. Each corner gets its share of the way, half of the move before it and
// half of that behind.
func (l layer) loops(length, d, speed float64) float64 {
	around, corners, starts := 0.0, 0.0, float64(l.Rings)
	for class := range support.NumCorners {
		convex, reflex := l.Convex[class], l.Reflex[class]
		around += convex.Length + reflex.Length
		corners += convex.Count + reflex.Count
		if support.CornerTurn(class) > sharp {
			starts -= convex.Count
		}
	}
	if corners == 0 || around == 0 {
		return length / speed
	}
	seconds := 0.0
	for class := range support.NumCorners {
		turn := support.CornerTurn(class)
		seconds += l.corners(l.Convex[class], turn, length/around, 1, 0, speed)
		pieces, piece := arc(turn, d)
		seconds += l.corners(l.Reflex[class], turn, length/around, pieces, piece, speed)
	}
	// A loop without a sharp corner nevertheless starts and ends in one.
	start := l.corners(support.Corners{Count: 1, Length: around / corners}, math.Pi/2, length/around, 1, 0, speed)
	return seconds + math.Max(0, starts)*math.Max(0, start-seconds/corners)
}

// arc returns how many corners stand for a reflex corner on an outline moved in
// by d, and how far they are apart: moved in, it is an arc of that radius, drawn
// by chords that stray from it by no more than the tolerance.
func arc(turn, d float64) (pieces, apart float64) {
	most := 2 * math.Acos(1-math.Min(1, support.OutlineTolerance/d))
	pieces = math.Ceil(turn / most)
	return pieces, d * turn / pieces
}

// corners returns the seconds spent about corners of one turn, each of them
// drawn as so many pieces a distance apart. stretch is by how much the outline
// is longer than where the corners were counted.
func (l layer) corners(c support.Corners, turn, stretch, pieces, apart, speed float64) float64 {
	if c.Count == 0 {
		return 0
	}
	a := l.printer.Acceleration
	u := math.Min(speed, cornerSpeed(l.printer.CornerSpeed, turn/pieces))
	way := math.Max(0, c.Length/c.Count*stretch-(pieces-1)*apart)
	return c.Count * (moveTime(way, speed, a, u) + (pieces-1)*moveTime(apart, speed, a, u))
}
