package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"slices"
)

// The slow and obvious checker of written placements. It reads both files
// itself and shares no code with the packer.

// checkTolerance is how far, relative to the strip's height, parts may
// overlap or leave the strip: above the packer's touch of 1e-7 for each
// part, below what the published figures can show.
const checkTolerance = 1e-6

type point struct{ x, y float64 }

type checkedInstance struct {
	Strip_height float64
	Items        []struct {
		ID, Demand int
		Rotations  any
		Outline    [][2]float64
		Holes      [][][2]float64
	}
}

type checkedResult struct {
	Length float64
	Items  []struct {
		ID         int
		Rotate_deg float64
		X, Y       float64
	}
}

// faults returns what is wrong with a written layout.
func faults(instancePath, resultPath string) []string {
	var in checkedInstance
	var got checkedResult
	for path, into := range map[string]any{instancePath: &in, resultPath: &got} {
		data, err := os.ReadFile(path)
		if err == nil {
			err = json.Unmarshal(data, into)
		}
		if err != nil {
			return []string{err.Error()}
		}
	}
	return in.faults(got)
}

func (in checkedInstance) faults(got checkedResult) []string {
	var out []string
	tol := checkTolerance * in.Strip_height
	count := map[int]int{}
	var shapes [][][]point
	for n, at := range got.Items {
		count[at.ID]++
		for _, it := range in.Items {
			if it.ID != at.ID {
				continue
			}
			if list, ok := it.Rotations.([]any); ok && !slices.ContainsFunc(list, func(r any) bool {
				return math.Abs(math.Remainder(r.(float64)-at.Rotate_deg, 360)) < 1e-9
			}) {
				out = append(out, fmt.Sprintf("item %d turned by %v", n, at.Rotate_deg))
			}
			var shape [][]point
			for _, ring := range append([][][2]float64{it.Outline}, it.Holes...) {
				shape = append(shape, put(ring, at.Rotate_deg, at.X, at.Y))
			}
			for _, p := range shape[0] {
				if p.x < -tol || p.x > got.Length+tol || p.y < -tol || p.y > in.Strip_height+tol {
					out = append(out, fmt.Sprintf("item %d leaves the strip at %v", n, p))
					break
				}
			}
			shapes = append(shapes, shape)
		}
	}
	for _, it := range in.Items {
		if count[it.ID] != it.Demand {
			out = append(out, fmt.Sprintf("id %d: %d placed, want %d", it.ID, count[it.ID], it.Demand))
		}
	}
	for i := range shapes {
		for j := range i {
			if d := reach(shapes[i], shapes[j]); d > tol {
				out = append(out, fmt.Sprintf("items %d and %d overlap by %v", j, i, d))
			}
		}
	}
	return out
}

func put(ring [][2]float64, degrees, x, y float64) []point {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	var out []point
	for _, p := range ring {
		out = append(out, point{p[0]*cos - p[1]*sin + x, p[0]*sin + p[1]*cos + y})
	}
	return out
}

// reach returns how deep some point of the rings of one region, or of the
// middles between their crossings with the other's, lies in the other: 0 when
// the regions share no area.
func reach(a, b [][]point) float64 {
	deepest := 0.0
	for _, pair := range [][2][][]point{{a, b}, {b, a}} {
		for _, ring := range pair[0] {
			for i, p := range ring {
				q := ring[(i+1)%len(ring)]
				cuts := []float64{0, 1}
				for _, other := range pair[1] {
					for j, r := range other {
						if t, ok := crossing(p, q, r, other[(j+1)%len(other)]); ok {
							cuts = append(cuts, t)
						}
					}
				}
				slices.Sort(cuts)
				for k := range cuts {
					deepest = max(deepest, depthIn(pair[1], along(p, q, cuts[k])))
					if k > 0 {
						deepest = max(deepest, depthIn(pair[1], along(p, q, (cuts[k-1]+cuts[k])/2)))
					}
				}
			}
		}
	}
	// Regions with the same rings have no point of a ring inside.
	for _, pair := range [][2][][]point{{a, b}, {b, a}} {
		if m := inner(pair[0]); depthIn(pair[0], m) > 0 {
			deepest = max(deepest, depthIn(pair[1], m))
		}
	}
	return deepest
}

// inner returns the mean of the corners of the outer ring.
func inner(a [][]point) point {
	var m point
	for _, p := range a[0] {
		m.x, m.y = m.x+p.x/float64(len(a[0])), m.y+p.y/float64(len(a[0]))
	}
	return m
}

func along(p, q point, t float64) point { return point{p.x + t*(q.x-p.x), p.y + t*(q.y-p.y)} }

// crossing returns where on pq the line rs is crossed.
func crossing(p, q, r, s point) (float64, bool) {
	det := (q.x-p.x)*(s.y-r.y) - (q.y-p.y)*(s.x-r.x)
	if det == 0 {
		return 0, false
	}
	t := ((r.x-p.x)*(s.y-r.y) - (r.y-p.y)*(s.x-r.x)) / det
	u := ((r.x-p.x)*(q.y-p.y) - (r.y-p.y)*(q.x-p.x)) / det
	return t, t > 0 && t < 1 && u >= 0 && u <= 1
}

// depthIn returns how far inside a region a point lies, 0 when it is not.
func depthIn(rings [][]point, p point) float64 {
	inside, nearest := false, math.Inf(1)
	for _, ring := range rings {
		for i, a := range ring {
			b := ring[(i+1)%len(ring)]
			if (a.y > p.y) != (b.y > p.y) && p.x < a.x+(p.y-a.y)/(b.y-a.y)*(b.x-a.x) {
				inside = !inside
			}
			dx, dy := b.x-a.x, b.y-a.y
			t := min(1, max(0, ((p.x-a.x)*dx+(p.y-a.y)*dy)/(dx*dx+dy*dy)))
			nearest = min(nearest, math.Hypot(p.x-a.x-t*dx, p.y-a.y-t*dy))
		}
	}
	if !inside {
		return 0
	}
	return nearest
}
