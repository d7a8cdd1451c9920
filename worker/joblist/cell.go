package joblist

import (
	"strings"
	"unicode"
)

// formulaStarts are the characters that a spreadsheet may take for the start of
// a formula, plain and full-width. Tabs and line breaks count too, but line
// leaves none of them.
//
// Source: OWASP, "CSV Injection",
// https://owasp.org/www-community/attacks/CSV_Injection (from memory).
const formulaStarts = "=+-@＝＋－＠"

// line returns s on one line and without anything that does not print: line
// breaks, tabs, escape sequences and marks that turn the writing direction
// become spaces. Bytes that are not UTF-8 become U+FFFD.
func line(s string) string {
	return strings.Map(func(r rune) rune {
		if !unicode.IsGraphic(r) || unicode.IsSpace(r) {
			return ' '
		}
		return r
	}, s)
}

// safeCell returns a text that no spreadsheet takes for a formula: it is put on
// one line, and gets an apostrophe before it when it starts like a formula,
// with or without spaces and quotes first. The same is done after each
// semicolon, where many spreadsheets start a new cell; a comma needs no such
// care, for a cell with one in it is quoted. An apostrophe is how a person marks
// text in a spreadsheet. A text that has none of this is unchanged.
//
// Laws: (1) the result, and what follows any semicolon in it, starts with no
// formula character, spaces and quotes passed over; (2) safeCell(safeCell(s)) =
// safeCell(s); (3) without the apostrophes added, the result is line(s).
func safeCell(s string) string {
	var out strings.Builder
	rest := line(s)
	for {
		if startsFormula(rest) {
			out.WriteByte('\'')
		}
		end := strings.IndexByte(rest, ';')
		if end < 0 {
			out.WriteString(rest)
			return out.String()
		}
		out.WriteString(rest[:end+1])
		rest = rest[end+1:]
	}
}

func startsFormula(s string) bool {
	s = strings.TrimLeftFunc(s, func(r rune) bool { return r == '"' || unicode.IsSpace(r) })
	return s != "" && strings.ContainsRune(formulaStarts, []rune(s)[0])
}
