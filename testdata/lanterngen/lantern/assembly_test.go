package lantern

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

func TestPartsAreClosedAndInOnePiece(t *testing.T) {
	parts := demoParts(t)
	if len(parts) < 14 || len(parts) > 18 {
		t.Errorf("%d parts, want 14 to 18", len(parts))
	}
	for name, p := range parts {
		m := p.Mesh
		if n := brokenEdges(m); n != 0 {
			t.Errorf("%s: %d edges not shared by two facets", name, n)
		}
		if n := pinched(m); n != 0 {
			t.Errorf("%s: %d corners where the surface touches itself", name, n)
		}
		if n := components(m); n != 1 {
			t.Errorf("%s: %d pieces, want 1", name, n)
		}
		if v := volumeOf(m); v <= 0 {
			t.Errorf("%s: volume = %v", name, v)
		}
		if len(p.Roles) != m.NumFaces() {
			t.Errorf("%s: %d roles for %d facets", name, len(p.Roles), m.NumFaces())
		}
	}
}

// A file without shared corners is joined again by place, so no two corners
// may be at the same place, and no facet may have no area.
func TestPartsSurviveAFileOfLooseFacets(t *testing.T) {
	for name, p := range demoParts(t) {
		seen := map[[3]float32]bool{}
		for _, v := range p.Mesh.Vertices() {
			at := [3]float32{float32(v.X), float32(v.Y), float32(v.Z)}
			if float64(at[0]) != v.X || float64(at[1]) != v.Y || float64(at[2]) != v.Z {
				t.Fatalf("%s: corner %v is not a 32-bit place", name, v)
			}
			if seen[at] {
				t.Errorf("%s: two corners at %v", name, v)
			}
			seen[at] = true
		}
		for i, a := range p.Mesh.FaceAreas() {
			if a <= 0 {
				t.Errorf("%s: facet %d has area %v", name, i, a)
			}
		}
	}
}

func TestTwinsAreExactMirrorImages(t *testing.T) {
	parts := demoParts(t)
	for _, pair := range [][2]string{{"side-fin-left", "side-fin-right"}, {"eye-ring-left", "eye-ring-right"}} {
		left, right := parts[pair[0]], parts[pair[1]]
		mirrored := left.Mesh.Triangles()
		for i, c := range mirrored {
			for k := range c {
				c[k].Y = -c[k].Y
			}
			mirrored[i] = mesh.Triangle{c[0], c[2], c[1]}
		}
		if !slices.Equal(sorted(mirrored), sorted(right.Mesh.Triangles())) {
			t.Errorf("%s is not the mirror image of %s", pair[1], pair[0])
		}
	}
}

// sorted turns each triangle to begin with its least corner and sorts them.
func sorted(tris []mesh.Triangle) []mesh.Triangle {
	compare := func(a, b r3.Vec) int {
		return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y), cmp.Compare(a.Z, b.Z))
	}
	for i, c := range tris {
		for compare(c[0], c[1]) > 0 || compare(c[0], c[2]) > 0 {
			c = mesh.Triangle{c[1], c[2], c[0]}
		}
		tris[i] = c
	}
	slices.SortFunc(tris, func(a, b mesh.Triangle) int {
		return cmp.Or(compare(a[0], b[0]), compare(a[1], b[1]), compare(a[2], b[2]))
	})
	return tris
}

func TestLanternIsHalfAMetreLong(t *testing.T) {
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range demoParts(t) {
		low, high = min(low, p.Mesh.Bounds().Min.X), max(high, p.Mesh.Bounds().Max.X)
	}
	if long := high - low; long < 480 || long > 520 {
		t.Errorf("length = %.1f mm, want 480 to 520", long)
	}
}

// The demo needs parts that only the larger of two printers can hold.
func TestSomePartsAreTooBigForTheSmallBed(t *testing.T) {
	small, large := [3]float64{150, 160, 200}, [3]float64{250, 250, 260}
	fits := 0
	parts := demoParts(t)
	for name, p := range parts {
		d := r3.Sub(p.Mesh.Bounds().Max, p.Mesh.Bounds().Min)
		size := [3]float64{d.X, d.Y, d.Z}
		slices.Sort(size[:])
		if size[0] <= small[0] && size[1] <= small[1] && size[2] <= small[2] {
			fits++
		}
		if size[0] > large[0] || size[1] > large[1] || size[2] > large[2] {
			t.Errorf("%s is %v mm, too big for any bed", name, size)
		}
	}
	if big := len(parts) - fits; big < 2 || fits < 8 {
		t.Errorf("%d parts fit the small bed, %d do not; want both kinds", fits, big)
	}
}

