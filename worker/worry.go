package worker

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/sourcegraph/conc/iter"
	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support"
	"platewright/support/mesh"
	"platewright/worker/joblist"
)

// mostListed is how many things of a kind are told one by one.
const mostListed = 4

// warn enters, for the option that each part is placed in, what a maker should
// know before printing it.
func (b *build) warn(c Config, parts []*part, l *joblist.List) {
	work := iter.Iterator[joblist.Part]{MaxGoroutines: c.workers()}
	work.ForEachIdx(l.Parts, func(i int, entry *joblist.Part) {
		p := parts[i]
		if entry.Chosen == nil {
			return
		}
		p.contained(func() error {
			standing, _ := p.solid.StandIn(p.stands[*entry.Chosen].pose.Frame)
			entry.Options[*entry.Chosen].Notes = b.worries(standing, p.stands[*entry.Chosen].pose, p.Options[*entry.Chosen].Measures)
			return nil
		})
	})
}

// worries says what a maker should know before printing a part one way up; s is
// the part as it stands, m what is measured of it.
func (b *build) worries(standing support.Body, pose mesh.Pose, m support.Measures) []joblist.Note {
	limits, w := b.orientSettings().Support, support.Worries(b.shop.Worries)
	out := []joblist.Note{}
	add := func(code, format string, args ...any) {
		out = append(out, joblist.Note{Code: code, Text: fmt.Sprintf(format, args...)})
	}
	safe := b.shop.Search.SafeTip
	switch {
	case m.Held < safe:
		add("may tip", "May fall over: tilted by %.1f° it does, support counted as feet. A brim, or another way up.", m.Held.Degrees())
	case m.Tip < safe:
		add("stands by its support", "Stands by its support: without it, it falls over when tilted by %.1f°.", m.Tip.Degrees())
	}
	bed := limits.Bed(standing)
	if m.Tip >= safe && w.IsTall(bed) {
		add("tall", "%.0f times as high as its base is deep: %.0f mm on %.1f mm.", bed.Slenderness(), bed.Height, bed.Width)
	}
	for _, f := range bed.Faces {
		if w.MayWarp(f) {
			add("may lift", "Flat face of %.0f × %.0f mm on the plate: its ends may lift as it cools.", f.Length, f.Width)
		}
	}
	if joint := bed.Contact[support.Joint]; joint >= cm2 {
		add("first layer on a joint", "%.1f cm² of joint faces in the first layer, which swells by 0.1 to 0.2 mm: take that off before fitting.", joint/cm2)
	}
	if m.Scar[support.Joint] >= leastScar {
		add("support on a joint", "Support touches joints: %s.", jointsText(limits.HeldJoints(standing), pose))
	}
	return append(out, slimNotes(w.Slim(standing), pose)...)
}

// jointsText lists patches of joints, those aside that would be told as 0.0.
func jointsText(touched []support.JointPatch, pose mesh.Pose) string {
	touched = slices.DeleteFunc(touched, func(p support.JointPatch) bool { return p.Area < leastScar })
	var out []string
	for _, p := range touched[:min(len(touched), mostListed)] {
		out = append(out, fmt.Sprintf("%.1f cm² at %s", p.Area/cm2, placeText(pose, p.Middle)))
	}
	if more := len(touched) - mostListed; more > 0 {
		out = append(out, fmt.Sprintf("and %d more", more))
	}
	if len(out) == 0 {
		return "here and there"
	}
	return strings.Join(out, ", ")
}

// slimNotes tells the slim features that have layers across them, the free ends
// first: those are what gets knocked off.
func slimNotes(all []support.Slim, pose mesh.Pose) []joblist.Note {
	all = slices.Clone(all)
	slices.SortStableFunc(all, func(a, b support.Slim) int {
		return cmp.Or(cmp.Compare(joined(a), joined(b)), cmp.Compare(b.Slenderness(), a.Slenderness()))
	})
	var out []joblist.Note
	for _, f := range all[:min(len(all), mostListed)] {
		out = append(out, joblist.Note{Code: "slim, layers across", Text: fmt.Sprintf(
			"Slim and upright at %s: %.1f mm thick, %.0f mm high. Pulled across its layers it bears about %.0f %% of what it does along them.",
			placeText(pose, f.Middle), f.Thickness, f.Height(), 100*support.AcrossLayers)})
	}
	if more := len(all) - mostListed; more > 0 {
		out = append(out, joblist.Note{Code: "slim, layers across", Text: fmt.Sprintf("%d slim features more stand upright.", more)})
	}
	return out
}

// joined counts the ends at which a feature goes on in the part.
func joined(f support.Slim) int {
	n := 0
	for _, end := range [2]support.End{f.Below, f.Above} {
		if end == support.Joined {
			n++
		}
	}
	return n
}

// placeText names a place by the file's own coordinates.
func placeText(pose mesh.Pose, at r3.Vec) string {
	p := pose.Back(at)
	whole := func(x float64) float64 { return math.Round(x) + 0 } // no −0
	return fmt.Sprintf("(%g, %g, %g)", whole(p.X), whole(p.Y), whole(p.Z))
}
