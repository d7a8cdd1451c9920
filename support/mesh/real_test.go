package mesh_test

import (
	"math"
	"path/filepath"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// TestRealParts holds the counts of real files, found here and confirmed by
// slowEdges and slow windings, which share no code with the package.
func TestRealParts(t *testing.T) {
	data := filepath.Join(sharedData(t), "meshes")
	tests := []struct {
		file         string
		exact, after mesh.EdgeCount // welded exactly; built
		mend         mesh.MendReport
		shells       int
		hollows      int
		flakes       int
		lumps        int
		joined       int
	}{
		{file: "duck-mm/head.stl", shells: 1, lumps: 1},
		{file: "duck-mm/body_back.stl", shells: 1, lumps: 1},
		// Welded exactly the frame has 184 open edges; they are 46 corners
		// that differ in their last bits, and joining these closes it.
		{file: "open/body_structure_top.STL", exact: mesh.EdgeCount{Open: 184}, joined: 46, shells: 1, lumps: 1},
		// Curved plate: a few walls are doubled and two flakes lie on it.
		{file: "shell/face-printable.stl",
			exact:  mesh.EdgeCount{Open: 4, Flipped: 148, NonManifold: 6, Unbalanced: 4},
			after:  mesh.EdgeCount{Open: 4, NonManifold: 6, Unbalanced: 4},
			mend:   mesh.MendReport{Flipped: 142},
			shells: 3, flakes: 2, lumps: 1},
		{file: "shell/2x_ear2-98_-_printable.stl", mend: mesh.MendReport{Turned: 1}, shells: 2, lumps: 2},
		// Bowl: its one bad edge is where a flake of two facets hangs on.
		{file: "shell/back-printable.stl", exact: mesh.EdgeCount{NonManifold: 1}, after: mesh.EdgeCount{NonManifold: 1},
			shells: 2, flakes: 1, lumps: 1},
		// Tube: 161 of its 162 shells face in and lie wholly in the wall.
		{file: "overlap/D114F900_Tube_Top.stl", shells: 162, hollows: 161, lumps: 1},
		{file: "car/body_lower.stl", exact: mesh.EdgeCount{NonManifold: 2}, after: mesh.EdgeCount{NonManifold: 2}, shells: 1, lumps: 1},
		{file: "car/wheel.stl", shells: 1, lumps: 1},
	}
	for _, tt := range tests {
		t.Run(tt.file, func(t *testing.T) {
			soup := readSoup(t, filepath.Join(data, filepath.FromSlash(tt.file)))
			exact, _, err := mesh.Weld(soup, 0)
			if err != nil {
				t.Fatal(err)
			}
			if got := mesh.NewTopology(exact).Edges(); got != tt.exact || got != slowEdges(exact) {
				t.Errorf("welded exactly: %+v, want %+v, counted slowly %+v", got, tt.exact, slowEdges(exact))
			}
			m, r := build(t, soup)
			if r.Edges != tt.after || r.Edges != slowEdges(m) {
				t.Errorf("built: %+v, want %+v, counted slowly %+v", r.Edges, tt.after, slowEdges(m))
			}
			if r.Mend != tt.mend || r.Weld.Joined != tt.joined {
				t.Errorf("mend %+v, want %+v; joined %d, want %d", r.Mend, tt.mend, r.Weld.Joined, tt.joined)
			}
			if r.Shells != tt.shells || r.Hollows != tt.hollows || r.Flakes != tt.flakes || r.Lumps != tt.lumps || len(r.Contacts.Crossing) != 0 {
				t.Errorf("%d shells, %d hollows, %d flakes, %d lumps, %d crossing", r.Shells, r.Hollows, r.Flakes, r.Lumps, len(r.Contacts.Crossing))
			}
			for _, n := range r.Notes() {
				t.Logf("%s: %s", n.Code, n.Text)
			}
			h := hullOf(t, m)
			if e := slowEdges(h.Mesh()); e != (mesh.EdgeCount{}) {
				t.Errorf("hull: %+v", e)
			}
			for _, f := range h.Faces() {
				if _, high := along(m, f.Normal); high > r3.Dot(f.Normal, h.Mesh().Vertex(f.Corners[0]))+2*mesh.HullTolerance*m.Diagonal() {
					t.Errorf("the part stands out of the hull")
				}
			}
		})
	}
}

// shellSoup returns the facets of each shell.
func shellSoup(m *mesh.Mesh) [][]mesh.Triangle {
	topology := mesh.NewTopology(m)
	out := make([][]mesh.Triangle, topology.NumShells())
	for f, s := range m.Triangles() {
		id := topology.ShellOf(mesh.FaceID(f))
		out[id] = append(out[id], s)
	}
	return out
}

// slowWinding sums solid angles, by the formula for the tangent of half of it.
func slowWinding(soup []mesh.Triangle, p r3.Vec) float64 {
	sum := 0.0
	for _, s := range soup {
		a, b, c := r3.Unit(r3.Sub(s[0], p)), r3.Unit(r3.Sub(s[1], p)), r3.Unit(r3.Sub(s[2], p))
		sum += math.Atan2(r3.Dot(a, r3.Cross(b, c)), 1+r3.Dot(a, b)+r3.Dot(b, c)+r3.Dot(c, a))
	}
	return sum / (2 * math.Pi)
}

// TestTubeIsOneBodyWithHollows settles by slow means that the shells of the
// tube are hollows in one wall and not solids that overlap.
func TestTubeIsOneBodyWithHollows(t *testing.T) {
	soup := readSoup(t, filepath.Join(sharedData(t), "meshes", "overlap", "D114F900_Tube_Top.stl"))
	shells := shellSoup(weld(t, soup))
	slices.SortFunc(shells, func(a, b []mesh.Triangle) int { return len(b) - len(a) })
	for i, s := range shells[1:] {
		volume, seen := 0.0, map[r3.Vec]bool{}
		for _, f := range s {
			volume += r3.Dot(f[0], r3.Cross(f[1], f[2])) / 6
			for _, corner := range f {
				if seen[corner] {
					continue
				}
				seen[corner] = true
				if w := slowWinding(shells[0], corner); math.Abs(w-1) > 1e-6 {
					t.Fatalf("shell %d: corner %v has winding %v in the wall", i+1, corner, w)
				}
			}
		}
		if volume >= 0 {
			t.Errorf("shell %d faces out, volume %v", i+1, volume)
		}
	}
}

func TestMirrorTwinsHaveEqualVolumes(t *testing.T) {
	dir := filepath.Join(sharedData(t), "meshes", "duck-mm")
	left, _ := build(t, readSoup(t, filepath.Join(dir, "left_cache.stl")))
	right, _ := build(t, readSoup(t, filepath.Join(dir, "right_cache.stl")))
	// Coordinates up to 200 mm are rounded by 8e-6 mm.
	if !closeTo(left.Volume(), right.Volume(), 1e-6, left.Volume()) || !closeTo(left.Area(), right.Area(), 1e-6, left.Area()) {
		t.Errorf("volumes %v, %v; areas %v, %v", left.Volume(), right.Volume(), left.Area(), right.Area())
	}
	if !closeTo(hullOf(t, left).Mesh().Volume(), hullOf(t, right).Mesh().Volume(), 1e-6, left.Volume()) {
		t.Errorf("hulls differ")
	}
}

func TestMetresAndMillimetresAgree(t *testing.T) {
	dir := filepath.Join(sharedData(t), "meshes")
	mm, _ := build(t, readSoup(t, filepath.Join(dir, "duck-mm", "body_back.stl")))
	m, _ := build(t, readSoup(t, filepath.Join(dir, "units", "body_back_in_metres.stl")))
	if m.NumFaces() != mm.NumFaces() || m.NumVertices() != mm.NumVertices() || !closeTo(m.Volume()*1e9, mm.Volume(), 1e-5, mm.Volume()) {
		t.Errorf("%d corners, %v mm³ in metres; %d, %v in millimetres", m.NumVertices(), m.Volume()*1e9, mm.NumVertices(), mm.Volume())
	}
}
