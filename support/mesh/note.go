package mesh

import (
	"fmt"
	"strings"
)

// Note is one remark on a part for the person at the bench: what it is, what
// was done about it, what is left to do.
type Note struct {
	Code string // one of the Note… constants, stable
	Text string // a sentence or more, with the numbers
}

// Codes of notes, in the order in which Notes gives them.
const (
	NoteDegenerate  = "degenerate facets"
	NoteGaps        = "gaps closed"
	NoteFlipped     = "flipped facets"
	NoteInsideOut   = "inside-out shell"
	NoteOpen        = "open edges"
	NoteNonManifold = "non-manifold edges"
	NoteFlakes      = "flat flakes"
	NoteOverlap     = "overlapping shells"
	NoteHollows     = "sealed hollows"
	NoteLumps       = "several lumps"
	NoteUnchecked   = "shells not compared"
)

// Notes puts a report into words. A sound solid of one piece has none.
func (r Report) Notes() []Note {
	var out []Note
	for _, n := range []Note{
		{NoteDegenerate, r.degenerateText()},
		{NoteGaps, r.gapsText()},
		{NoteFlipped, r.flippedText()},
		{NoteInsideOut, r.insideOutText()},
		{NoteOpen, r.openText()},
		{NoteNonManifold, r.nonManifoldText()},
		{NoteFlakes, r.flakesText()},
		{NoteOverlap, r.overlapText()},
		{NoteHollows, r.hollowsText()},
		{NoteLumps, r.lumpsText()},
		{NoteUnchecked, r.uncheckedText()},
	} {
		if n.Text != "" {
			out = append(out, n)
		}
	}
	return out
}

// count puts a number before a noun: "1 edge", "4 edges".
func count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// pick returns the wording for one or for several.
func pick(n int, one, several string) string {
	if n == 1 {
		return one
	}
	return several
}

// joinTexts puts the sentences that apply into one text.
func joinTexts(texts ...string) string {
	var kept []string
	for _, t := range texts {
		if t != "" {
			kept = append(kept, t)
		}
	}
	return strings.Join(kept, " ")
}

func (r Report) degenerateText() string {
	var dropped, kept string
	if n := r.Weld.Collapsed; n > 0 {
		dropped = count(n, "facet") + pick(n, " has two corners in one place and was", " have two corners in one place and were") +
			" left out; nothing is lost by it."
	}
	if n := r.Weld.NoArea; n > 0 {
		kept = count(n, "facet") + pick(n, " has its corners on one line and was", " have their corners on one line and were") +
			" kept, because without them the surface would be open. Nothing to do."
	}
	return joinTexts(dropped, kept)
}

func (r Report) gapsText() string {
	n := r.Weld.Joined
	if n == 0 {
		return ""
	}
	text := fmt.Sprintf("%s lay open; %s within %.2g mm of another %s joined to it", count(r.Weld.Open, "edge"),
		count(n, "corner"), r.Weld.Tolerance, pick(n, "was", "were"))
	if r.Edges.Open == 0 {
		return text + ", and no edge is open now. Nothing to do."
	}
	return fmt.Sprintf("%s; %s still open.", text, count(r.Edges.Open, "edge")+pick(r.Edges.Open, " is", " are"))
}

func (r Report) flippedText() string {
	var mended, left string
	if n := r.Mend.Flipped; n > 0 {
		mended = count(n, "facet") + pick(n, " faced the other way than its neighbours and was", " faced the other way than their neighbours and were") +
			" turned to agree with them. Compare the picture with your model once."
	}
	if n := r.Edges.Flipped; n > 0 {
		left = fmt.Sprintf("At %s two facets disagree which side is out, %s, and no turning of facets mends it: the surface is twisted like a Möbius strip. Left as it is; volume, weight and support are estimates. Model it anew there.",
			count(n, "edge"), r.where())
	}
	return joinTexts(mended, left)
}

func (r Report) insideOutText() string {
	var turned, left string
	if n := r.Mend.Turned; n > 0 {
		turned = fmt.Sprintf("%d of %s %s inside out and %s turned round. Nothing to do.",
			n, count(r.Shells, "shell"), pick(n, "was", "were"), pick(n, "was", "were"))
	}
	if n := r.FacingIn; n > 0 {
		left = count(n, "shell") + pick(n, " faces in and crosses", " face in and cross") +
			" another, so each may be a solid inside out or a hollow cut out of the other. Left as found; the volume it encloses is taken off. Join or cut the shells in the modelling program."
	}
	return joinTexts(turned, left)
}

func (r Report) where() string {
	p := r.FirstBad
	return fmt.Sprintf("the first near x %.1f, y %.1f, z %.1f mm", p.X, p.Y, p.Z)
}

func (r Report) openText() string {
	n := r.Edges.Open
	if n == 0 {
		return ""
	}
	return fmt.Sprintf("%s %s a facet on one side only, %s: the surface has holes or loose flaps. They were left, and volume, weight and support are estimates. Close them in the modelling program, or look closely at the layers there before printing.",
		count(n, "edge"), pick(n, "has", "have"), r.where())
}

func (r Report) nonManifoldText() string {
	var touching, broken string
	if n := r.Edges.NonManifold - r.Edges.Unbalanced; n > 0 {
		touching = fmt.Sprintf("At %s more than two facets meet, as many one way as the other: parts of the surface touch there. It prints, but a body hanging on such an edge alone will break off.",
			count(n, "edge"))
	}
	if n := r.Edges.Unbalanced; n > 0 {
		broken = fmt.Sprintf("At %s more than two facets meet and do not make up a surface, %s: a wall is doubled or missing. Left as it is; volume, weight and support are estimates. Mend it in the modelling program.",
			count(n, "edge"), r.where())
	}
	return joinTexts(touching, broken)
}

func (r Report) flakesText() string {
	n := r.Flakes
	if n == 0 {
		return ""
	}
	return count(n, "flat flake") + pick(n, " of facets back to back encloses", " of facets back to back enclose") +
		" nothing. Left in; nothing is printed there."
}

func (r Report) overlapText() string {
	var crossing, nested string
	if n := len(r.Contacts.Crossing); n > 0 {
		crossing = fmt.Sprintf("%s of shells %s through each other.", count(n, "pair"), pick(n, "passes", "pass"))
	}
	if n := r.Nested; n > 0 {
		nested = count(n, "shell") + pick(n, " lies", " lie") +
			" inside another solid and " + pick(n, "faces", "face") +
			" out: either it is solid there twice, or a hollow was modelled facing the wrong way and will print filled."
	}
	if crossing == "" && nested == "" {
		return ""
	}
	return joinTexts(crossing, nested,
		"Printed as one body; the volume given counts what they share more than once. Join the shells in the modelling program if the weight matters.")
}

func (r Report) hollowsText() string {
	n := r.Hollows
	if n == 0 {
		return ""
	}
	return count(n, "closed hollow") + pick(n, " lies", " lie") +
		" inside the part: what is printed in there, support included, cannot be taken out. Choose an orientation in which nothing in there needs support, or open it up."
}

func (r Report) lumpsText() string {
	if r.Lumps < 2 {
		return ""
	}
	return fmt.Sprintf("%s that do not touch: they print as loose pieces side by side or above each other. Split the file if they are separate parts.", count(r.Lumps, "lump"))
}

func (r Report) uncheckedText() string {
	if !r.Contacts.Partial {
		return ""
	}
	return fmt.Sprintf("%s are too many to compare each with each; overlaps and loose pieces were looked for among some only.", count(r.Shells, "shell"))
}
