package support

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"platewright/support/mesh"
)

// chord is the cut of one facet by a level plane, body to the left.
type chord struct{ p, q r2.Vec }

// sliceBatch is how many heights are cut at a time: enough that passing over
// all facets costs little, few enough that their chords need little memory.
const sliceBatch = 64

// eachSlice calls do with the chords of each of the rising heights in turn.
// The chords are only lent.
func eachSlice(m *mesh.Mesh, heights []float64, do func(k int, slice []chord)) {
	var batch [sliceBatch][]chord
	for from := 0; from < len(heights); from += sliceBatch {
		part := heights[from:min(from+sliceBatch, len(heights))]
		for i := range batch {
			batch[i] = batch[i][:0]
		}
		eachCut(m, part, func(_ mesh.FaceID, k int, p, q r2.Vec) {
			batch[k] = append(batch[k], chord{p, q})
		})
		for k := range part {
			do(from+k, batch[k])
		}
	}
}

// outlinesOf joins chords to outlines and returns the area they bound, their
// length, and how many of them run round body rather than round a hole.
//
// The two facets of an edge are cut at the same point to the bit, so chords
// join exactly. It sorts the chords.
func outlinesOf(slice []chord) (area, length float64, islands int) {
	slices.SortFunc(slice, func(a, b chord) int { return comparePoints(a.p, b.p) })
	done := make([]bool, len(slice))
	for i := range slice {
		if done[i] {
			continue
		}
		origin, loop := slice[i].p, 0.0
		for at := i; at >= 0; at = following(slice, done, slice[at].q) {
			done[at] = true
			loop += r2.Cross(r2.Sub(slice[at].p, origin), r2.Sub(slice[at].q, origin)) / 2
			length += r2.Norm(r2.Sub(slice[at].q, slice[at].p))
		}
		area += loop
		if loop > 0 {
			islands++
		}
	}
	return area, length, islands
}

// following returns a chord not yet done that starts at p, or −1.
func following(slice []chord, done []bool, p r2.Vec) int {
	i, _ := slices.BinarySearchFunc(slice, p, func(c chord, p r2.Vec) int { return comparePoints(c.p, p) })
	for ; i < len(slice) && slice[i].p == p; i++ {
		if !done[i] {
			return i
		}
	}
	return -1
}

func comparePoints(a, b r2.Vec) int {
	if c := cmp.Compare(a.X, b.X); c != 0 {
		return c
	}
	return cmp.Compare(a.Y, b.Y)
}

// scanStep is the distance of the lines that measure the union of overlapping
// shells: about the width of a printed line.
const scanStep = 0.5

// scanCrossing is where a scan line crosses an outline, and how much of the
// outline's length it stands for.
type scanCrossing struct {
	x      float64
	enter  bool
	length float64
}

// unite replaces a layer's figures by those of the union of its outlines,
// where they overlap or touch: the exact figures less what the scan lines find
// inside the union.
func (l *Layer) unite(slice []chord) {
	along, buriedX, inside := unionOf(scan(slice))
	for i, c := range slice {
		slice[i] = chord{r2.Vec{X: c.q.Y, Y: c.q.X}, r2.Vec{X: c.p.Y, Y: c.p.X}}
	}
	_, buriedY, _ := unionOf(scan(slice))
	if buriedX == 0 && buriedY == 0 {
		return
	}
	l.Wall -= buriedX + buriedY
	l.Solid -= inside
	l.Islands = countIslands(along)
}

// unionOf returns the stretches of each line inside the union, the outline
// length that lies within it, and by how much the areas of the shells exceed
// that of the union.
func unionOf(lines [][]scanCrossing) (runs [][]scanRun, buried, excess float64) {
	runs = make([][]scanRun, len(lines))
	for i, line := range lines {
		slices.SortFunc(line, func(a, b scanCrossing) int { return cmp.Compare(a.x, b.x) })
		runs[i] = joinRuns(line)
		for _, c := range line {
			buried += c.length
			if c.enter {
				excess -= c.x * scanStep
			} else {
				excess += c.x * scanStep
			}
		}
		for _, r := range runs[i] {
			buried -= r.enter + r.leave
			excess -= (r.to - r.from) * scanStep
		}
	}
	if buried < scanStep/2 {
		buried = 0 // rounding: less than one crossing
	}
	return runs, buried, excess
}

// scan crosses the chords with lines along X. Chords that run more along X
// than across stand for no length: lines along Y measure those.
func scan(slice []chord) [][]scanCrossing {
	low, high := math.Inf(1), math.Inf(-1)
	for _, c := range slice {
		low, high = min(low, c.p.Y), max(high, c.p.Y)
	}
	if low >= high {
		return nil
	}
	start := low - offGrid*scanStep
	lines := make([][]scanCrossing, int((high-start)/scanStep)+2)
	for _, c := range slice {
		p, q := c.p, c.q
		if p.Y > q.Y {
			p, q = q, p
		}
		d := r2.Sub(q, p)
		length := 0.0
		if d.Y >= math.Abs(d.X) && d.Y > 0 {
			length = scanStep * r2.Norm(d) / d.Y
		}
		for i := int(math.Ceil((p.Y - start) / scanStep)); start+float64(i)*scanStep < q.Y; i++ {
			x := p.X + (start+float64(i)*scanStep-p.Y)/d.Y*d.X
			lines[i] = append(lines[i], scanCrossing{x, c.q.Y < c.p.Y, length})
		}
	}
	return lines
}

// scanRun is a stretch of a scan line inside the body, and the outline length
// that its two ends stand for.
type scanRun struct{ from, to, enter, leave float64 }

// joinRuns turns a line's crossings, sorted, into the stretches inside at
// least one shell. Stretches nearer than a hundredth of a line touch.
func joinRuns(line []scanCrossing) []scanRun {
	var out []scanRun
	depth := 0
	for _, c := range line {
		if c.enter {
			depth++
			switch n := len(out); {
			case depth != 1:
			case n > 0 && c.x-out[n-1].to <= scanStep/100:
			default:
				out = append(out, scanRun{from: c.x, to: c.x, enter: c.length})
			}
			continue
		}
		depth--
		if len(out) > 0 {
			if r := &out[len(out)-1]; depth == 0 {
				r.to, r.leave = c.x, c.length
			}
		}
		depth = max(depth, 0)
	}
	return out
}

// countIslands counts groups of runs that overlap from line to line.
func countIslands(runs [][]scanRun) int {
	islands := 0
	var before, group []int // group of each run of the last line; root of each group
	root := func(g int) int {
		for group[g] != g {
			g = group[g]
		}
		return g
	}
	var last []scanRun
	for _, line := range runs {
		now := make([]int, len(line))
		for i, r := range line {
			now[i] = -1
			for j, b := range last {
				if b.to < r.from || b.from > r.to {
					continue
				}
				g := root(before[j])
				switch {
				case now[i] < 0:
					now[i] = g
				case root(now[i]) != g:
					group[root(now[i])] = g
					islands--
				}
			}
			if now[i] < 0 {
				now[i] = len(group)
				group = append(group, len(group))
				islands++
			}
		}
		last, before = line, now
	}
	return islands
}
