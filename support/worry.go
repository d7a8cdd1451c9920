package support

// AcrossLayers is the share of its strength that a print keeps when it is
// pulled across its layers rather than along them: the weaker end of "30 to 50 %
// weaker", a published figure whose pages the notes on the trade do not name.
const AcrossLayers = 0.5

// Worries are the figures from which on something about an orientation is worth
// telling the maker. They weigh nothing: a part may well be printed like that.
type Worries struct {
	// Thick is the greatest thickness of a slim feature, in mm.
	Thick float64
	// Slender is how many times as high as thick a slim feature at least is.
	Slender float64
	// FlatLength in mm and FlatArea in mm² are the largest that a flat face on
	// the plate may be before it is likely to lift at its ends.
	FlatLength, FlatArea float64
	// Tall is how many times as high as its base is deep a part may be before
	// it is likely to be knocked over.
	Tall float64
}

// DefaultWorries returns the documented defaults: features up to 8 mm thick and
// at least 3 times as high, flat faces above 100 mm or 60 cm², parts more than
// 4 times as high as their base is deep (common practice, no source).
func DefaultWorries() Worries {
	return Worries{Thick: 8, Slender: 3, FlatLength: 100, FlatArea: 6000, Tall: 4}
}

// worrySlack is the share by which a figure may miss its limit by rounding: a
// block of 5 × 5 × 15 in a file of 7 digits is 3 times as high as thick.
const worrySlack = 1e-6

func (w Worries) isSlim(width float64) bool { return width <= w.Thick*(1+worrySlack) }

// MayWarp reports whether a face on the plate is long or large enough to lift
// at its ends as it cools.
func (w Worries) MayWarp(f BedFace) bool {
	return f.Length > w.FlatLength*(1+worrySlack) || f.Area > w.FlatArea*(1+worrySlack)
}

// IsTall reports whether a part is much higher than what it stands on is deep.
func (w Worries) IsTall(f BedFaces) bool { return f.Slenderness() > w.Tall*(1+worrySlack) }
