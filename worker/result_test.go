package worker_test

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/hpinc/go3mf"

	"platewright/worker/joblist"
)

// This file is the independent checker of a written result. It shares no code
// with what it checks: it reads the plates with another 3MF library and the
// job list as plain JSON, and it does its own geometry, slowly.

// Lengths are forgiven rounding: the other library keeps 32-bit numbers.
const rounding = 2e-4

type vec struct{ x, y, z float64 }

// copyOnPlate is one build item with its corners in the printer frame.
type copyOnPlate struct {
	name      string
	triangles [][3]vec
	low, high vec
}

// checkResult checks a result folder and returns every fault it finds.
func checkResult(t *testing.T, folder string) []string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(folder, "jobs.json"))
	if err != nil {
		t.Fatal(err)
	}
	var faults []string
	fault := func(format string, args ...any) { faults = append(faults, fmt.Sprintf(format, args...)) }
	if err := joblist.ValidateSchema(data); err != nil {
		fault("schema: %v", err)
	}
	var list map[string]any
	if err := json.Unmarshal(data, &list); err != nil {
		t.Fatal(err)
	}
	printers := map[string]map[string]any{}
	for _, p := range list["settings"].(map[string]any)["shop"].(map[string]any)["printer"].([]any) {
		printers[p.(map[string]any)["name"].(string)] = p.(map[string]any)
	}
	seen := map[string]int{}
	for _, p := range list["plates"].([]any) {
		plate := p.(map[string]any)
		file := plate["files"].(map[string]any)["3mf"].(string)
		copies := readPlate(t, filepath.Join(folder, filepath.FromSlash(file)))
		if len(copies) != len(plate["items"].([]any)) {
			fault("%s holds %d copies, jobs.json says %d", file, len(copies), len(plate["items"].([]any)))
		}
		machine := printers[plate["printer"].(string)]
		for _, c := range copies {
			seen[c.name]++
			for _, f := range c.onPrinter(machine) {
				fault("%s: %s: %s", file, c.name, f)
			}
		}
		gap := machine["gap_mm"].(float64)
		for i := range copies {
			for j := range i {
				if d := shadowDistance(&copies[i], &copies[j], gap); d < gap-rounding {
					fault("%s: %s and %s are %.4f mm apart, the gap is %g", file, copies[i].name, copies[j].name, d, gap)
				}
			}
		}
	}
	for _, p := range list["parts"].([]any) {
		part := p.(map[string]any)
		count := int(part["count"].(float64))
		for n := 1; n <= count; n++ {
			name := fmt.Sprintf("%s %d/%d", part["name"], n, count)
			want := 1
			if part["status"] != "placed" {
				want = 0
			}
			if seen[name] != want {
				fault("%s (%s) is on %d plates", name, part["status"], seen[name])
			}
			delete(seen, name)
		}
	}
	for name := range seen {
		fault("%s is on a plate and in no list", name)
	}
	return faults
}

// readPlate reads a plate with a library of others.
func readPlate(t *testing.T, path string) []copyOnPlate {
	t.Helper()
	r, err := go3mf.OpenReader(path)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	var model go3mf.Model
	if err := r.Decode(&model); err != nil {
		t.Fatal(err)
	}
	if err := model.Validate(); err != nil {
		t.Errorf("%s: %v", path, err)
	}
	if model.Units != go3mf.UnitMillimeter {
		t.Errorf("%s is in %v", path, model.Units)
	}
	var out []copyOnPlate
	for _, item := range model.Build.Items {
		for _, object := range model.Resources.Objects {
			if object.ID == item.ObjectID {
				out = append(out, placedCopy(item, object))
			}
		}
	}
	return out
}

func placedCopy(item *go3mf.Item, object *go3mf.Object) copyOnPlate {
	inf := math.Inf(1)
	c := copyOnPlate{name: item.PartNumber, low: vec{inf, inf, inf}, high: vec{-inf, -inf, -inf}}
	corners := make([]vec, len(object.Mesh.Vertices.Vertex))
	for i, v := range object.Mesh.Vertices.Vertex {
		// 3MF multiplies row vectors: the shift is the last row.
		var p [3]float64
		for k := range p {
			p[k] = float64(item.Transform[12+k])
			for r := range 3 {
				p[k] += float64(v[r]) * float64(item.Transform[4*r+k])
			}
		}
		corners[i] = vec{p[0], p[1], p[2]}
	}
	for _, t := range object.Mesh.Triangles.Triangle {
		tri := [3]vec{corners[t.V1], corners[t.V2], corners[t.V3]}
		c.triangles = append(c.triangles, tri)
		for _, p := range tri {
			c.low = vec{math.Min(c.low.x, p.x), math.Min(c.low.y, p.y), math.Min(c.low.z, p.z)}
			c.high = vec{math.Max(c.high.x, p.x), math.Max(c.high.y, p.y), math.Max(c.high.z, p.z)}
		}
	}
	return c
}

