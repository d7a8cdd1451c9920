package folder

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// The environment variables that make this test binary a victim: it writes
// second to the target and kills itself at the operation given.
const (
	victimTarget  = "PLATEWRIGHT_TEST_TARGET"
	victimAt      = "PLATEWRIGHT_TEST_KILL_AT"
	victimTwoStep = "PLATEWRIGHT_TEST_TWO_STEPS"
)

func TestMain(m *testing.M) {
	if target := os.Getenv(victimTarget); target != "" {
		os.Exit(beVictim(target))
	}
	os.Exit(m.Run())
}

func beVictim(target string) int {
	at, err := strconv.Atoi(os.Getenv(victimAt))
	if err != nil {
		return 3
	}
	fsys := &faulty{FS: realDisk(os.Getenv(victimTwoStep) != ""), at: at, how: crash, onWrong: killSelf}
	if err := Write(fsys, target, second.fill); err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 4
	}
	return 0
}

// killSelf ends the process as a power cut would end it: nothing deferred runs.
func killSelf() {
	self, err := os.FindProcess(os.Getpid())
	if err == nil {
		_ = self.Kill()
	}
	select {} // until the signal arrives
}

// twoSteps is a disk that cannot exchange names.
type twoSteps struct{ FS }

func (twoSteps) Exchange(_, _ string) error { return ErrNoExchange }

func realDisk(noExchange bool) FS {
	if noExchange {
		return twoSteps{Disk()}
	}
	return Disk()
}

// A real process on a real disk is killed at every operation of a write.
func TestDiskSurvivesKill(t *testing.T) {
	for _, noExchange := range []bool{false, true} {
		t.Run(fmt.Sprintf("two steps %t", noExchange), func(t *testing.T) {
			for n := 0; ; n++ {
				parent := t.TempDir()
				target := filepath.Join(parent, "out")
				if err := Write(Disk(), target, first.fill); err != nil {
					t.Fatal(err)
				}
				if !killed(t, target, n, noExchange) {
					if n < 20 {
						t.Fatalf("a write took %d operations, too few to be all of them", n)
					}
					return
				}
				afterKill(t, parent, target, noExchange, fmt.Sprintf("killed at operation %d", n))
			}
		})
	}
}

// killed runs a victim and reports whether it died before it was done.
func killed(t *testing.T, target string, n int, noExchange bool) bool {
	t.Helper()
	victim := exec.Command(os.Args[0])
	victim.Env = append(os.Environ(), victimTarget+"="+target, victimAt+"="+strconv.Itoa(n))
	if noExchange {
		victim.Env = append(victim.Env, victimTwoStep+"=yes")
	}
	out, err := victim.CombinedOutput()
	if err == nil {
		return false
	}
	var exit *exec.ExitError
	if !errors.As(err, &exit) || exit.ExitCode() > 1 {
		t.Fatalf("victim at operation %d: %v: %s", n, err, out)
	}
	return true
}

func afterKill(t *testing.T, parent, target string, noExchange bool, what string) {
	t.Helper()
	if got := read(t, Disk(), target); !noExchange && exchanges(t) && !isOneOf(got, first, second) {
		t.Errorf("%s: folder = %v, want the old or the new one", what, got)
	}
	if err := Recover(Disk(), target); err != nil {
		t.Errorf("%s: Recover = %v, want nil", what, err)
	}
	if got := read(t, Disk(), target); !isOneOf(got, first, second) {
		t.Errorf("%s: folder after Recover = %v, want the old or the new one", what, got)
	}
	if got := beside(t, Disk(), parent); !slices.Equal(got, []string{"out"}) {
		t.Errorf("%s: beside the folder = %q, want only it", what, got)
	}
	if err := Write(Disk(), target, third.fill); err != nil {
		t.Errorf("%s: Write again = %v, want nil", what, err)
	}
	if got := read(t, Disk(), target); !cmp.Equal(got, third) {
		t.Errorf("%s: folder after writing again = %v, want %v", what, got, third)
	}
}

