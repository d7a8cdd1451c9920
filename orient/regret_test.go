package orient_test

import (
	"cmp"
	"flag"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/hschendel/stl"
	"gonum.org/v1/gonum/spatial/r3"

	"platewright/orient"
	"platewright/orient/role"
	"platewright/support"
	"platewright/support/mesh"
	"platewright/support/mesh/solid"
)

var long = flag.Bool("long", false, "hold the search against a dense sweep on every part of the demo, the robot body and twenty other shapes; takes an hour")

// sweepDirections is how dense a sweep is: no direction is further than 2.2°
// from one of these (see orient.Sphere).
const sweepDirections = 5000

// rival is what a sweep found.
type rival struct {
	up    mesh.Direction
	score float64
}

// sweep looks at every direction, two at a time, and returns the best few and
// how long a look takes.
func sweep(b support.Body, s orient.Settings, n int) (best []rival, each time.Duration) {
	look := orient.Looker(b, s)
	ups := orient.Sphere(sweepDirections)
	all, took := make([]rival, len(ups)), make([]time.Duration, len(ups))
	parallel(2, len(ups), func(i int) {
		begin := time.Now()
		all[i] = rival{ups[i], look(ups[i])}
		took[i] = time.Since(begin)
	})
	for _, t := range took {
		each += t / sweepDirections
	}
	slices.SortFunc(all, func(a, b rival) int { return cmp.Compare(a.score, b.score) })
	return all[:n], each
}

// contest holds a search against a sweep, both measured exactly at the end. It
// returns by how much the search's answer is worse; the search's time as a share
// of the sweep's is told, and judged by BenchmarkSearch.
func contest(t *testing.T, name string, b support.Body, s orient.Settings) (regret float64) {
	begin := time.Now()
	up, _, looks, bound := orient.Finder(b, s)
	searched := time.Since(begin)
	found := orient.Evaluate(b, up, s).Score
	rivals, each := sweep(b, s, 5)
	least := math.Inf(1)
	for _, r := range rivals {
		least = min(least, orient.Evaluate(b, r.up, s).Score)
	}
	regret = found/least - 1
	t.Logf("%-28s %7d facets: %8.3f h, a sweep %8.3f: regret %+6.2f %%, in %4.1f %% of its time, %3d looks of %5.1f ms; bound %8.3f h, %2.0f %% of the best",
		name, b.Mesh.NumFaces(), found, least, 100*regret, 100*float64(searched)/float64(each)/sweepDirections,
		looks, float64(each.Microseconds())/1000, bound, 100*bound/min(found, least))
	if bound > min(found, least)*(1+1e-9) {
		t.Errorf("%s: bound of %.4f h, %.4f found", name, bound, min(found, least))
	}
	if regret > 0.01 {
		t.Errorf("%s: %.4f h, a sweep finds %.4f", name, found, least)
	}
	return regret
}

func TestRegret(t *testing.T) {
	if testing.Short() {
		t.Skip("skipped: a dense sweep takes a minute; run without -short")
	}
	if !*long {
		contest(t, "boulder", support.NewBody(boulder(7, 10), nil), settings())
		contest(t, "shell", helmet(10), settings())
		return
	}
	t.Run("demo", func(t *testing.T) { contestFiles(t, "testdata/fish-lantern") })
	t.Run("robot body", func(t *testing.T) { contestFiles(t, "../shared/data/meshes/duck-mm") })
	all := others(t)
	for _, name := range slices.Sorted(maps.Keys(all)) {
		t.Run(name, func(t *testing.T) { contest(t, name, all[name], settings()) })
	}
}

// others are shapes beside the demo and the robot body: twenty where the shared
// data are there.
func others(t *testing.T) map[string]support.Body {
	out := map[string]support.Body{"shell": helmet(16)}
	for name, m := range crooked() {
		out[name] = support.NewBody(m, nil)
	}
	out["torus"] = support.NewBody(solid.Torus(40, 12, 48, 24), nil)
	out["bracket"] = support.NewBody(solid.LBracket(60, 40, 5, 20), nil)
	out["hollow box"] = support.NewBody(solid.HollowBox(80, 60, 50, 2.4), nil)
	for _, dir := range []string{"car", "shell", "open", "overlap"} {
		for _, p := range files("../shared/data/meshes/" + dir) {
			out[dir+"/"+filepath.Base(p)] = support.NewBody(read(t, p), nil)
		}
	}
	return out
}

// contestFiles holds a contest for each file of a folder, roles told by how the
// parts lie to each other.
func contestFiles(t *testing.T, dir string) {
	var parts []role.Part
	for _, p := range files(dir) {
		parts = append(parts, role.Part{Name: filepath.Base(p), Mesh: read(t, p), Count: 1})
	}
	assembly := role.Classify(parts, role.Settings{})
	for i, p := range parts {
		contest(t, p.Name, support.NewBody(p.Mesh, assembly.Roles[i]), settings())
	}
}

func files(dir string) []string {
	out, err := filepath.Glob(filepath.Join("..", filepath.FromSlash(dir), "*.[sS][tT][lL]"))
	if err != nil {
		panic(err)
	}
	return out
}

// BenchmarkSearch tells the search's time as a share of that of a sweep of 5,000
// looks, each of them timed in the same run. The exact measurement of the choice
// set at the end, which a sweep would owe too, is left out.
func BenchmarkSearch(b *testing.B) {
	for _, c := range []struct {
		name string
		body support.Body
	}{{"shell", helmet(36)}, {"boulder", support.NewBody(boulder(7, 24), nil)}, {"torus", support.NewBody(solid.Torus(40, 12, 96, 48), nil)}} {
		b.Run(c.name, func(b *testing.B) {
			look := orient.Looker(c.body, settings())
			ups := orient.Sphere(100)
			var searched, looked time.Duration
			for b.Loop() {
				begin := time.Now()
				orient.Finder(c.body, settings())
				searched += time.Since(begin)
				begin = time.Now()
				for _, up := range ups {
					look(up)
				}
				looked += time.Since(begin)
			}
			b.ReportMetric(100*float64(searched)/(float64(looked)/float64(len(ups))*sweepDirections), "%sweep")
		})
	}
}

// read loads a file by the STL library alone, as package partfile stands above
// this one.
func read(t testing.TB, path string) *mesh.Mesh {
	t.Helper()
	if _, err := os.Stat(path); err != nil {
		t.Skip("skipped: shared data absent")
	}
	s, err := stl.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	soup := make([]mesh.Triangle, len(s.Triangles))
	for i, tri := range s.Triangles {
		for k, v := range tri.Vertices {
			soup[i][k] = r3.Vec{X: float64(v[0]), Y: float64(v[1]), Z: float64(v[2])}
		}
	}
	m, _, err := mesh.Build(soup)
	if err != nil {
		t.Fatal(err)
	}
	return m
}