// onPrinter says what is wrong with a copy on a printer, as its settings in
// the job list describe it.
func (c copyOnPlate) onPrinter(m map[string]any) []string {
	var out []string
	if math.Abs(c.low.z) > rounding {
		out = append(out, fmt.Sprintf("its lowest point is at z = %.5f", c.low.z))
	}
	if c.high.z > m["height_mm"].(float64)+rounding {
		out = append(out, fmt.Sprintf("it is %.3f mm tall", c.high.z))
	}
	margin := m["margin_mm"].(float64)
	diameter, _ := m["diameter_mm"].(float64)
	for _, t := range c.triangles {
		for _, p := range t {
			if diameter > 0 {
				if math.Hypot(p.x-diameter/2, p.y-diameter/2) > diameter/2-margin+rounding {
					return append(out, fmt.Sprintf("its point %.3f, %.3f is off the round bed", p.x, p.y))
				}
				continue
			}
			bed := m["bed_mm"].([]any)
			width, depth := bed[0].(float64), bed[1].(float64)
			if p.x < margin-rounding || p.y < margin-rounding || p.x > width-margin+rounding || p.y > depth-margin+rounding {
				return append(out, fmt.Sprintf("its point %.3f, %.3f is off the bed", p.x, p.y))
			}
		}
	}
	areas, _ := m["keep_out_mm"].([]any)
	for _, a := range areas {
		area := &copyOnPlate{name: "keep-out"}
		ring := a.([]any)
		for i := 1; i+1 < len(ring); i++ { // a fan: enough for the convex areas of the tests
			area.triangles = append(area.triangles, [3]vec{point(ring[0]), point(ring[i]), point(ring[i+1])})
		}
		area.low, area.high = vec{-1e9, -1e9, 0}, vec{1e9, 1e9, 0}
		if shadowDistance(&c, area, 1) == 0 {
			out = append(out, "it touches a keep-out area")
		}
	}
	return out
}

func point(p any) vec {
	xy := p.([]any)
	return vec{xy[0].(float64), xy[1].(float64), 0}
}

// shadowDistance returns the distance of two shadows on the plate, or reach if
// it is more than that. Every triangle is held against every triangle near it.
func shadowDistance(a, b *copyOnPlate, reach float64) float64 {
	if a.low.x-reach > b.high.x || b.low.x-reach > a.high.x || a.low.y-reach > b.high.y || b.low.y-reach > a.high.y {
		return reach
	}
	const cell = 3.0
	type key struct{ x, y int }
	at := func(v float64) int { return int(math.Floor(v / cell)) }
	index := map[key][]int{}
	for i, t := range b.triangles {
		x0, y0, x1, y1 := boxOf(t)
		for x := at(x0); x <= at(x1); x++ {
			for y := at(y0); y <= at(y1); y++ {
				index[key{x, y}] = append(index[key{x, y}], i)
			}
		}
	}
	least := reach
	for _, t := range a.triangles {
		x0, y0, x1, y1 := boxOf(t)
		tried := map[int]bool{}
		for x := at(x0 - reach); x <= at(x1+reach); x++ {
			for y := at(y0 - reach); y <= at(y1+reach); y++ {
				for _, i := range index[key{x, y}] {
					if !tried[i] {
						tried[i] = true
						least = math.Min(least, triangleDistance(t, b.triangles[i]))
					}
				}
			}
		}
	}
	return least
}

func boxOf(t [3]vec) (x0, y0, x1, y1 float64) {
	return min(t[0].x, t[1].x, t[2].x), min(t[0].y, t[1].y, t[2].y), max(t[0].x, t[1].x, t[2].x), max(t[0].y, t[1].y, t[2].y)
}

// triangleDistance returns the distance of two triangles seen from above.
func triangleDistance(s, t [3]vec) float64 {
	if holds(s, t[0]) || holds(t, s[0]) {
		return 0
	}
	least := math.Inf(1)
	for i := range 3 {
		for j := range 3 {
			least = math.Min(least, segmentDistance(s[i], s[(i+1)%3], t[j], t[(j+1)%3]))
		}
	}
	return least
}