// exchanges reports whether the disk under the tests can exchange names.
func exchanges(t *testing.T) bool {
	t.Helper()
	parent := t.TempDir()
	a, b := filepath.Join(parent, "a"), filepath.Join(parent, "b")
	for _, dir := range []string{a, b} {
		if err := Disk().Mkdir(dir); err != nil {
			t.Fatal(err)
		}
	}
	err := Disk().Exchange(a, b)
	if err != nil && !errors.Is(err, ErrNoExchange) {
		t.Fatalf("Exchange = %v, want nil or ErrNoExchange", err)
	}
	return err == nil
}

func TestDiskExchangeSwapsFullFolders(t *testing.T) {
	parent := t.TempDir()
	a, b := filepath.Join(parent, "a"), filepath.Join(parent, "b")
	for _, dir := range []string{a, b} {
		if err := Write(Disk(), dir, content{"name": filepath.Base(dir)}.fill); err != nil {
			t.Fatal(err)
		}
	}
	want := content{"name": "b"}
	if err := Disk().Exchange(a, b); errors.Is(err, ErrNoExchange) {
		want = content{"name": "a"} // and then nothing may have changed
	} else if err != nil {
		t.Fatalf("Exchange = %v, want nil or ErrNoExchange", err)
	}
	if got := read(t, Disk(), a); !cmp.Equal(got, want) {
		t.Errorf("a = %v, want %v", got, want)
	}
	if err := Disk().Exchange(a, filepath.Join(parent, "none")); err == nil {
		t.Error("Exchange with nothing = nil, want an error")
	}
}

func TestDiskLock(t *testing.T) {
	path := filepath.Join(t.TempDir(), "lock")
	// A lock file left by a run that crashed holds nobody up.
	if err := WriteFile(Disk(), path, text("")); err != nil {
		t.Fatal(err)
	}
	unlock, err := Disk().Lock(path)
	if err != nil {
		t.Fatalf("Lock = %v, want nil", err)
	}
	if _, err := Disk().Lock(path); !errors.Is(err, ErrBusy) {
		t.Errorf("Lock of what is locked = %v, want ErrBusy", err)
	}
	if err := unlock(); err != nil {
		t.Errorf("unlock = %v, want nil", err)
	}
	if kind, err := Disk().Kind(path); kind != Absent || err != nil {
		t.Errorf("lock file after unlock = %v, %v, want it gone", kind, err)
	}
	unlock, err = Disk().Lock(path)
	if err != nil {
		t.Fatalf("Lock after unlock = %v, want nil", err)
	}
	if err := unlock(); err != nil {
		t.Error(err)
	}
}

func TestDiskRefusesToFollowLinks(t *testing.T) {
	parent := t.TempDir()
	real, link := filepath.Join(parent, "real"), filepath.Join(parent, "link")
	if err := Write(Disk(), real, first.fill); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(real, link); err != nil {
		t.Fatal(err)
	}
	if err := Write(Disk(), link, second.fill); !errors.Is(err, ErrNotOurs) {
		t.Errorf("Write to a link = %v, want ErrNotOurs", err)
	}
	if got := read(t, Disk(), real); !cmp.Equal(got, first) {
		t.Errorf("folder behind the link = %v, want %v", got, first)
	}
}

func TestDiskEraseKeepsWhatALinkPointsTo(t *testing.T) {
	parent := t.TempDir()
	mine, other := filepath.Join(parent, "mine"), filepath.Join(parent, "other")
	if err := Write(Disk(), other, first.fill); err != nil {
		t.Fatal(err)
	}
	if err := Disk().Mkdir(mine); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(other, filepath.Join(mine, "link")); err != nil {
		t.Fatal(err)
	}
	if err := erase(Disk(), mine, Directory); err != nil {
		t.Fatal(err)
	}
	if got := read(t, Disk(), other); !cmp.Equal(got, first) {
		t.Errorf("folder that a link pointed to = %v, want %v", got, first)
	}
}

func TestDiskReadIsLimited(t *testing.T) {
	path := filepath.Join(t.TempDir(), "f")
	if err := WriteFile(Disk(), path, text("12345")); err != nil {
		t.Fatal(err)
	}
	if got, err := Disk().Read(path, 5); err != nil || string(got) != "12345" {
		t.Errorf("Read within the limit = %q, %v, want 12345", got, err)
	}
	if _, err := Disk().Read(path, 4); err == nil {
		t.Error("Read beyond the limit = nil, want an error")
	}
}
