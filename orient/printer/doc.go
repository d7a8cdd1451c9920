// Package printer describes the machines of a shop, the material they are
// loaded with, and what a part costs them in hours and filament.
//
// Lengths are millimetres in the printer frame (origin at the bed's front-left
// corner, X right, Y back, Z up; a round bed's origin is the corner of its
// bounding square), speeds mm/s, accelerations mm/s², times hours unless a
// name says otherwise, densities g/cm³. The zero value of a type here is not
// usable; package worker/shop fills in the documented defaults.
//
// What a part costs is told twice: by Rough, from volume and area alone, and by
// Time, from the work of its layers (support.Settings.Work). How far Time can be
// trusted is measured against package toolpath, which draws every line, and
// against a print whose layers were timed.
//
// Called by orient (cost of an orientation) and bedpack (what fits on what).
// It knows nothing of a mesh beyond the work of its layers, and nothing of a
// tool path but its length and its corners.
package printer
