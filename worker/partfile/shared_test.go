package partfile

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// mustPass are the consortium's must-pass samples: what they hold, counted by
// searching their XML for "<triangle ", and the notes they earn.
var mustPass = map[string]struct {
	facets, items int
	notes         []string
}{
	"MUSTPASS_Chapter2.3a_IgnorableMarkup.3mf":                   {12, 1, []string{NoteExtension}},
	"MUSTPASS_Chapter3.2b_UnitsMeasurementMM.3mf":                {12, 1, nil},
	"MUSTPASS_Chapter3.2c_MultipleItemsTransform.3mf":            {60, 2, []string{NoteSeveral}},
	"MUSTPASS_Chapter4.1_ExplicitSupport.3mf":                    {404, 1, []string{NoteSupport}},
	"MUSTPASS_Chapter4.2_Components.3mf":                         {60, 1, nil},
	"MUSTPASS_Chapter5.1c_MaterialResources_sRGB_RGB_Colors.3mf": {12, 1, []string{NoteMaterial}},
}

// mustFail are the consortium's must-fail samples. Those that break the core
// specification or the package conventions have an error; those that only break
// the material extension are read for their shape, with notes.
var mustFail = map[string]struct {
	err   error
	text  string
	notes []string
}{
	"MUSTFAIL_3MF100_Extension_Chapter2_DuplicatedIdAcrossGroup.3mf":            {notes: []string{NoteSeveral, NoteRepeated, NoteMaterial}},
	"MUSTFAIL_3MF100_Extension_Chapter3_DuplicatedTexture2DGroup.3mf":           {notes: []string{NoteSeveral, NoteMaterial}},
	"MUSTFAIL_3MF100_Extension_Chapter4a_DuplicatedCompositeMaterials.3mf":      {notes: []string{NoteSeveral, NoteMaterial}},
	"MUSTFAIL_3MF100_Extension_Chapter4c_MissingMatidMatIndices.3mf":            {notes: []string{NoteSeveral, NoteMaterial}},
	"MUSTFAIL_3MF100_Extension_Chapter5a_MissingPIDs.3mf":                       {notes: []string{NoteSeveral, NoteMaterial}},
	"MUSTFAIL_3MF100_Extension_Chapter5b_MultipleReferenceToBaseMatterials.3mf": {notes: []string{NoteSeveral, NoteMaterial}},
	"MUSTFAIL_3MF100_Extension_Chapter5c_MultipleReferenceToColorgroup.3mf":     {notes: []string{NoteSeveral, NoteMaterial}},
	"MUSTFAIL_3MF100_Extension_Chapter5e_ReferenceToMultiProperties.3mf":        {notes: []string{NoteSeveral, NoteMaterial}},
	"MUSTFAIL_3MF100_Extension_Chapter6_2DTexture_MissingPath.3mf":              {notes: []string{NoteSeveral, NoteMaterial}},

	"MUSTFAIL_Chapter2.1.1b_PartsRelationships_LinkToExternal.3mf":       {err: ErrFormat, text: "C:/Metadata/thumbnail.png"},
	"MUSTFAIL_Chapter2.1.3_PartsRelationships_NonExistThumbnailPart.3mf": {err: ErrIndex, text: "nothumbnailfile.png"},
	"MUSTFAIL_Chapter2.3.2a_NonUTF_Encoding.3mf":                         {err: ErrFormat, text: "invalid UTF-8"},
	"MUSTFAIL_Chapter2.3.2c_UndefinedNameSpaceInXDS.3mf":                 {err: ErrFormat, text: "newproperty"},
	"MUSTFAIL_Chapter2.3.4_WhiteSpace.3mf":                               {err: ErrFormat, text: "xml:space"},
	"MUSTFAIL_Chapter3.4.1b_DuplicatedMetadataName.3mf":                  {err: ErrFormat, text: `"Title" twice`},
	"MUSTFAIL_Chapter3.4.3.1b_BuildItemReferToObjectOfTypeOther.3mf":     {err: ErrFormat, text: "type other"},
	"MUSTFAIL_Chapter3.4b_MissingBuildElement.3mf":                       {err: ErrFormat, text: "no build element"},
	"MUSTFAIL_Chapter4a_InvalidObjectType.3mf":                           {err: ErrFormat, text: "invalidtype"},
	"MUSTFAIL_Chapter5a_DuplicatedBaseMaterials.3mf":                     {err: ErrFormat, text: "two resources with id 1"},
}

