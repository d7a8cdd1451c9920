package partfile

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"errors"
	"io"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/hpinc/go3mf"
	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// lumpMesh is a closed mesh with 64-bit coordinates at random: a cube's, moved.
func lumpMesh(t testing.TB, random *rand.Rand) *mesh.Mesh {
	t.Helper()
	base := cubeMesh(50)
	vertices := slices.Clone(base.Vertices())
	for i := range vertices {
		vertices[i] = r3.Add(vertices[i], randomVec(random, 3))
	}
	m, err := mesh.New(vertices, base.Faces())
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// lumpPlate is a plate of two parts and five copies, all of them turned at
// random and well inside the printer.
func lumpPlate(t testing.TB) Plate {
	t.Helper()
	random := rand.New(rand.NewPCG(11, 12))
	left, right := lumpMesh(t, random), lumpMesh(t, random)
	plate := Plate{Title: `plate 1 <"large" & small>`}
	for i, m := range []*mesh.Mesh{left, left, right, left, right} {
		plate.Copies = append(plate.Copies, Copy{
			Mesh: m, Name: "arm <&> \u263a", Number: "arm " + string(rune('a'+i)) + `"/5'`,
			Pose: randomPose(t, random, vec(200+120*float64(i), 200, 150)),
		})
	}
	return plate
}

func write3MFBytes(t testing.TB, p Plate) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := Write3MF(&out, p); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func TestPlateReadsBackAsWritten(t *testing.T) {
	plate := lumpPlate(t)
	part, err := readBytes("plate.3mf", write3MFBytes(t, plate), Limits{})
	if err != nil {
		t.Fatal(err)
	}
	want := slices.Collect(plate.Triangles())
	if len(part.Triangles) != len(want) || len(want) != plate.NumFacets() {
		t.Fatalf("facets = %d, want %d", len(part.Triangles), plate.NumFacets())
	}
	for i, triangle := range part.Triangles {
		for k, v := range triangle {
			// Coordinates reach 800 mm; the order of additions differs.
			if r3.Norm(r3.Sub(v, want[i][k])) > 1e-9 {
				t.Fatalf("facet %d corner %d = %v, want %v", i, k, v, want[i][k])
			}
		}
	}
	if part.Items != 5 || !part.InMillimetres {
		t.Errorf("Items, InMillimetres = %d, %v, want 5, true", part.Items, part.InMillimetres)
	}
	wantNotes(t, part, NoteSeveral)
}

// TestPlateKeepsEveryBit puts an unturned part at zero: its coordinates must
// come back bit for bit.
func TestPlateKeepsEveryBit(t *testing.T) {
	random := rand.New(rand.NewPCG(13, 14))
	m := lumpMesh(t, random)
	low := m.Bounds().Min
	vertices := slices.Clone(m.Vertices())
	for i := range vertices {
		vertices[i] = r3.Sub(vertices[i], low)
	}
	vertices[0].X = 1e-300
	vertices[1].Y = float64(float32(0.1))
	m, err := mesh.New(vertices, m.Faces())
	if err != nil {
		t.Fatal(err)
	}
	part, err := readBytes("p.3mf", write3MFBytes(t, Plate{Copies: []Copy{{Mesh: m, Name: "p", Pose: mesh.Pose{Frame: mesh.Identity()}}}}), Limits{})
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(part.Triangles, m.Triangles()) {
		t.Error("facets differ")
	}
	if part.Name != "p" {
		t.Errorf("name = %q, want p", part.Name)
	}
}

func TestPlateIsTheSameBytesEveryTime(t *testing.T) {
	first, second := write3MFBytes(t, lumpPlate(t)), write3MFBytes(t, lumpPlate(t))
	if !bytes.Equal(first, second) {
		t.Error("bytes differ")
	}
	z, err := zip.NewReader(bytes.NewReader(first), int64(len(first)))
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, f := range z.File {
		names = append(names, f.Name)
		if got := f.Modified.Year(); got != 1980 {
			t.Errorf("%s is dated %v", f.Name, f.Modified)
		}
	}
	if want := []string{contentTypesMember, rootRelsMember, modelMember}; !slices.Equal(names, want) {
		t.Errorf("members = %v, want %v", names, want)
	}
}

func decodeStrictly(data []byte) (*go3mf.Model, error) {
	var m go3mf.Model
	decoder := go3mf.NewDecoder(bytes.NewReader(data), int64(len(data)))
	if !decoder.Strict {
		return nil, errors.New("decoder is not strict by default")
	}
	if err := decoder.Decode(&m); err != nil {
		return nil, err
	}
	return &m, errors.Join(m.Validate(), m.ValidateCoherency())
}

// TestPlateOpensElsewhere reads a plate with another library,
// github.com/hpinc/go3mf v0.24.2, strictly, and compares what it found.
func TestPlateOpensElsewhere(t *testing.T) {
	plate := lumpPlate(t)
	m, err := decodeStrictly(write3MFBytes(t, plate))
	if err != nil {
		t.Fatal(err)
	}
	if got := len(m.Resources.Objects); got != 2 {
		t.Errorf("objects = %d, want 2, one for each mesh", got)
	}
	if got := len(m.Build.Items); got != 5 {
		t.Fatalf("items = %d, want 5", got)
	}
	if m.Units != go3mf.UnitMillimeter {
		t.Errorf("unit = %v, want millimeter", m.Units)
	}
	if got, want := m.Resources.Objects[0].Name, plate.Copies[0].Name; got != want {
		t.Errorf("name = %q, want %q", got, want)
	}
	for i, item := range m.Build.Items {
		c := plate.Copies[i]
		if item.PartNumber != c.Number {
			t.Errorf("part number = %q, want %q", item.PartNumber, c.Number)
		}
		o, ok := m.FindObject("", item.ObjectID)
		if !ok {
			t.Fatalf("item %d: no object %d", i, item.ObjectID)
		}
		for k, v := range o.Mesh.Vertices.Vertex {
			// Its numbers and matrix product have 32 bits: 800 mm · 2⁻²³ is 1e-4.
			got := item.Transform.Mul3D(v)
			want := c.Pose.Apply(c.Mesh.Vertex(mesh.VertexID(k)))
			if r3.Norm(r3.Sub(vec(float64(got.X()), float64(got.Y()), float64(got.Z())), want)) > 5e-4 {
				t.Fatalf("item %d vertex %d = %v, want %v", i, k, got, want)
			}
		}
	}
}

// TestOtherReaderSeesFaults shows that the check above can fail.
func TestOtherReaderSeesFaults(t *testing.T) {
	if _, err := decodeStrictly(package3MF(t, boxModel)); err != nil {
		t.Errorf("whole box: %v", err)
	}
	for name, in := range map[string]string{
		"repeated corner": with(`v1="0" v2="2" v3="1"`, `v1="0" v2="2" v3="2"`),
		"unknown object":  with(`objectid="1"`, `objectid="2"`),
		"open mesh":       with(`<triangle v1="0" v2="2" v3="1"/>`, ``),
	} {
		if _, err := decodeStrictly(package3MF(t, in)); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

func TestPlateLeavesOutFacetsThat3MFForbids(t *testing.T) {
	base := cubeMesh(10)
	m, err := mesh.New(base.Vertices(), append(slices.Clone(base.Faces()), [3]mesh.VertexID{3, 3, 4}))
	if err != nil {
		t.Fatal(err)
	}
	data := write3MFBytes(t, Plate{Copies: []Copy{{Mesh: m, Pose: mesh.Pose{Frame: mesh.Identity()}}}})
	part, err := readBytes("p.3mf", data, Limits{})
	if err != nil {
		t.Fatal(err)
	}
	wantCube(t, part, 10)
	wantNotes(t, part)
}

func TestPlatesThatAreRefused(t *testing.T) {
	inside := mesh.Pose{Frame: mesh.Identity()}
	copyAt := func(shift r3.Vec) Copy {
		return Copy{Mesh: cubeMesh(10), Number: "cube 2/3", Pose: mesh.Pose{Frame: mesh.Identity(), Shift: shift}}
	}
	degenerate, err := mesh.New([]r3.Vec{{}, {X: 1}, {Y: 1}}, [][3]mesh.VertexID{{0, 0, 1}})
	if err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		name string
		copy Copy
		err  error
		text string
	}{
		{"below the plate", copyAt(vec(0, 0, -0.01)), ErrOutside, `"cube 2/3": `},
		{"left of the bed", copyAt(vec(-0.01, 0, 0)), ErrOutside, "(-0.010, 0.000, 0.000) mm"},
		{"before the bed", copyAt(vec(0, -0.01, 0)), ErrOutside, ""},
		{"nowhere", copyAt(vec(math.NaN(), 0, 0)), ErrNotFinite, ""},
		{"far away", copyAt(vec(1e300, 0, 0)), ErrNotFinite, ""},
		{"zero pose", Copy{Mesh: cubeMesh(10)}, ErrFormat, "pose scales volumes by 0"},
		{"no facet that 3MF allows", Copy{Mesh: degenerate, Pose: inside}, ErrEmpty, ""},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			err := Write3MF(io.Discard, Plate{Title: "plate 3", Copies: []Copy{test.copy}})
			wantError(t, err, test.err, "write plate 3: ", test.text)
		})
	}
	wantError(t, Write3MF(io.Discard, Plate{Title: "empty"}), ErrEmpty)
	if err := Write3MF(io.Discard, Plate{Copies: []Copy{copyAt(vec(0, 0, -1e-9))}}); err != nil {
		t.Errorf("below by rounding: %v", err)
	}
}

