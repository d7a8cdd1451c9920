// Package support measures one part in one orientation: what hangs over, how
// much support that needs, where the support leaves scars, what the part
// stands on, how it is layered and whether it tips.
//
// Units are millimetres and radians; the plate is z = 0, +Z is up, and the
// mesh handed in is already turned and stands on the plate (see Stand).
//
// There are two ways to the same figures. Measure is exact: it cuts facets
// against the facets below them, and its error is that of rounding. Scanner
// samples vertical columns and is meant for a search that looks at thousands
// of orientations; its error falls with the column spacing. Tests hold one
// against the other.
//
// Shells that touch or overlap count as one body: a surface inside the union,
// told by its winding number, is no surface.
//
// Beside what is weighed there is what a maker wants to be told: Worries.Slim
// lists pegs and fins that break across their layers, Settings.Bed what the part
// stands on, Settings.HeldJoints the joints that support touches.
//
// The package is called by orient. It chooses nothing, and it does not know
// printers or materials.
package support
