package joblist

import (
	"bytes"
	"fmt"
	"math"
	"strings"

	"github.com/mattn/go-runewidth"
)

// pageWidth is the most columns a line of the summary takes.
const pageWidth = 100

// runeWidth measures a character in columns of a terminal, the same under every
// locale.
func runeWidth(r rune) int { return (&runewidth.Condition{}).RuneWidth(r) }

func width(s string) int {
	total := 0
	for _, r := range s {
		total += runeWidth(r)
	}
	return total
}

// shorten returns s in at most limit columns, with what is in the middle left
// out: names of parts often differ at their ends.
func shorten(s string, limit int) string {
	if width(s) <= limit {
		return s
	}
	runes := []rune(s)
	head, tail := 0, len(runes)
	used := 1 // the mark of what is left out
	for used < limit {
		// Two thirds for the head, where the name of the sub-assembly is.
		i := head
		if width(string(runes[:head])) > 2*width(string(runes[tail:])) {
			i = tail - 1
		}
		w := runeWidth(runes[i])
		if used+w > limit {
			break
		}
		used += w
		if i == head {
			head++
		} else {
			tail--
		}
	}
	return string(runes[:head]) + "…" + string(runes[tail:])
}

// wrap breaks s between words into lines of at most limit columns; a longer
// word is broken inside.
func wrap(s string, limit int) []string {
	var out []string
	current := ""
	for _, word := range strings.Fields(line(s)) {
		if current != "" && width(current)+1+width(word) <= limit {
			current += " " + word
			continue
		}
		if current != "" {
			out = append(out, current)
		}
		for width(word) > limit {
			head := firstColumns(word, limit)
			out = append(out, head)
			word = word[len(head):]
		}
		current = word
	}
	if current != "" {
		out = append(out, current)
	}
	return out
}

// firstColumns returns as much of s as limit columns hold, one character at
// least.
func firstColumns(s string, limit int) string {
	used := 0
	for i, r := range s {
		if used += runeWidth(r); used > limit && i > 0 {
			return s[:i]
		}
	}
	return s
}

// page collects lines of at most pageWidth columns.
type page struct{ bytes.Buffer }

func (p *page) printf(format string, args ...any) {
	text := strings.TrimRight(fmt.Sprintf(format, args...), " ")
	for i, l := range wrapKeeping(text) {
		if i > 0 {
			l = "      " + l
		}
		p.WriteString(l + "\n")
	}
}

// wrapKeeping is wrap for a line that has blanks to line it up, which stay when
// it is short enough.
func wrapKeeping(text string) []string {
	if width(text) <= pageWidth {
		return []string{text}
	}
	return wrap(text, pageWidth-6)
}

// table prints rows with their cells lined up, the first to the left and
// shortened when the page is too narrow, the others to the right.
func (p *page) table(indent int, rows [][]string) {
	if len(rows) == 0 {
		return
	}
	widths := make([]int, len(rows[0]))
	for _, row := range rows {
		for i, cell := range row {
			widths[i] = max(widths[i], width(cell))
		}
	}
	room := pageWidth - indent
	for _, w := range widths[1:] {
		room -= w + 3
	}
	widths[0] = min(widths[0], max(room, 1))
	for _, row := range rows {
		text := strings.Repeat(" ", indent)
		for i, cell := range row {
			if i == 0 {
				cell = shorten(cell, widths[0])
				text += cell + strings.Repeat(" ", widths[0]-width(cell))
				continue
			}
			text += strings.Repeat(" ", 3+widths[i]-width(cell)) + cell
		}
		p.printf("%s", text)
	}
}

// entry prints a name and texts below it.
func (p *page) entry(name string, texts ...string) {
	p.printf("  %s", name)
	for _, text := range texts {
		for _, l := range wrap(text, pageWidth-6) {
			p.printf("      %s", l)
		}
	}
}

// tenths prints a number to one decimal; one too large to be read digit by
// digit, shorter.
func tenths(x float64) string {
	if math.Abs(x) >= 1e9 {
		return fmt.Sprintf("%.3g", x)
	}
	return fmt.Sprintf("%.1f", math.Round(10*x)/10+0) // -0 + 0 is 0
}

// shares rounds numbers to tenths so that the rounded ones add up to the
// rounded sum.
//
// Laws: (1) the sum of the result is the sum of in, rounded to tenths; (2) each
// is less than a tenth away from its number.
func shares(in []float64) []float64 {
	out := make([]float64, len(in))
	sum, shown := 0.0, 0.0
	for i, x := range in {
		sum += x
		// Sums of written decimals are off in their last bits, which must not
		// decide a half.
		next := math.Round(rounded(sum*10, 6))
		out[i] = (next - shown) / 10
		shown = next
	}
	return out
}

// plural returns "1 plate" or "2 plates".
func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
