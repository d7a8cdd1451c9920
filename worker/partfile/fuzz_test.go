package partfile

import (
	"bytes"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"platewright/support/mesh"
)

// fuzzLimits are small, so that nothing that is read takes long.
var fuzzLimits = Limits{FileBytes: 1 << 20, UnpackedBytes: 1 << 20, Facets: 2000, Instances: 100, Depth: 8, Corners: 200}

// checkRead reads whatever it is given: it must come out whole or with one of
// our errors, within the limits, and be the same the second time.
func checkRead(t *testing.T, name string, data []byte) {
	t.Helper()
	part, err := readBytes(name, data, fuzzLimits)
	again, errAgain := readBytes(name, data, fuzzLimits)
	if (err == nil) != (errAgain == nil) || err != nil && err.Error() != errAgain.Error() || !slices.Equal(part.Triangles, again.Triangles) {
		t.Fatalf("read differently the second time: %v, %v", err, errAgain)
	}
	if err != nil {
		checkError(t, err)
		return
	}
	if n := len(part.Triangles); n == 0 || n > fuzzLimits.Facets || part.Items < 1 {
		t.Fatalf("facets, items = %d, %d", n, part.Items)
	}
	for _, triangle := range part.Triangles {
		for _, v := range triangle {
			if sum := v.X + v.Y + v.Z; math.IsNaN(sum) || math.IsInf(sum, 0) {
				t.Fatalf("corner at %v", v)
			}
		}
	}
	for _, n := range part.Notes {
		if n.Code == "" || n.Text == "" || len(n.Text) > 2000 {
			t.Fatalf("note %v", n)
		}
	}
	var out bytes.Buffer
	if err := WriteSTL(&out, part.Name, len(part.Triangles), slices.Values(part.Triangles)); err != nil {
		t.Fatalf("read but not written: %v", err)
	}
}

func checkError(t *testing.T, err error) {
	t.Helper()
	var told *Error
	if !errors.As(err, &told) || len(err.Error()) > 1000 {
		t.Fatalf("error = %.2000v", err)
	}
	for _, sentinel := range []error{
		ErrEmpty, ErrTruncated, ErrCount, ErrNotFinite, ErrTooLarge, ErrFormat, ErrIndex, ErrCycle, ErrExtension,
	} {
		if errors.Is(err, sentinel) {
			return
		}
	}
	t.Fatalf("error without a sentinel: %v", err)
}

func FuzzSTL(f *testing.F) {
	f.Add(binarySTL("a part", 12, cube(10)))
	f.Add(binarySTL("solid part", 2, cube(1)[:2]))
	f.Add(append(binarySTL("solid part", 1, cube(1)[:1]), 1, 2, 3))
	f.Add([]byte(textSTL("cube", cube(10)[:2])))
	f.Add([]byte("solid\r" + strings.ReplaceAll(strings.ToUpper(textFacet), "\n", "\r") + "endsolid solid b facet normal"))
	f.Add([]byte("\xef\xbb\xbf solid a\n" + textFacet + "endsolid a\n\n\nsolid b\n" + textFacet + "endsolid\x00\x1a"))
	f.Fuzz(func(t *testing.T, data []byte) { checkRead(t, "x.stl", data) })
}

// Fuzz3MF varies the model within a sound package.
func Fuzz3MF(f *testing.F) {
	f.Add([]byte(boxModel))
	f.Add([]byte(doubled(3, boxObject)))
	f.Add([]byte(model(`unit="inch" xmlns:m="`+materialNS+`" requiredextensions="m"`,
		`<basematerials id="5"/><m:colorgroup id="6"/>`+boxObject,
		`<item objectid="1" transform="-1 0 0 0 1e-3 0 0 0 1 4 5 6"/>`)))
	f.Add([]byte(model("", `<object id="1" type="support"><mesh/></object>`, `<item objectid="1"/>`)))
	f.Add([]byte("\xff\xfe<\x00a\x00/\x00>\x00"))
	f.Fuzz(func(t *testing.T, data []byte) { checkRead(t, "x.3mf", package3MF(t, string(data))) })
}

// FuzzPackage varies the bytes of the zip file.
func FuzzPackage(f *testing.F) {
	f.Add(package3MF(f, boxModel))
	f.Add(package3MF(f, boxModel, member{"3D/_rels/3dmodel.model.rels", "<Relationships/>"}))
	f.Add(write3MFBytes(f, Plate{Copies: []Copy{{Mesh: cubeMesh(5), Pose: mesh.Pose{Frame: mesh.Identity()}}}}))
	f.Fuzz(func(t *testing.T, data []byte) { checkRead(t, "x.3mf", data) })
}

func FuzzOBJ(f *testing.F) {
	f.Add([]byte(cubeCorners + cubeQuads))
	f.Add([]byte("o a\nv 0 0 0\nv 1 0 0 1\nv 1 1 0\nv .5 .1 0\\\n\nv 0 1 0\ng b\nf 1/1/1 2//3 3/2 4 5\nf -1 -2 -3\nl 1 2\n"))
	f.Add([]byte("f 1 2 3 4 5 6\rv 0 0 0\rv 2 2 0\rv 2 0 1e9\rv 0 2 0\rv 1 1 1\rv 0 0 0\r# x"))
	f.Fuzz(func(t *testing.T, data []byte) { checkRead(t, "x.obj", data) })
}
