package worker

import (
	"context"
	"fmt"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"platewright/bedpack"
	"platewright/orient"
	"platewright/support"
	"platewright/support/mesh"
	"platewright/support/plane"
)

// stand is a part in one of its orientations, spun so that the least oblong
// around its shadow lies along the bed.
type stand struct {
	pose    mesh.Pose // file frame to this frame; lowest corner at z = 0
	outline plane.Outline
	hull    plane.Ring
	height  float64
}

// shape is what packing needs of a stand, without what it costs.
func (s stand) shape() bedpack.Option {
	return bedpack.Option{Outline: s.outline, Hull: s.hull, Height: s.height}
}

// Outlines are drawn in cells of at most outlineCell mm, finer for small parts,
// and then thinned, outward only, by up to outlineTolerance mm: together less
// than the gap that parts keep anyway.
const (
	outlineCell      = 0.3
	outlineCells     = 400
	outlineTolerance = 0.3
)

// search fills in a part's options, recalled or worked out.
func (b *build) search(ctx context.Context, p *part, kept memory, run orient.Runner) error {
	settings := b.orientSettings()
	key, err := kept.key(p, settings)
	if err != nil {
		return err
	}
	p.solid = support.NewBody(p.mesh, p.roles)
	if p.Answer, p.recalled = kept.recall(key); !p.recalled {
		if p.Answer, err = orient.Search(ctx, p.solid, settings, run); err != nil {
			return err
		}
		// Scores that cannot be kept cost time at the next run, no more.
		if err := kept.keep(key, p.Answer); err != nil {
			p.note("scores not kept", fmt.Sprintf("scores could not be remembered: %v", err))
		}
	}
	if b.build.Parts[p.file].Keep {
		as := orient.Evaluate(p.solid, mesh.Direction{}, settings)
		p.Answer = orient.Answer{Options: []orient.Option{as}, Bound: p.Bound}
	}
	p.stands, p.costs = make([]stand, len(p.Options)), make([][]cost, len(p.Options))
	for i, o := range p.Options {
		p.stands[i] = standOf(p.solid, o.Up)
		p.costs[i] = b.costs(p, i)
	}
	return nil
}

// orientSettings are the settings of the search. Layers are those of the first
// printer: a part has one set of measures, whichever printer it goes on.
func (b *build) orientSettings() orient.Settings {
	s, p := b.shop, b.shop.Printers[0]
	return orient.Settings{
		Support: support.Settings{
			Limit: s.Support.Overhang, Ledge: s.Support.Ledge, Bridge: s.Support.Bridge,
			Layer: p.Layer, FirstLayer: p.FirstLayer,
		},
		Machines:   b.machines(),
		Weights:    b.weights(),
		Rates:      b.rates(),
		Risk:       orient.Risk{Failure: s.Plate.Failure, Tip: s.Plate.Tip, Safe: s.Search.SafeTip},
		Directions: s.Search.Directions,
		Keep:       s.Search.Options,
		Room:       b.room,
	}
}

// standOf turns a part up, spins it straight and takes its shadow.
func standOf(b support.Body, up mesh.Direction) stand {
	m := b.Mesh
	frame := mesh.Upright(up)
	points := make([]r2.Vec, m.NumVertices())
	for i, v := range m.Vertices() {
		points[i] = r2.Vec{X: r3.Dot(frame.X, v), Y: r3.Dot(frame.Y, v)}
	}
	straight := plane.LeastRectangle(support.HullOf(points))
	standing, pose := b.StandIn(frame.Spun(straight.Turn))
	box := standing.Mesh.Bounds()
	cell := min(outlineCell, max(box.Max.X-box.Min.X, box.Max.Y-box.Min.Y)/outlineCells)
	shadow := support.ShadowOf(standing.Mesh, cell)
	return stand{
		pose:    pose,
		outline: plane.Simplified(shadow.Outline, outlineTolerance),
		hull:    shadow.Hull,
		height:  box.Max.Z,
	}
}