func TestCrestFinsAreThinAndTall(t *testing.T) {
	for name, p := range demoParts(t) {
		if !strings.HasPrefix(name, "crest-fin") {
			continue
		}
		d := r3.Sub(p.Mesh.Bounds().Max, p.Mesh.Bounds().Min)
		if d.Y > 6 || d.Z < 80 || d.Z > 140 {
			t.Errorf("%s is %.1f mm thick and %.1f tall", name, d.Y, d.Z)
		}
	}
}

// placed is one copy of a part where it goes.
type placed struct {
	name string
	part Part
	*caster
}

func assembled(t testing.TB) []placed {
	parts := demoParts(t)
	var out []placed
	for _, name := range Names() {
		p := parts[name]
		for _, shift := range p.Shifts {
			copied := p
			copied.Mesh = p.Mesh.Moved(mesh.Pose{Frame: mesh.Identity(), Shift: shift})
			out = append(out, placed{name, copied, newCaster(copied.Mesh)})
		}
	}
	return out
}

func TestPinIsNeededFourTimes(t *testing.T) {
	for name, p := range demoParts(t) {
		want := 1
		if strings.HasSuffix(name, "_x4") {
			want = 4
		}
		if len(p.Shifts) != want || p.Shifts[0] != (r3.Vec{}) {
			t.Errorf("%s goes to %v, want %d places, the first its own", name, p.Shifts, want)
		}
	}
}

func TestPartsDoNotOverlap(t *testing.T) {
	all := assembled(t)
	checked := 0
	for i, a := range all {
		for f, c := range a.tris {
			// A little inside the part, so that touching faces do not count,
			// and off the planes that pegs and sockets have in common.
			q := r3.Sub(middleOf(c), r3.Scale(0.01, a.part.Mesh.Normal(mesh.FaceID(f))))
			q = r3.Add(q, r3.Vec{X: 2.3e-4, Y: 3.1e-4})
			for j, b := range all {
				if i != j && b.holds(q) {
					t.Errorf("%v of %s is inside %s", q, a.name, b.name)
				}
			}
			checked++
		}
	}
	if checked < 20000 {
		t.Errorf("only %d places checked", checked)
	}
}

// Measured from the middles of the joint facets of what goes in, straight out,
// to the part it goes into. Facets cut corners, so the least may be less.
func TestClearanceOfPegsRingsAndTabs(t *testing.T) {
	parts := demoParts(t)
	tests := []struct{ goesIn, into string }{
		{"joining-pin_x4", "middle-upper"},
		{"joining-pin_x4", "head-upper"},
		{"eye-ring-left", "head-upper"},
		{"eye-ring-right", "head-upper"},
		{"crest-fin-1", "head-upper"},
		{"crest-fin-2", "middle-upper"},
		{"crest-fin-3", "middle-upper"},
		{"crest-fin-4", "back-left"},
		{"tail-fin", "back-right"},
		{"side-fin-left", "middle-lower"},
		{"side-fin-right", "middle-lower"},
		{"lure-stalk", "head-upper"},
		{"lure-stalk", "lure-bulb"},
		{"head-lower", "head-upper"},
		{"middle-lower", "middle-upper"},
		{"back-left", "middle-upper"},
		{"back-left", "back-right"},
	}
	for _, tt := range tests {
		in, into := parts[tt.goesIn], newCaster(parts[tt.into].Mesh)
		var gaps []float64
		for i, c := range in.Mesh.Triangles() {
			if in.Roles[i] != Joint || onCut(c) {
				continue
			}
			// Beyond 0.45 mm it is another face, or a tapered end.
			if d := into.first(middleOf(c), in.Mesh.Normal(mesh.FaceID(i))); d < 0.45 {
				gaps = append(gaps, d)
			}
		}
		if len(gaps) < 8 {
			t.Errorf("%s hardly meets %s", tt.goesIn, tt.into)
			continue
		}
		slices.Sort(gaps)
		low, middle := gaps[len(gaps)/10], gaps[len(gaps)/2]
		if low < 0.2 || middle > 0.3 || gaps[0] < 0.1 {
			t.Errorf("%s into %s: clearance least %.3f, lowest tenth %.3f, middle %.3f mm, want 0.2 to 0.3",
				tt.goesIn, tt.into, gaps[0], low, middle)
		}
	}
}

// onCut reports whether a facet lies in one of the planes that shells meet in,
// without a gap.
func onCut(c mesh.Triangle) bool {
	in := func(axis r3.Vec, level float64) bool {
		for _, p := range c {
			if math.Abs(r3.Dot(axis, p)-level) > 1e-4 {
				return false
			}
		}
		return true
	}
	return in(axisX, frontCut) || in(axisX, backCut) || in(axisZ, headSeam) || in(axisZ, middleSeam) || in(axisY, 0)
}

