package shop

import (
	"path"
	"strconv"
	"strings"
)

// mostCopies is the greatest count of one part that is believed. More than
// that is a slip of the finger or part of a name.
const mostCopies = 1000

// CountFromName splits a file name such as peg_x4.stl into the part's name,
// peg, and the count that the name hints at, 4. The hint is _x or -x and a
// whole number from 1 to 1000 at the end of the name before its extension;
// without one the count is 1 and the base the whole name before its extension.
func CountFromName(file string) (base string, count int) {
	stem := strings.TrimSuffix(file, path.Ext(file))
	at := strings.LastIndexByte(stem, 'x')
	if at < 2 || stem[at-1] != '_' && stem[at-1] != '-' {
		return stem, 1
	}
	digits := stem[at+1:]
	if strings.Trim(digits, "0123456789") != "" { // Atoi would take a sign
		return stem, 1
	}
	n, err := strconv.Atoi(digits)
	if err != nil || n < 1 || n > mostCopies {
		return stem, 1
	}
	return stem[:at-1], n
}
