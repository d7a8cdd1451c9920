package worker

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"time"

	"github.com/sourcegraph/conc/iter"

	"platewright/bedpack"
	"platewright/orient"
	"platewright/support/plane"
	"platewright/worker/folder"
	"platewright/worker/joblist"
)

// Plan plans a folder of parts and writes the result folder; it returns the
// job list that it wrote.
//
// Laws: (1) the same files and settings give the same bytes, with any number of
// workers and after an interrupted run; (2) every part of the folder is in the
// list, with a status; (3) the result folder is the old one or the new one,
// whole.
// Errors: ErrUsage, ErrNothing, the context's; else the disk's.
func Plan(ctx context.Context, c Config) (joblist.List, error) {
	b, parts, err := measured(ctx, c)
	if err != nil {
		return joblist.List{}, err
	}
	list, err := b.listed(parts, anyOption)
	if err != nil {
		return joblist.List{}, err
	}
	b.warn(c, parts, &list)
	return list, b.finish(ctx, c, list, parts)
}

// Compare plans a folder three ways, every part flat, every part upright and as
// Plan would, and writes the last with the figures of all three in its list. It
// returns that list.
//
// Laws and errors: those of Plan.
func Compare(ctx context.Context, c Config) (joblist.List, error) {
	b, parts, err := measured(ctx, c)
	if err != nil {
		return joblist.List{}, err
	}
	list, err := b.listed(parts, anyOption)
	if err != nil {
		return joblist.List{}, err
	}
	b.warn(c, parts, &list)
	for _, way := range []struct {
		name   string
		option func(*part) int
	}{
		{joblist.Flat, func(p *part) int { return p.Flat }},
		{joblist.Upright, func(p *part) int { return p.Upright }},
	} {
		other, err := b.listed(parts, way.option)
		if err != nil {
			return joblist.List{}, err
		}
		list.Layouts = append(list.Layouts, joblist.LayoutOf(way.name, other))
	}
	list.Layouts = append(list.Layouts, joblist.LayoutOf(joblist.Chosen, list))
	return list, b.finish(ctx, c, list, parts)
}

// measured reads the parts of a folder and finds the choice set of each.
func measured(ctx context.Context, c Config) (build, []*part, error) {
	b, err := open(c)
	if err != nil {
		return b, nil, err
	}
	c.Log.Info().Str("build", b.name).Int("parts", len(b.files)).
		Int64("seed", b.shop.Search.Seed).Interface("settings", b.effective()).Msg("plan begins")
	if b.from, err = b.begin(c); err != nil {
		return b, nil, err
	}
	parts := b.parts()
	if err := b.look(ctx, c, parts); err != nil {
		return b, nil, err
	}
	if unreadable(parts) == len(parts) {
		return b, nil, nothingError{fmt.Errorf("none of the %d files can be read; the first: %w", len(parts), parts[0].err)}
	}
	err = b.each(ctx, c, parts, c.Progress, func(p *part, run orient.Runner) error {
		return b.search(ctx, p, memory{c.State}, run)
	})
	return b, parts, err
}

// anyOption lets packing choose among a part's options.
func anyOption(*part) int { return -1 }

// listed places the parts, each in the one option that only names or, where
// that is negative, in any, and makes the list.
func (b *build) listed(parts []*part, only func(*part) int) (joblist.List, error) {
	plates, err := b.place(parts, only)
	if err != nil {
		return joblist.List{}, err
	}
	list, err := b.list(parts, plates)
	if err != nil {
		return joblist.List{}, err
	}
	if err := b.schedule(&list, b.from); err != nil {
		return joblist.List{}, err
	}
	joblist.AddUp(&list)
	return list, list.Validate()
}