func TestSTLReadsBackAsWritten(t *testing.T) {
	plate := lumpPlate(t)
	var out bytes.Buffer
	if err := WriteSTL(&out, "solid plate", plate.NumFacets(), plate.Triangles()); err != nil {
		t.Fatal(err)
	}
	if got, want := out.Len(), 84+50*60; got != want {
		t.Errorf("bytes = %d, want %d", got, want)
	}
	if strings.HasPrefix(strings.ToLower(out.String()), "solid") {
		t.Error("header begins with solid")
	}
	part, err := readBytes("plate.stl", out.Bytes(), Limits{})
	if err != nil {
		t.Fatal(err)
	}
	want := slices.Collect(plate.Triangles())
	for i, triangle := range part.Triangles {
		for k, v := range triangle {
			w := want[i][k]
			if v != vec(float64(float32(w.X)), float64(float32(w.Y)), float64(float32(w.Z))) {
				t.Fatalf("facet %d corner %d = %v, want %v in 32 bits", i, k, v, w)
			}
		}
	}
	wantNotes(t, part)
	if part.Name != "Platewright, binary STL: solid plate" {
		t.Errorf("name = %q", part.Name)
	}
}

func TestSTLNormalsPointOutwards(t *testing.T) {
	var out bytes.Buffer
	facets := append(cube(10), mesh.Triangle{{X: 1}, {X: 2}, {X: 3}})
	if err := WriteSTL(&out, "x", len(facets), slices.Values(facets)); err != nil {
		t.Fatal(err)
	}
	for i, f := range facets {
		var got [3]float64
		for k := range got {
			got[k] = float64(math.Float32frombits(binary.LittleEndian.Uint32(out.Bytes()[84+50*i+4*k:])))
		}
		normal := vec(got[0], got[1], got[2])
		if i == 12 {
			if normal != (r3.Vec{}) {
				t.Errorf("normal of a facet without area = %v, want zero", normal)
			}
			continue
		}
		middle := r3.Scale(1.0/3, r3.Add(f[0], r3.Add(f[1], f[2])))
		if outward := r3.Dot(normal, r3.Sub(middle, vec(5, 5, 5))); outward != 5 {
			t.Errorf("facet %d: normal %v, %v outward, want 5", i, normal, outward)
		}
	}
}

