package partfile

import (
	"math"
	"strconv"
	"strings"
)

// number reads a decimal number of a text file. strconv alone would also take
// hexadecimal, "infinity" and "nan".
//
// Errors: ErrFormat, ErrNotFinite; the place is for the caller to add.
func number(text string) (float64, error) {
	v, err := strconv.ParseFloat(text, 64)
	switch {
	case err == nil && math.Abs(v) <= maxCoordinate && !strings.ContainsAny(text, "xX_"):
		return v, nil
	case strings.Contains(text, ","):
		return 0, &Error{Err: ErrFormat, Value: quoted(text), Hint: "write a point, not a comma"}
	case isWordForNoNumber(text) || err == nil && math.Abs(v) > maxCoordinate || isRange(err):
		return 0, &Error{Err: ErrNotFinite, Value: quoted(text), Hint: "export the part again"}
	}
	return 0, &Error{Err: ErrFormat, Value: quoted(text), Hint: "a number should stand here"}
}

// isWordForNoNumber recognises what programs print for results that are not
// numbers, such as nan, -nan(ind), inf, 1.#INF, 1.#QNAN.
func isWordForNoNumber(text string) bool {
	lower := strings.ToLower(text)
	return strings.Contains(lower, "nan") || strings.Contains(lower, "inf") ||
		strings.Contains(lower, "#ind")
}

func isRange(err error) bool {
	numError, ok := err.(*strconv.NumError)
	return ok && numError.Err == strconv.ErrRange
}

// at adds a place to an error that does not know it.
func at(place string, err error) error {
	if known, ok := err.(*Error); ok {
		told := *known
		told.Place = place
		return &told
	}
	return err
}