// The faces on either side of each cut are in one plane and cover each other,
// but for the gap round pegs and what thinning did to their rims.
func TestCutFacesCoincide(t *testing.T) {
	parts := demoParts(t)
	tests := []struct {
		name        string
		axis        r3.Vec
		level       float64
		under, over []string
		pegs        int // that stand on one of the faces
	}{
		{"head and middle", axisX, frontCut, []string{"head-upper", "head-lower"}, []string{"middle-upper", "middle-lower"}, 0},
		{"middle and back", axisX, backCut, []string{"middle-upper", "middle-lower"}, []string{"back-left", "back-right"}, 2},
		{"upper and lower head", axisZ, headSeam, []string{"head-lower"}, []string{"head-upper"}, 2},
		{"upper and lower middle", axisZ, middleSeam, []string{"middle-lower"}, []string{"middle-upper"}, 2},
		{"left and right back", axisY, 0, []string{"back-left"}, []string{"back-right"}, 1},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			under := faceOnPlane(t, parts, tt.under, tt.axis, tt.level)
			over := faceOnPlane(t, parts, tt.over, negative(tt.axis), -tt.level)
			both, one := 0, 0
			const step = 0.5
			box := parts["head-upper"].Mesh.Bounds()
			for _, n := range append(tt.under, tt.over...) {
				b := parts[n].Mesh.Bounds()
				box.Min = r3.Vec{X: min(box.Min.X, b.Min.X), Y: min(box.Min.Y, b.Min.Y), Z: min(box.Min.Z, b.Min.Z)}
				box.Max = r3.Vec{X: max(box.Max.X, b.Max.X), Y: max(box.Max.Y, b.Max.Y), Z: max(box.Max.Z, b.Max.Z)}
			}
			f := along(r3.Scale(tt.level, tt.axis), tt.axis)
			for u := -450.0; u < 450; u += step {
				for v := -450.0; v < 450; v += step {
					p := f.point(u+0.0137, v+0.0071, 0)
					if p.X < box.Min.X-1 || p.X > box.Max.X+1 || p.Y < box.Min.Y-1 || p.Y > box.Max.Y+1 || p.Z < box.Min.Z-1 || p.Z > box.Max.Z+1 {
						continue
					}
					a, b := under.covers(p), over.covers(p)
					if a && b {
						both++
					} else if a || b {
						one++
					}
				}
			}
			ring := math.Sqrt(3) / 2 * ((pegFlats+2*clearance)*(pegFlats+2*clearance) - pegFlats*pegFlats)
			alike, unlike := float64(both)*step*step, float64(one)*step*step
			// The rims are about as long as twice the area over the wall; they
			// may differ by 0.03 mm on the mean.
			rims := 2 * alike / wall
			if most := 0.03*rims + 1.3*ring*float64(tt.pegs); alike < 500 || unlike > most {
				t.Errorf("%.0f mm² alike, %.1f not, want at most %.1f", alike, unlike, most)
			}
		})
	}
}

// cutFace is the facets of some parts in one plane, in columns of their own
// frame so that the plane is level.
type cutFace struct {
	frame
	*caster
}

func (c cutFace) covers(p r3.Vec) bool {
	u, v, _ := c.coordinates(p)
	q := r3.Vec{X: u, Y: v, Z: -1}
	for _, i := range c.columns[[2]int{column(u), column(v)}] {
		if _, ok := hit(q, r3.Vec{Z: 1}, c.tris[i]); ok {
			return true
		}
	}
	return false
}

// faceOnPlane gathers the facets that face along an axis next to a level, and
// fails for corners that are not at the level.
func faceOnPlane(t *testing.T, parts map[string]Part, names []string, axis r3.Vec, level float64) cutFace {
	f := along(r3.Scale(level, axis), axis)
	var vertices []r3.Vec
	var faces [][3]mesh.VertexID
	for _, name := range names {
		m := parts[name].Mesh
		for i, c := range m.Triangles() {
			if r3.Dot(m.Normal(mesh.FaceID(i)), axis) < 0.99 || math.Abs(r3.Dot(middleOf(c), axis)-level) > 0.2 {
				continue
			}
			n := mesh.VertexID(len(vertices))
			faces = append(faces, [3]mesh.VertexID{n, n + 1, n + 2})
			for _, p := range c {
				u, v, w := f.coordinates(p)
				if math.Abs(w) > 1e-4 {
					t.Errorf("corner %v of %s is %g mm off the cut", p, name, w)
				}
				vertices = append(vertices, r3.Vec{X: u, Y: v})
			}
			if parts[name].Roles[i] != Joint {
				t.Errorf("facet %d of %s on the cut is %v", i, name, parts[name].Roles[i])
			}
		}
	}
	m, err := mesh.New(vertices, faces)
	if err != nil {
		t.Fatal(err)
	}
	return cutFace{f, newCaster(m)}
}

