package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"time"

	"gonum.org/v1/gonum/spatial/r2"

	"platewright/bedpack"
	"platewright/support/plane"
)

// instance is a published strip packing problem.
type instance struct {
	Name   string
	Height float64 `json:"strip_height"`
	Items  []item
}

type item struct {
	ID        int
	Demand    int
	Rotations rotations
	Outline   [][2]float64
	Holes     [][][2]float64
}

// rotations are the degrees by which an item may be turned; nil: any.
type rotations []float64

// UnmarshalJSON reads a list of degrees, or "free".
func (r *rotations) UnmarshalJSON(data []byte) error {
	if string(data) == `"free"` {
		*r = nil
		return nil
	}
	return json.Unmarshal(data, (*[]float64)(r))
}

var errInstance = errors.New("stripbench: not a strip instance")

func readInstance(path string) (*instance, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	in := &instance{}
	if err := json.Unmarshal(data, in); err != nil {
		return nil, fmt.Errorf("%s: %w: %w", path, errInstance, err)
	}
	if in.Height <= 0 || len(in.Items) == 0 {
		return nil, fmt.Errorf("%s: %w: no height or no items", path, errInstance)
	}
	return in, nil
}

// outline returns an item's region: outer ring counter-clockwise, holes
// clockwise.
func (it *item) outline() plane.Outline {
	out := plane.Outline{ring(it.Outline, true)}
	for _, h := range it.Holes {
		out = append(out, ring(h, false))
	}
	return out
}

func ring(points [][2]float64, ccw bool) plane.Ring {
	var out plane.Ring
	for _, p := range points {
		out = append(out, r2.Vec{X: p[0], Y: p[1]})
	}
	if (out.SignedArea() > 0) != ccw {
		out = out.Reversed()
	}
	return out
}

// strip returns the problem and, by copy, the index of its item.
func (in *instance) strip() (bedpack.Strip, []int) {
	out := bedpack.Strip{Height: in.Height}
	var of []int
	for k, it := range in.Items {
		part := bedpack.StripItem{Outline: it.outline()}
		for _, r := range it.Rotations {
			part.Spins = append(part.Spins, plane.Angle(r)*plane.Degree)
		}
		for range it.Demand {
			out.Items = append(out.Items, part)
			of = append(of, k)
		}
	}
	return out, of
}

func (in *instance) density(length float64) float64 {
	area := 0.0
	for _, it := range in.Items {
		area += float64(it.Demand) * it.outline().Area()
	}
	return 100 * area / (in.Height * length)
}

// searches run side by side.
const searches = 2

// pack searches until a clock has run for spend and returns the shortest strip
// found.
func (in *instance) pack(seed uint64, spend time.Duration, clock func() time.Duration) result {
	strip, of := in.strip()
	began := clock()
	var layouts [searches]bedpack.StripLayout
	var wait sync.WaitGroup
	for k := range layouts {
		wait.Go(func() {
			layouts[k] = bedpack.PackStrip(strip, bedpack.Budget{
				Seed:  seed*searches + uint64(k),
				Spent: func() float64 { return float64(clock()-began) / float64(spend) },
			})
		})
	}
	wait.Wait()
	best := layouts[0]
	for _, l := range layouts[1:] {
		if len(l.Places) > 0 && (len(best.Places) == 0 || l.Length < best.Length) {
			best = l
		}
	}
	return in.result(best, of)
}

// result is what is written of a run.
type result struct {
	Instance string       `json:"instance"`
	Length   float64      `json:"length"`
	Items    []placedItem `json:"items"`
}

// placedItem is turned about its origin and then shifted.
type placedItem struct {
	ID     int     `json:"id"`
	Rotate float64 `json:"rotate_deg"`
	X      float64 `json:"x"`
	Y      float64 `json:"y"`
}

func (in *instance) result(l bedpack.StripLayout, of []int) result {
	out := result{Instance: in.Name, Length: l.Length}
	for i, p := range l.Places {
		out.Items = append(out.Items, placedItem{in.Items[of[i]].ID, p.Spin.Degrees(), p.Shift.X, p.Shift.Y})
	}
	return out
}

func (r result) write(dir string) error {
	data, err := json.MarshalIndent(r, "", " ")
	if err != nil {
		return err
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(dir, r.Instance+".json"), append(data, '\n'), 0o644)
}