func holds(t [3]vec, p vec) bool {
	a, b, c := cross(t[0], t[1], p), cross(t[1], t[2], p), cross(t[2], t[0], p)
	return (a > 0 && b > 0 && c > 0) || (a < 0 && b < 0 && c < 0)
}

func cross(o, a, b vec) float64 { return (a.x-o.x)*(b.y-o.y) - (a.y-o.y)*(b.x-o.x) }

func segmentDistance(a, b, c, d vec) float64 {
	if cross(a, b, c)*cross(a, b, d) < 0 && cross(c, d, a)*cross(c, d, b) < 0 {
		return 0
	}
	return min(pointSegment(a, c, d), pointSegment(b, c, d), pointSegment(c, a, b), pointSegment(d, a, b))
}

func pointSegment(p, a, b vec) float64 {
	dx, dy := b.x-a.x, b.y-a.y
	k := 0.0
	if l := dx*dx + dy*dy; l > 0 {
		k = math.Max(0, math.Min(1, ((p.x-a.x)*dx+(p.y-a.y)*dy)/l))
	}
	return math.Hypot(p.x-a.x-k*dx, p.y-a.y-k*dy)
}

func expectSound(t *testing.T, folder string) {
	t.Helper()
	for _, f := range checkResult(t, folder) {
		t.Error(f)
	}
}

// TestGivenResult checks the result folder that the environment names; it is
// how a result written by a built program is checked.
func TestGivenResult(t *testing.T) {
	folder := os.Getenv("PLATEWRIGHT_RESULT")
	if folder == "" {
		t.Skip("skipped: PLATEWRIGHT_RESULT names no result folder; .ci/run does")
	}
	expectSound(t, folder)
}

// The checker must see what it is there for: each of these moves one copy of a
// sound plate to where it must not be.
func TestCheckerSeesFaults(t *testing.T) {
	machine := map[string]any{"height_mm": 100.0, "margin_mm": 2.0, "bed_mm": []any{100.0, 80.0},
		"keep_out_mm": []any{[]any{[]any{90.0, 0.0}, []any{100.0, 0.0}, []any{100.0, 10.0}, []any{90.0, 10.0}}}}
	for _, c := range []struct {
		at   vec
		want string
	}{
		{vec{10, 10, 0}, ""}, {vec{10, 10, 0.01}, "lowest point"}, {vec{1, 10, 0}, "off the bed"},
		{vec{10, 70, 0}, "off the bed"}, {vec{83, 3, 0}, "keep-out"}, {vec{10, 10, 95}, "tall"},
	} {
		faults := strings.Join(blockAt(c.at).onPrinter(machine), "; ")
		if (c.want == "") != (faults == "") || !strings.Contains(faults, c.want) {
			t.Errorf("block at %v: %q, want %q", c.at, faults, c.want)
		}
	}
	a := blockAt(vec{10, 10, 0})
	for _, c := range []struct {
		at   vec
		want float64
	}{{vec{10, 10, 0}, 0}, {vec{15, 12, 0}, 0}, {vec{23, 10, 0}, 3}, {vec{23, 24, 0}, 5}, {vec{60, 60, 0}, 6}} {
		b := blockAt(c.at)
		if got := shadowDistance(&a, &b, 6); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("distance to block at %v = %v, want %v", c.at, got, c.want)
		}
	}
	if !slices.ContainsFunc(blockAt(vec{40, 40, 0}).onPrinter(map[string]any{"height_mm": 100.0, "margin_mm": 2.0, "diameter_mm": 60.0}),
		func(s string) bool { return strings.Contains(s, "round bed") }) {
		t.Error("a block off the round bed is not seen")
	}
}

// blockAt is a block of 10 × 10 × 10 with its least corner at p: top and
// bottom are enough for a shadow.
func blockAt(p vec) copyOnPlate {
	q := func(x, y, z float64) vec { return vec{p.x + x, p.y + y, p.z + z} }
	return copyOnPlate{name: "block", low: p, high: q(10, 10, 10), triangles: [][3]vec{
		{q(0, 0, 0), q(10, 0, 0), q(10, 10, 0)}, {q(0, 0, 0), q(10, 10, 0), q(0, 10, 0)},
		{q(0, 0, 10), q(10, 0, 10), q(10, 10, 10)}, {q(0, 0, 10), q(10, 10, 10), q(0, 10, 10)},
	}}
}
