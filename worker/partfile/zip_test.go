package partfile

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"fmt"
	"hash/crc32"
	"runtime"
	"strings"
	"testing"
)

func TestPackagesThatAreRefused(t *testing.T) {
	types := member{contentTypesMember, contentTypes}
	rels := member{rootRelsMember, rootRels}
	box := member{modelMember, boxModel}
	relsTo := func(targets ...string) member {
		var b strings.Builder
		for _, target := range targets {
			fmt.Fprintf(&b, `<Relationship Type="%s" %s/>`, modelRelationship, target)
		}
		return member{rootRelsMember, "<Relationships>" + b.String() + "</Relationships>"}
	}
	modelRels := func(target string) member {
		return member{"3D/_rels/3dmodel.model.rels", `<Relationships><Relationship Type="x" ` + target + `/></Relationships>`}
	}
	whole := package3MF(t, boxModel)
	tests := []struct {
		name string
		in   []byte
		err  error
		text string
	}{
		{"not a zip file", []byte("hello, this is no zip file at all, whatever its name says"), ErrFormat, "not a zip"},
		{"end missing", whole[:len(whole)-30], ErrTruncated, "directory"},
		{"half missing", whole[:len(whole)/2], ErrTruncated, "directory"},
		{"empty zip", zipOf(t), ErrFormat, contentTypesMember},
		{"no content types", zipOf(t, rels, box), ErrFormat, contentTypesMember},
		{"no relationships", zipOf(t, types, box), ErrFormat, rootRelsMember},
		{"no model", zipOf(t, types, rels), ErrIndex, "3D/3dmodel.model"},
		{"no model named", zipOf(t, types, member{rootRelsMember, "<Relationships/>"}, box), ErrFormat, "no model"},
		{"two models named", zipOf(t, types, relsTo(`Target="/3D/3dmodel.model"`, `Target="3D/3dmodel.model"`), box), ErrFormat, "two models"},
		{"link without target", zipOf(t, types, relsTo(``), box), ErrFormat, "without Target"},
		{"link out of the file", zipOf(t, types, relsTo(`Target="http://example.com/x.model"`), box), ErrFormat, "out of the file"},
		{"link to a host", zipOf(t, types, relsTo(`Target="//example.com/x.model"`), box), ErrFormat, "out of the file"},
		{"external link", zipOf(t, types, relsTo(`Target="/3D/3dmodel.model" TargetMode="External"`), box), ErrFormat, "out of the file"},
		{"link above the root", zipOf(t, types, relsTo(`Target="../../etc/passwd"`), box), ErrIndex, `"etc/passwd"`},
		{"model links to a drive", zipOf(t, types, rels, box, modelRels(`Target="C:/picture.png"`)), ErrFormat, "C:/picture.png"},
		{"model links to nothing", zipOf(t, types, rels, box, modelRels(`Target="picture.png"`)), ErrIndex, "3D/picture.png"},
		{"relationships that are no XML", zipOf(t, types, member{rootRelsMember, "hello"}, box), ErrTruncated, rootRelsMember},
		{"two members of one name", zipOf(t, types, rels, box, member{"3d/3DMODEL.model", "x"}), ErrFormat, "one name"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			_, err := readBytes("box.3mf", test.in, Limits{})
			wantError(t, err, test.err, test.text)
		})
	}
}

func TestPackagesWithUnusualNames(t *testing.T) {
	types := member{"[CONTENT_TYPES].XML", contentTypes}
	rels := func(target string) member {
		return member{"_RELS/.rels", fmt.Sprintf(`<Relationships><Relationship Type="%s" Target="%s"/></Relationships>`, modelRelationship, target)}
	}
	for name, in := range map[string][]byte{
		"other case":       zipOf(t, types, rels("/3d/3DModel.MODEL"), member{modelMember, boxModel}),
		"other folder":     zipOf(t, types, rels("shapes/a.model"), member{"shapes/a.model", boxModel}),
		"escaped name":     zipOf(t, types, rels("/3D/a%20b.model"), member{"3D/a b.model", boxModel}),
		"dots in the path": zipOf(t, types, rels("/3D/../3D/./a.model"), member{"3D/a.model", boxModel}),
		"folders listed":   zipOf(t, member{"3D/", ""}, types, rels("/3D/a.model"), member{"3D/a.model", boxModel}),
	} {
		part, err := readBytes("box.3mf", in, Limits{})
		if err != nil || len(part.Triangles) != 12 {
			t.Errorf("%s: %d facets, %v, want 12", name, len(part.Triangles), err)
		}
	}
}

