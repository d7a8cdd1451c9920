package joblist

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"slices"
	"strings"
	"unicode/utf8"
)

// ErrInvalid reports a list that contradicts itself.
var ErrInvalid = errors.New("joblist: list contradicts itself")

// Validate checks what the schema cannot say.
//
// Laws: (1) names of printers and parts and ids of plates are unique, and every
// reference leads to one; (2) of a placed part every copy is on exactly one
// plate, of a part not placed at least one is on none, of an unreadable part
// all are on none, and no copy is on two; (3) a placed part has a chosen option,
// which some copy uses; (4) an item's matrix is a rigid transform, not a mirror,
// that turns its option's up vector to +z, and its box lies on the bed; (5) a
// copy is only on a printer that its option fits on; (6) plates of a printer do
// not overlap in time; (7) the totals are the sums that AddUp makes.
// Errors: ErrInvalid, joined, one for each fault.
func (l List) Validate() error {
	v := &validator{list: &l, items: placements(&l)}
	v.head()
	v.printers()
	v.parts()
	v.copies()
	v.plates()
	v.poses()
	v.timetable()
	v.sums()
	return errors.Join(v.faults...)
}

type validator struct {
	list   *List
	items  []placed
	faults []error
}

func (v *validator) fault(format string, args ...any) {
	v.faults = append(v.faults, fmt.Errorf("%w: %s", ErrInvalid, fmt.Sprintf(format, args...)))
}

// names faults a name that is empty, not UTF-8 or seen before.
func (v *validator) name(what, name string, seen map[string]bool) {
	switch {
	case name == "":
		v.fault("%s has no name", what)
	case !utf8.ValidString(name):
		v.fault("%s %q is not UTF-8", what, name)
	case seen[name]:
		v.fault("%s %q stands twice", what, name)
	}
	seen[name] = true
}

func (v *validator) head() {
	if v.list.Schema != SchemaID {
		v.fault("schema is %q, want %q", v.list.Schema, SchemaID)
	}
	if v.list.Made.IsZero() {
		v.fault("made is not set")
	}
}

func (v *validator) printers() {
	seen := map[string]bool{}
	for _, p := range v.list.Printers {
		v.name("printer", p.Name, seen)
		oblong := p.Bed != [2]float64{}
		if oblong == (p.Diameter != 0) {
			v.fault("printer %q needs either a bed or a diameter", p.Name)
		}
	}
}

func (v *validator) printer(name string) *Printer {
	i := slices.IndexFunc(v.list.Printers, func(p Printer) bool { return p.Name == name })
	if i < 0 {
		return nil
	}
	return &v.list.Printers[i]
}

func (v *validator) parts() {
	seen := map[string]bool{}
	for i := range v.list.Parts {
		p := &v.list.Parts[i]
		v.name("part", p.Name, seen)
		if p.Count < 1 || p.Count > MaxCopies {
			v.fault("part %q has count %d, want 1 to %d", p.Name, p.Count, MaxCopies)
		}
		if p.Chosen != nil && (*p.Chosen < 0 || *p.Chosen >= len(p.Options)) {
			v.fault("part %q has chosen %d of %d options", p.Name, *p.Chosen, len(p.Options))
		}
		v.status(p)
		for j := range p.Options {
			v.option(p, j)
		}
	}
}

func (v *validator) status(p *Part) {
	switch p.Status {
	case Placed:
		if p.Chosen == nil {
			v.fault("part %q is placed without a chosen option", p.Name)
		}
		return
	case NotPlaced:
	case Unreadable:
		if p.Chosen != nil || len(p.Options) > 0 {
			v.fault("part %q is unreadable but has options", p.Name)
		}
	default:
		v.fault("part %q has status %q", p.Name, p.Status)
	}
	if strings.TrimSpace(p.Why) == "" {
		v.fault("part %q is %s without a why", p.Name, p.Status)
	}
}

func (v *validator) option(p *Part, j int) {
	o := &p.Options[j]
	if norm := math.Hypot(math.Hypot(o.Up[0], o.Up[1]), o.Up[2]); !(math.Abs(norm-1) <= unitTolerance) {
		v.fault("part %q option %d: up is %v long, want 1", p.Name, j, norm)
	}
	seen := map[string]bool{}
	for _, on := range o.On {
		if v.printer(on.Printer) == nil {
			v.fault("part %q option %d: there is no printer %q", p.Name, j, on.Printer)
		}
		if seen[on.Printer] {
			v.fault("part %q option %d: printer %q stands twice", p.Name, j, on.Printer)
		}
		seen[on.Printer] = true
	}
}

// copies checks laws (2) and (3).
func (v *validator) copies() {
	type copyOf struct {
		part string
		n    int
	}
	on := map[copyOf]string{}
	used := map[string]int{}        // distinct copies of a part on plates
	chosenUsed := map[string]bool{} // some copy lies as the part's chosen option says
	for _, p := range v.items {
		c := copyOf{p.item.Part, p.item.Copy}
		if first, twice := on[c]; twice {
			v.fault("part %q copy %d is on plate %q and on plate %q", c.part, c.n, first, p.plate.ID)
			continue
		}
		on[c] = p.plate.ID
		used[c.part]++
		if p.part != nil && p.part.Chosen != nil && *p.part.Chosen == p.item.Option {
			chosenUsed[c.part] = true
		}
	}
	for _, p := range v.list.Parts {
		n := used[p.Name]
		switch {
		case p.Status == Placed && n != p.Count:
			v.fault("part %q is placed with %d of %d copies on plates", p.Name, n, p.Count)
		case p.Status == NotPlaced && n >= p.Count:
			v.fault("part %q is not placed with all %d copies on plates", p.Name, p.Count)
		case p.Status == Unreadable && n > 0:
			v.fault("part %q is unreadable with %d copies on plates", p.Name, n)
		case p.Status == Placed && p.Chosen != nil && !chosenUsed[p.Name]:
			v.fault("part %q has chosen %d, which no copy uses", p.Name, *p.Chosen)
		}
	}
}

func (v *validator) plates() {
	seen, files := map[string]bool{}, map[string]bool{}
	for _, p := range v.list.Plates {
		v.name("plate", p.ID, seen)
		if v.printer(p.Printer) == nil {
			v.fault("plate %q: there is no printer %q", p.ID, p.Printer)
		}
		if len(p.Items) == 0 {
			v.fault("plate %q is empty", p.ID)
		}
		for _, file := range []string{p.Files.ThreeMF, p.Files.STL} {
			switch {
			case file == "":
				continue
			case !fs.ValidPath(file) || file == ".":
				v.fault("plate %q: file %q is not a plain relative path", p.ID, file)
			case files[file]:
				v.fault("plate %q: file %q stands twice", p.ID, file)
			}
			files[file] = true
		}
	}
	for _, p := range v.items {
		switch {
		case p.part == nil:
			v.fault("plate %q: there is no part %q", p.plate.ID, p.item.Part)
			continue
		case p.opt == nil:
			v.fault("plate %q: part %q has no option %d", p.plate.ID, p.item.Part, p.item.Option)
		case p.on == nil:
			v.fault("plate %q: part %q option %d does not fit on printer %q", p.plate.ID, p.item.Part, p.item.Option, p.plate.Printer)
		}
		if p.item.Copy < 1 || p.item.Copy > p.part.Count {
			v.fault("plate %q: part %q has no copy %d", p.plate.ID, p.item.Part, p.item.Copy)
		}
	}
}