func TestSTLHeaderIsPlain(t *testing.T) {
	for _, name := range []string{"solid", "COLOR=\x00\xff", strings.Repeat("n", 200), "\u263a", ""} {
		head := stlHead(name, 7)
		if len(head) != 84 || stlCount(head) != 7 || bytes.ContainsAny(head[:80], "=\xff") || bytes.HasPrefix(head, []byte("solid")) {
			t.Errorf("header of %q = %q", name, head)
		}
	}
}

func TestSTLsThatAreRefused(t *testing.T) {
	bad := cube(10)
	bad[3][2].Z = 1e39
	tests := []struct {
		name   string
		facets int
		in     []mesh.Triangle
		err    error
	}{
		{"none", 0, nil, ErrEmpty},
		{"fewer than announced", 13, cube(10), ErrCount},
		{"more than announced", 11, cube(10), ErrCount},
		{"too many for 32 bits", math.MaxUint32 + 1, cube(10), ErrTooLarge},
		{"beyond 32 bits", 12, bad, ErrNotFinite},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			wantError(t, WriteSTL(io.Discard, "x", test.facets, slices.Values(test.in)), test.err, "write x: ")
		})
	}
}

// fullDisk takes n bytes.
type fullDisk struct {
	n   int
	err error
}

func (d *fullDisk) Write(p []byte) (int, error) {
	if d.n -= len(p); d.n < 0 {
		return 0, d.err
	}
	return len(p), nil
}

func TestFullDiskIsReported(t *testing.T) {
	full := errors.New("no space left")
	plate := lumpPlate(t)
	size := len(write3MFBytes(t, plate))
	for n := 0; n < size; n += 97 {
		if err := Write3MF(&fullDisk{n, full}, plate); !errors.Is(err, full) {
			t.Fatalf("3MF with room for %d of %d bytes: %v", n, size, err)
		}
	}
	for n := range 3084 {
		if err := WriteSTL(&fullDisk{n, full}, "x", 60, plate.Triangles()); !errors.Is(err, full) {
			t.Fatalf("STL with room for %d bytes: %v", n, err)
		}
	}
}

// TestWritersTakeConstantMemory writes a plate of 100,000 facets, 7 MB of XML.
func TestWritersTakeConstantMemory(t *testing.T) {
	plate := Plate{}
	m := gridMesh(t, 224)
	plate.Copies = []Copy{{Mesh: m, Pose: mesh.Pose{Frame: mesh.Identity()}}}
	for name, write := range map[string]func() error{
		"3MF": func() error { return Write3MF(io.Discard, plate) },
		"STL": func() error { return WriteSTL(io.Discard, "x", plate.NumFacets(), plate.Triangles()) },
	} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		if err := write(); err != nil {
			t.Fatal(err)
		}
		runtime.ReadMemStats(&after)
		// The packer of zip takes about 1 MB.
		if got := after.TotalAlloc - before.TotalAlloc; got > 2<<20 {
			t.Errorf("%s: allocated %d kB for %d facets", name, got>>10, plate.NumFacets())
		}
	}
}
