// Package toolpath is a second opinion on print time and filament: slow, plain
// and independent. It cuts the outlines of a standing mesh at the middle of
// each layer, lays every wall, skin, infill and support line that a printer
// would draw, orders them, and runs the head along them with trapezoid speeds
// and look-ahead over the corners.
//
// Tests hold the estimate of package printer, which knows a layer by a few
// figures, against this one. Nothing else calls it, and it imports nothing of
// this module, so that the two share no code and no mistake.
//
// Lengths are millimetres, the plate is z = 0, +Z is up; speeds mm/s,
// accelerations mm/s², times seconds, volumes mm³.
//
// What it draws, layer by layer:
//
//   - Lines lie a bead's area over its height apart, so that neighbours fill
//     the space between them. The centre of the first wall lies half a line
//     width inside the outline, the ends of other lines a spacing inside the
//     centre of the last. Where a wall no longer fits it is left out; gaps
//     narrower than a line stay empty.
//   - Skin is what lies inside the walls and is not covered by each of so many
//     layers above, or below. The rest is infill. Support stands under each
//     overhanging facet down to the part or the plate. All three are straight
//     lines at ±45°, by turns from layer to layer; those of infill and support
//     lie further apart.
//   - A line goes on into the next by a printed link where their ends are no
//     further apart than three times the spacing; otherwise the head travels.
//   - Islands are taken nearest first; in each the walls, then the skin, then
//     the infill, each nearest first. Support comes last.
//
// It knows no retraction, no wipe, no bridge speed, no fill of narrow gaps and
// no brim.
package toolpath