// blanks packs size bytes of nearly nothing.
func blanks(t *testing.T, size int) (packed []byte, sum uint32) {
	t.Helper()
	var out bytes.Buffer
	f, err := flate.NewWriter(&out, flate.BestSpeed)
	if err != nil {
		t.Fatal(err)
	}
	hash := crc32.NewIEEE()
	block := bytes.Repeat([]byte(" "), 1<<20)
	copy(block, "<a/>") // so that no text between tags grows too long
	for range size >> 20 {
		_, _ = f.Write(block) // a bytes.Buffer takes everything
		_, _ = hash.Write(block)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes(), hash.Sum32()
}

// bomb is a 3MF file with a packed model, whose directory declares the size
// given.
func bomb(t *testing.T, packed []byte, sum uint32, declared uint64) []byte {
	t.Helper()
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, m := range []member{{contentTypesMember, contentTypes}, {rootRelsMember, rootRels}} {
		w, err := z.Create(m.name)
		if err == nil {
			_, err = w.Write([]byte(m.text))
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	w, err := z.CreateRaw(&zip.FileHeader{
		Name: modelMember, Method: zip.Deflate, CRC32: sum,
		CompressedSize64: uint64(len(packed)), UncompressedSize64: declared,
	})
	if err == nil {
		_, err = w.Write(packed)
	}
	if err == nil {
		err = z.Close()
	}
	if err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func TestZipBombs(t *testing.T) {
	const size = 16 << 20
	packed, sum := blanks(t, size)
	tests := []struct {
		name     string
		declared uint64
		limits   Limits
		err      error
		text     string
	}{
		{"too large and says so", size, Limits{UnpackedBytes: 1 << 20}, ErrTooLarge, fmt.Sprint("unpacks to ", size, " bytes")},
		{"declares a terabyte", 1 << 40, Limits{}, ErrTooLarge, "unpacks to 1099511627776 bytes"},
		{"declares a kilobyte", 1 << 10, Limits{}, ErrFormat, "not as long as it declares"},
		{"declares half", size / 2, Limits{}, ErrFormat, ""},
		{"within the limit, but no model", size, Limits{}, ErrFormat, `outermost element "a"`},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			in := bomb(t, packed, sum, test.declared)
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			_, err := readBytes("bomb.3mf", in, test.limits)
			runtime.ReadMemStats(&after)
			wantError(t, err, test.err, test.text)
			if got := after.TotalAlloc - before.TotalAlloc; got > 4<<20 {
				t.Errorf("allocated %d kB", got>>10)
			}
		})
	}
}

func TestLimitOfUnpackedBytesCountsAllMembers(t *testing.T) {
	in := package3MF(t, boxModel)
	all := int64(len(rootRels) + len(boxModel))
	if _, err := readBytes("box.3mf", in, Limits{UnpackedBytes: all}); err != nil {
		t.Errorf("at the limit: %v", err)
	}
	_, err := readBytes("box.3mf", in, Limits{UnpackedBytes: all - 1})
	wantError(t, err, ErrTooLarge, modelMember)
}

func TestDamagedMembersAreRefused(t *testing.T) {
	whole := package3MF(t, boxModel)
	_, err := readBytes("box.3mf", whole, Limits{})
	if err != nil {
		t.Fatal(err)
	}
	at := bytes.Index(whole, []byte(modelMember)) + len(modelMember) + 40
	for i := range 20 {
		broken := bytes.Clone(whole)
		broken[at+i] ^= 0x55
		if _, err := readBytes("box.3mf", broken, Limits{}); err == nil {
			t.Errorf("byte %d changed: read without an error", at+i)
		}
	}
}

func TestEncryptedMembersAreRefused(t *testing.T) {
	in := package3MF(t, boxModel)
	// General purpose bit 0 of the last directory entry, PKWARE APPNOTE 4.3.12.
	in[bytes.LastIndex(in, []byte("PK\x01\x02"))+8] |= 1
	_, err := readBytes("box.3mf", in, Limits{})
	wantError(t, err, ErrFormat, "encrypted")
}

func TestHugeZipDirectoryIsRefused(t *testing.T) {
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for i := range 300 {
		_, err := z.CreateRaw(&zip.FileHeader{Name: fmt.Sprint(i), Comment: strings.Repeat("c", 60_000)})
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	_, err := readBytes("box.3mf", out.Bytes(), Limits{})
	wantError(t, err, ErrTooLarge, "directory")
}

// TestOnlyTheDirectoryIsMetered reads a member larger than a directory may be.
func TestOnlyTheDirectoryIsMetered(t *testing.T) {
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, m := range []member{
		{contentTypesMember, contentTypes}, {rootRelsMember, rootRels},
		{modelMember, boxModel + strings.Repeat(strings.Repeat(" ", 1<<20)+"<!-- -->", maxDirectory>>20+1)},
	} {
		w, err := z.CreateHeader(&zip.FileHeader{Name: m.name, Method: zip.Store})
		if err == nil {
			_, err = w.Write([]byte(m.text))
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := readBytes("box.3mf", out.Bytes(), Limits{}); err != nil {
		t.Error(err)
	}
}

func TestXMLThatGrowsIsRefused(t *testing.T) {
	for name, in := range map[string]string{
		"elements within each other": with("<resources>", "<resources>"+strings.Repeat("<a>", 100_000)),
		"an attribute of 5 MB":       with(`name="box"`, `name="`+strings.Repeat("x", 5<<20)+`"`),
		"a text of 5 MB":             with("<resources>", "<resources>"+strings.Repeat("x", 5<<20)),
		"a comment of 5 MB":          with("<resources>", "<resources><!--"+strings.Repeat("x", 5<<20)+"-->"),
	} {
		t.Run(name, func(t *testing.T) {
			_, err := read3MFModel(t, in, Limits{})
			wantError(t, err, ErrTooLarge, modelMember)
		})
	}
}
