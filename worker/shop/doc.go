// Package shop reads the two settings files: shop.toml, which describes the
// printers, materials, hours and handwork of a workshop, and build.toml, which
// may stand beside the parts of one prop.
//
// Every key stands once, in a table (keys_printer.go, keys_shop.go,
// keys_build.go) that holds its name, unit, meaning, default, the source of
// that default and the allowed range. Reading, checking, the annotated file
// and the settings shown in a job list all come from that table, so they
// cannot disagree.
//
// In a file the unit is the suffix of the key: mm, s, min, h, deg, percent,
// g. Go values are in millimetres and radians; a field's comment says what
// else. Windows of the week are minutes.
//
// All faults of a file are returned at once, each with file, line and column.
// The package never touches a disk: the caller hands over the bytes. It is
// called by cmd and worker. It refuses to guess: a key that it does not know,
// a number out of range or a file that is not TOML leaves no settings at all.
package shop
