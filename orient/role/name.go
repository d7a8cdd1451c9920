package role

import (
	"slices"
	"strings"
	"unicode"
)

// side is what a name says of the side that a part belongs to.
type side int8

const (
	noSide side = iota
	leftSide
	rightSide
)

func (s side) other() side {
	switch s {
	case leftSide:
		return rightSide
	case rightSide:
		return leftSide
	}
	return noSide
}

// sideOf returns the side that a word of a name means.
func sideOf(word string) side {
	switch word {
	case "left", "l", "lh":
		return leftSide
	case "right", "r", "rh":
		return rightSide
	}
	return noSide
}

// nameSide returns the side that a name speaks of, the first of several, and
// the words of the name with that one taken out.
func nameSide(name string) (side, []string) {
	list := words(name)
	for i, w := range list {
		if s := sideOf(w); s != noSide {
			return s, slices.Delete(list, i, i+1)
		}
	}
	return noSide, list
}

// counterparts reports whether two names are the same but for the side.
func counterparts(a, b string) bool {
	sideA, restA := nameSide(a)
	sideB, restB := nameSide(b)
	return sideA != noSide && sideB == sideA.other() && slices.Equal(restA, restB)
}

// words splits a name, without its extension, where letters, digits and other
// signs meet and where a capital follows a small letter, all in small letters:
// "ArmLeft-2.stl" is arm, left, 2.
func words(name string) []string {
	if i := strings.LastIndexByte(name, '.'); i > 0 {
		name = name[:i]
	}
	var out []string
	last, word := rune(0), []rune(nil)
	flush := func() {
		if len(word) > 0 {
			out = append(out, strings.ToLower(string(word)))
			word = nil
		}
	}
	for _, r := range name {
		if class(r) != class(last) || unicode.IsLower(last) && unicode.IsUpper(r) {
			flush()
		}
		if class(r) != 0 {
			word = append(word, r)
		}
		last = r
	}
	flush()
	return out
}

// class tells letters, digits and other signs apart.
func class(r rune) int {
	switch {
	case unicode.IsLetter(r):
		return 1
	case unicode.IsDigit(r):
		return 2
	}
	return 0
}