func TestShellWallsAreFourMillimetres(t *testing.T) {
	parts := demoParts(t)
	random := rand.New(rand.NewPCG(4, 4))
	for _, name := range Names()[:6] {
		p := parts[name]
		c := newCaster(p.Mesh)
		var thick []float64
		for len(thick) < 60 {
			i := byArea(random, p)
			if p.Roles[i] == Hidden {
				n := p.Mesh.Normal(mesh.FaceID(i))
				thick = append(thick, c.first(r3.Sub(middleOf(c.tris[i]), r3.Scale(1e-6, n)), r3.Scale(-1, n)))
			}
		}
		slices.Sort(thick)
		if middle := thick[len(thick)/2]; math.Abs(middle-4) > 0.1 {
			t.Errorf("%s: wall = %.2f mm, want 4", name, middle)
		}
		// The thickest are bosses and ribs.
		if low, high := thick[len(thick)/10], thick[len(thick)*6/10]; low < 3.7 || high > 4.3 {
			t.Errorf("%s: walls from %.2f to %.2f mm, want 4", name, low, high)
		}
	}
}

// byArea draws a facet with a chance in proportion to its area.
func byArea(random *rand.Rand, p Part) int {
	areas := p.Mesh.FaceAreas()
	total := 0.0
	for _, a := range areas {
		total += a
	}
	at := random.Float64() * total
	for i, a := range areas {
		if at -= a; at < 0 {
			return i
		}
	}
	return len(areas) - 1
}

// Roles against rays: a joint has another part in front of it at less than a
// millimetre; a shown face has not, and most of what it sees is the open; the
// inside sees mostly the inside.
func TestRolesAgreeWithWhatCanBeSeen(t *testing.T) {
	all := assembled(t)
	random := rand.New(rand.NewPCG(5, 5))
	var drawn, met, rays, open [3]int
	for range 1500 {
		a := all[random.IntN(len(all))]
		i := byArea(random, a.part)
		role, n := a.part.Roles[i], a.part.Mesh.Normal(mesh.FaceID(i))
		q := r3.Add(middleOf(a.tris[i]), r3.Scale(1e-3, n))
		drawn[role]++
		if meets(all, a, q, n) {
			met[role]++
		}
		for range 4 {
			way := r3.Unit(r3.Vec{X: random.NormFloat64(), Y: random.NormFloat64(), Z: random.NormFloat64()})
			if r3.Dot(way, n) < 0 {
				way = r3.Scale(-1, way)
			}
			rays[role]++
			if escapes(all, q, way) {
				open[role]++
			}
		}
	}
	for role, want := range [3]struct{ leastMet, mostMet, leastOpen, mostOpen float64 }{
		Show:   {0, 0.02, 0.75, 1},
		Joint:  {0.9, 1, 0, 0.1},
		Hidden: {0, 0.02, 0, 0.25},
	} {
		m, o := float64(met[role])/float64(drawn[role]), float64(open[role])/float64(rays[role])
		if m < want.leastMet || m > want.mostMet || o < want.leastOpen || o > want.mostOpen {
			t.Errorf("%v: %.3f meet another part, %.3f of the rays escape, want %+v", Role(role), m, o, want)
		}
	}
}

// Where a fin or the stalk stands on a shell, the shell is a joint. Facets
// share the rims of such places, so a sliver of them may be off.
func TestShownShellHasNothingInFrontOfIt(t *testing.T) {
	all := assembled(t)
	for _, a := range all[:6] {
		var shown, covered float64
		for i, c := range a.tris {
			if a.part.Roles[i] != Show {
				continue
			}
			n := a.part.Mesh.Normal(mesh.FaceID(i))
			shown += a.part.Mesh.FaceArea(mesh.FaceID(i))
			if meets(all, a, r3.Add(middleOf(c), r3.Scale(0.1, n)), n) {
				covered += a.part.Mesh.FaceArea(mesh.FaceID(i))
			}
		}
		if covered > 5 {
			t.Errorf("%s: %.1f of %.0f mm² shown is covered by another part", a.name, covered, shown)
		}
	}
}

func meets(all []placed, a placed, q, n r3.Vec) bool {
	for _, b := range all {
		if b.caster != a.caster && b.first(r3.Sub(q, r3.Scale(0.1, n)), n) < 0.8 {
			return true
		}
	}
	return false
}

func escapes(all []placed, q, way r3.Vec) bool {
	for _, b := range all {
		if !math.IsInf(b.first(q, way), 1) {
			return false
		}
	}
	return true
}
