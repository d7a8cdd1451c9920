package orient_test

import (
	"cmp"
	"flag"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/hschendel/stl"
	"gonum.org/v1/gonum/spatial/r3"

	"platewright/orient"
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

// sweep looks at every direction and returns the best few by the looks.
func sweep(b support.Body, s orient.Settings, n int) (best []rival, took time.Duration) {
	look := orient.Looker(b, s)
	begin := time.Now()
	var all []rival
	for _, up := range orient.Sphere(sweepDirections) {
		all = append(all, rival{up, look(up)})
	}
	took = time.Since(begin)
	slices.SortFunc(all, func(a, b rival) int { return cmp.Compare(a.score, b.score) })
	return all[:n], took
}

// contest holds a search against a sweep, both measured exactly at the end.
func contest(t *testing.T, name string, b support.Body, s orient.Settings) (regret, share float64) {
	begin := time.Now()
	up, _, looks, bound := orient.Finder(b, s)
	searched := time.Since(begin)
	found := orient.Evaluate(b, up, s).Score
	rivals, swept := sweep(b, s, 5)
	least := math.Inf(1)
	for _, r := range rivals {
		least = min(least, orient.Evaluate(b, r.up, s).Score)
	}
	regret, share = found/least-1, float64(searched)/float64(swept)
	t.Logf("%-28s %7d facets: %8.3f h, a sweep %8.3f: regret %+5.2f %%, in %4.1f %% of its %5.1f s, %3d looks; bound %7.3f h, %2.0f %%",
		name, b.Mesh.NumFaces(), found, least, 100*regret, 100*share, swept.Seconds(), looks, bound, 100*bound/min(found, least))
	if bound > least*(1+1e-9) {
		t.Errorf("%s: bound of %.4f h, a sweep finds %.4f", name, bound, least)
	}
	return regret, share
}

func TestRegret(t *testing.T) {
	if testing.Short() {
		t.Skip("skipped: a dense sweep takes a minute; run without -short")
	}
	for name, m := range crooked() {
		contest(t, name, support.NewBody(m, nil), settings())
	}
	contest(t, "shell", support.NewBody(solid.HemisphericalShell(100, 97, 36), nil), settings())
	if !*long {
		return
	}
	for _, dir := range []string{"testdata/fish-lantern", "../shared/data/meshes/duck-mm"} {
		paths, _ := filepath.Glob(filepath.Join("..", filepath.FromSlash(dir), "*.stl"))
		for _, p := range paths {
			contest(t, filepath.Base(p), support.NewBody(read(t, p), nil), settings())
		}
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
