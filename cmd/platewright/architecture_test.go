package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

const module = "platewright/"

// arrows says which packages of this module each package may import. A name
// that ends in /... stands for itself and everything below it.
//
// Why: a reader of support need not know orient, a reader of bedpack no mesh.
// An arrow that is not here is either an oversight or a new decision, which
// belongs into DEVELOPERS.md and then here.
var arrows = []struct {
	from string
	to   []string
}{
	{"support/plane", nil},
	{"support/mesh", []string{"support/plane"}},
	{"support/mesh/solid", []string{"support/mesh"}},
	{"support", []string{"support/plane", "support/mesh"}},
	{"orient/printer", []string{"support/plane", "support"}},
	{"orient/printer/toolpath", []string{"support/...", "orient/printer"}},
	{"orient/role", []string{"support/plane", "support/mesh", "support"}},
	{"orient", []string{"support/plane", "support/mesh", "support", "orient/printer", "orient/role"}},
	{"bedpack", []string{"support/plane", "orient/printer"}},
	{"bedpack/nights", []string{"orient/printer"}},
	{"bedpack/stripbench", []string{"bedpack", "support/plane"}},
	{"worker/folder", nil},
	{"worker/partfile", []string{"support/mesh", "support/plane"}},
	{"worker/shop", []string{"support/plane", "orient/printer"}},
	{"worker/joblist", []string{"support/mesh"}},
	{"worker/queue", []string{"worker/folder"}},
	{"worker/ledger", []string{"worker/folder"}},
	{"worker/report", []string{"support/...", "worker/joblist"}},
	{"worker/web", []string{"support/...", "worker/..."}},
	{"worker", []string{"support/...", "orient/...", "bedpack/...", "worker/..."}},
	{"cmd/platewright", []string{"worker/..."}},
}

// stateful are the packages that may start goroutines and see disk, clock,
// network and logger.
var stateful = []string{"worker", "cmd", "bedpack/stripbench"}

// impure are the imports that only stateful packages may have.
var impure = []string{"os", "os/exec", "io/fs", "path/filepath", "net", "net/http", "log", "log/slog", "embed",
	"github.com/rs/zerolog", "github.com/sourcegraph/conc"}

// clock are the functions of package time that ask or wait for the hour.
var clock = []string{"Now", "Since", "Until", "Sleep", "After", "AfterFunc", "Tick", "NewTimer", "NewTicker"}

func TestImportsPointDown(t *testing.T) {
	eachSource(t, func(pkg, path string, file *ast.File) {
		for _, i := range file.Imports {
			name, err := strconv.Unquote(i.Path.Value)
			if err != nil {
				t.Fatal(err)
			}
			if to, inside := strings.CutPrefix(name, module); inside && !mayImport(pkg, to) {
				t.Errorf("%s: %s must not import %s: arrows point down only, see the drawing in DEVELOPERS.md; allowed: %v", path, pkg, to, allowed(pkg))
			}
			if !isStateful(pkg) && slices.ContainsFunc(impure, func(bad string) bool { return under(name, bad) }) {
				t.Errorf("%s: %s must not import %s: packages outside worker and cmd are pure, the same input gives the same answer", path, pkg, name)
			}
		}
	})
}

func TestPurePackagesKeepNoStateAndStartNothing(t *testing.T) {
	eachSource(t, func(pkg, path string, file *ast.File) {
		if isStateful(pkg) {
			return
		}
		for _, d := range file.Decls {
			g, ok := d.(*ast.GenDecl)
			if !ok || g.Tok != token.VAR {
				continue
			}
			for _, s := range g.Specs {
				for _, n := range s.(*ast.ValueSpec).Names {
					if !strings.HasPrefix(n.Name, "Err") && n.Name != "_" {
						t.Errorf("%s: variable %s: package state makes two runs differ; pass it as an argument or make it a function", path, n.Name)
					}
				}
			}
		}
		ast.Inspect(file, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.GoStmt:
				t.Errorf("%s: %s starts a goroutine: only worker does, others take a Runner", path, pkg)
			case *ast.SelectorExpr:
				if x, ok := n.X.(*ast.Ident); ok && x.Name == "time" && slices.Contains(clock, n.Sel.Name) {
					t.Errorf("%s: %s asks the clock (time.%s): take the time as an argument", path, pkg, n.Sel.Name)
				}
			}
			return true
		})
	})
}

func TestEveryPackageHasADoc(t *testing.T) {
	documented := map[string]bool{}
	eachSource(t, func(pkg, _ string, file *ast.File) {
		documented[pkg] = documented[pkg] || file.Doc != nil
	})
	for pkg, has := range documented {
		if !has {
			t.Errorf("package %s has no doc comment: say what it is for, its units, who calls it, what it refuses to do", pkg)
		}
	}
}

func TestTopLevelHoldsWhatWasAgreed(t *testing.T) {
	agreed := []string{"cmd", "orient", "support", "bedpack", "worker", "testdata", "README.md", "DEVELOPERS.md", "go.mod", "go.sum"}
	entries, err := os.ReadDir(root(t))
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if name := e.Name(); !strings.HasPrefix(name, ".") && !slices.Contains(agreed, name) {
			t.Errorf("top level holds %s; agreed are %v", name, agreed)
		}
	}
}

// eachSource parses every Go file of the module that is neither a test nor
// below a testdata folder.
func eachSource(t *testing.T, do func(pkg, path string, file *ast.File)) {
	t.Helper()
	top := root(t)
	files := 0
	err := filepath.WalkDir(top, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (d.Name() == "testdata" || path != top && strings.HasPrefix(d.Name(), ".")) {
			return fs.SkipDir
		}
		if filepath.Ext(path) != ".go" || strings.HasSuffix(path, "_test.go") {
			return nil
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ParseComments)
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(top, path)
		if err != nil {
			return err
		}
		files++
		do(filepath.ToSlash(filepath.Dir(rel)), filepath.ToSlash(rel), file)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if files < 20 {
		t.Fatalf("found only %d source files below %s", files, top)
	}
}

// root returns the folder of go.mod.
func root(t *testing.T) string {
	t.Helper()
	top, err := filepath.Abs(filepath.Join("..", ".."))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(filepath.Join(top, "go.mod")); err != nil {
		t.Fatal(err)
	}
	return top
}

func allowed(pkg string) []string {
	for _, a := range arrows {
		if a.from == pkg {
			return a.to
		}
	}
	return nil
}

func mayImport(pkg, to string) bool {
	return slices.ContainsFunc(allowed(pkg), func(a string) bool {
		if tree, ok := strings.CutSuffix(a, "/..."); ok {
			return under(to, tree)
		}
		return a == to
	})
}

func isStateful(pkg string) bool {
	return slices.ContainsFunc(stateful, func(s string) bool { return under(pkg, s) })
}

// under reports whether a path is another or lies below it.
func under(path, top string) bool { return path == top || strings.HasPrefix(path, top+"/") }

func TestRulesWouldNotice(t *testing.T) {
	for _, c := range []struct {
		pkg, to string
		want    bool
	}{{"support", "orient", false}, {"bedpack", "support/mesh", false}, {"orient", "support/mesh", true}, {"worker", "bedpack/nights", true}, {"unheard/of", "support", false}} {
		if got := mayImport(c.pkg, c.to); got != c.want {
			t.Errorf("mayImport(%s, %s) = %v, want %v", c.pkg, c.to, got, c.want)
		}
	}
}