// filesIn returns the names of all files in a folder.
func filesIn(t *testing.T, dir string) []string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range entries {
		if !e.IsDir() {
			names = append(names, e.Name())
		}
	}
	return names
}

func TestMustPassSamples(t *testing.T) {
	dir := sharedData(t, "meshes/format/mustpass")
	names := filesIn(t, dir)
	if len(names) != len(mustPass) {
		t.Errorf("samples = %v, want %d", names, len(mustPass))
	}
	for _, name := range names {
		t.Run(name, func(t *testing.T) {
			want, known := mustPass[name]
			part, err := Open(filepath.Join(dir, name), Limits{})
			if err != nil || !known {
				t.Fatalf("known = %v, error = %v", known, err)
			}
			if len(part.Triangles) != want.facets || part.Items != want.items {
				t.Errorf("facets, items = %d, %d, want %d, %d", len(part.Triangles), part.Items, want.facets, want.items)
			}
			if volume(part.Triangles) <= 0 {
				t.Errorf("volume = %v, want it positive", volume(part.Triangles))
			}
			wantNotes(t, part, want.notes...)
		})
	}
}

func TestMustFailSamples(t *testing.T) {
	dir := sharedData(t, "meshes/format/mustfail")
	names := filesIn(t, dir)
	if len(names) != len(mustFail) {
		t.Errorf("samples = %v, want %d", names, len(mustFail))
	}
	for _, name := range names {
		t.Run(name, func(t *testing.T) {
			want, known := mustFail[name]
			if !known {
				t.Fatal("no expectation")
			}
			part, err := Open(filepath.Join(dir, name), Limits{})
			if want.err != nil {
				wantError(t, err, want.err, name, want.text)
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			wantNotes(t, part, want.notes...)
			if got, want := len(part.Triangles), 24; got != want {
				t.Errorf("facets = %d, want %d", got, want)
			}
		})
	}
}

func TestSharedPartsAreReadWhole(t *testing.T) {
	root := sharedData(t, "meshes")
	// Facets of STL files follow from their length; of the OBJ files, from a
	// count of the corners on their f lines: 5,522 and 1,654 triangles; 4
	// triangles, 160 quads and 16 pentagons. The 3MF file's: "<triangle " in it.
	facets := map[string]int{
		"organic/goathead.obj": 5522, "organic/spot_low_resolution.obj": 1654, "organic/spot_control_mesh.obj": 372,
		"format/cube_gears.3mf": 25692,
	}
	refused := map[string]error{
		"format/empty.stl": ErrEmpty, "format/stl_empty_ascii.stl": ErrEmpty, "format/stl_empty_bin.stl": ErrEmpty,
	}
	// The control mesh has two bent quads that cross themselves seen square on.
	notes := map[string][]string{
		"format/HalfDonut.stl":          {NoteStrayBytes},
		"format/cube_gears.3mf":         {NoteSeveral},
		"organic/spot_control_mesh.obj": {NoteCrossed},
	}
	seen := 0
	for _, folder := range []string{"duck-mm", "units", "shell", "overlap", "car", "organic", "open", "format"} {
		for _, file := range filesIn(t, filepath.Join(root, folder)) {
			name := folder + "/" + file
			t.Run(name, func(t *testing.T) {
				path := filepath.Join(root, folder, file)
				part, err := Open(path, Limits{})
				if want := refused[name]; want != nil {
					wantError(t, err, want)
					return
				}
				if err != nil {
					t.Fatal(err)
				}
				want := facets[name]
				if strings.EqualFold(filepath.Ext(name), ".stl") {
					info, err := os.Stat(path)
					if err != nil {
						t.Fatal(err)
					}
					want = int(info.Size()-stlHeader) / stlFacet
				}
				if len(part.Triangles) != want {
					t.Errorf("facets = %d, want %d", len(part.Triangles), want)
				}
				if !slices.Equal(noteCodes(part), notes[name]) {
					t.Errorf("notes = %v, want %v", part.Notes, notes[name])
				}
			})
			seen++
		}
	}
	if want := 32; seen != want {
		t.Errorf("files = %d, want %d", seen, want)
	}
}