// finish tells the log and writes the result.
func (b *build) finish(ctx context.Context, c Config, list joblist.List, parts []*part) error {
	for _, p := range list.Plates {
		c.Log.Info().Str("plate", p.ID).Str("printer", p.Printer).Int("parts", len(p.Items)).Float64("hours", p.Hours).Msg("plate placed")
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	return b.write(c.out(), list, parts)
}

// Finding is what a check says of one file.
type Finding struct {
	File   string
	Facets int
	Volume float64    // mm³
	Size   [3]float64 // mm
	Notes  []joblist.Note
	Err    error // why it cannot be read, or nil
}

// Findings is what a check says of a folder.
type Findings struct {
	Parts []Finding
	Notes []joblist.Note // on the folder as a whole
}

// Check reads the parts of a folder and says what is wrong with them. It
// writes nothing.
//
// Errors: ErrUsage, ErrNothing, the context's.
func Check(ctx context.Context, c Config) (Findings, error) {
	b, err := open(c)
	if err != nil {
		return Findings{}, err
	}
	parts := b.parts()
	if err := b.look(ctx, c, parts); err != nil {
		return Findings{}, err
	}
	out := Findings{Notes: b.notes}
	for _, p := range parts {
		f := Finding{File: p.file, Notes: p.notes, Err: p.err}
		if p.err == nil {
			f.Facets, f.Volume = p.mesh.NumFaces(), p.body.volume
			f.Size = [3]float64{p.body.size.X, p.body.size.Y, p.body.size.Z}
		}
		out.Parts = append(out.Parts, f)
	}
	return out, nil
}

// look reads all parts and finds out what they are to each other.
func (b *build) look(ctx context.Context, c Config, parts []*part) error {
	err := b.each(ctx, c, parts, Progress{}, func(p *part, _ orient.Runner) error { return b.load(p, c.Limits) })
	if err != nil {
		return err
	}
	if n, ok := sizeNote(parts); ok {
		b.notes = append(b.notes, n)
	}
	if unreadable(parts) < len(parts) {
		b.notes = append(b.notes, b.classify(parts)...)
	}
	return nil
}

// parts returns the parts of the build before anything is known of them.
func (b *build) parts() []*part {
	name := names(b.files)
	var out []*part
	for _, f := range b.files {
		out = append(out, &part{name: name[f], file: f, count: b.build.Count(f)})
	}
	return out
}

// each does a piece of work on every part, several at a time, and reports each
// as it is done. It returns an error only when the context has ended.
func (b *build) each(ctx context.Context, c Config, parts []*part, tell Progress, do func(*part, orient.Runner) error) error {
	if tell.Parts != nil {
		tell.Parts(len(parts))
	}
	var report sync.Mutex
	work := iter.Iterator[*part]{MaxGoroutines: c.workers()}
	work.ForEach(parts, func(at **part) {
		p := *at
		start := time.Now()
		if ctx.Err() == nil {
			p.contained(func() error { return do(p, runner(c.workers())) })
		}
		if ctx.Err() != nil {
			return
		}
		report.Lock()
		defer report.Unlock()
		c.report(p, tell, time.Since(start))
	})
	return ctx.Err()
}

// report tells the log and the progress how a part came out.
func (c Config) report(p *part, tell Progress, took time.Duration) {
	step := Step{
		Name: p.name, File: p.file, Options: len(p.Options), Recalled: p.recalled,
		Err: p.err, TookMS: took.Milliseconds(),
	}
	event := c.Log.Info()
	if p.err != nil {
		event = c.Log.Error().Err(p.err)
	}
	event = event.Str("part", p.name).Int64("took_ms", step.TookMS)
	if p.mesh != nil {
		step.Facets = p.mesh.NumFaces()
		event = event.Int("tris", step.Facets)
	}
	if p.err == nil && len(p.Options) > 0 {
		m := p.Options[0].Measures
		step.Best = fmt.Sprintf("%.0f mm tall, %.1f cm³ of support", m.Height, m.Support/1000)
		event = event.Float64("height_mm", m.Height).Bool("recalled", p.recalled)
	}
	event.Msg("part done")
	if tell.Part != nil {
		tell.Part(step)
	}
}

func unreadable(parts []*part) int {
	n := 0
	for _, p := range parts {
		if p.err != nil {
			n++
		}
	}
	return n
}

// packEffort is what saving a plate may take: a few seconds for the demo, where a
// round takes some fifty milliseconds.
const packEffort = 25

// angleStep is how far apart the spins are that packing tries.
const angleStep = 5 * plane.Degree

// placing is the outcome of packing, with the way back from items to parts.
type placing struct {
	arrangement bedpack.Arrangement
	items       []item
}

// item is one copy of a part.
type item struct {
	part   int // index into the parts
	copy   int // from 1
	option int // the part's option that the item's first one is
}

// ways returns a part's options as packing knows them, and the index of the
// first: the one given, or all where that is negative.
func (p *part) ways(only int) (from int, out []bedpack.Option) {
	to := len(p.Options)
	if only >= 0 {
		from, to = only, only+1
	}
	for k := from; k < to; k++ {
		o := p.stands[k].shape()
		o.Volume, o.Hours = p.body.volume, p.hours(k)
		out = append(out, o)
	}
	return from, out
}

// place packs every copy of every readable part, and has the outcome checked
// by code that shares nothing with the packing.
func (b *build) place(parts []*part, only func(*part) int) (placing, error) {
	var out placing
	var packed []bedpack.Item
	for i, p := range parts {
		if p.err != nil {
			continue
		}
		from, options := p.ways(only(p))
		for n := range p.count {
			out.items = append(out.items, item{i, n + 1, from})
			packed = append(packed, bedpack.Item{Name: p.name, Copy: n + 1, Options: options, Pin: b.pin(p)})
		}
	}
	out.arrangement = bedpack.Arrange(b.shop.Printers, packed, bedpack.Settings{AngleStep: angleStep, PlateParts: b.shop.Plate.Parts, PlateHours: b.mostHours(), Effort: packEffort})
	if err := bedpack.Verify(b.shop.Printers, packed, out.arrangement); err != nil {
		return placing{}, fmt.Errorf("the plates are not sound, which is a fault of ours: %w", err)
	}
	return out, nil
}

// pin returns the index of the printer that a part has to go on, or −1.
func (b *build) pin(p *part) int {
	for i, printer := range b.shop.Printers {
		if printer.Name == b.build.Parts[p.file].Pin {
			return i
		}
	}
	return -1
}

// write puts the whole result into its folder.
func (b *build) write(out string, list joblist.List, parts []*part) error {
	err := folder.Write(folder.Disk(), out, func(d *folder.Dir) error {
		return writeFiles(d, list, parts)
	})
	switch {
	case err == nil:
		return nil
	case errors.Is(err, folder.ErrNotOurs), errors.Is(err, folder.ErrTarget):
		return usageError{err}
	}
	return fmt.Errorf("write the result: %w", err)
}
