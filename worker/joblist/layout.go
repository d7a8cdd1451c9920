package joblist

import "bytes"

// lineWidth is how long a line may grow, in bytes, before what is on it is
// spread over several. Lists of numbers are never spread.
const lineWidth = 100

// node is one JSON value on its way to the page.
type node struct {
	text   string // a scalar, as written
	open   byte   // '{' or '[' for what has children, else 0
	number bool
	keys   []string // of an object, quoted
	kids   []node
}

func (n node) close() byte { return n.open + 2 } // '{' + 2 is '}' and '[' + 2 is ']' in ASCII

// numbers reports whether n is a list of nothing but numbers.
func (n node) numbers() bool {
	for _, kid := range n.kids {
		if !kid.number {
			return false
		}
	}
	return n.open == '['
}

// width returns the length of n on one line.
func (n node) width() int {
	total := len(n.text)
	if n.open != 0 {
		total += 2
	}
	for i, kid := range n.kids {
		total += kid.width() + len(n.key(i))
		if i > 0 {
			total += len(", ")
		}
	}
	return total
}

// key returns what stands before child i.
func (n node) key(i int) string {
	if n.open == '{' {
		return n.keys[i] + ": "
	}
	return ""
}

// write lays n out, with used bytes before it on its line and depth levels
// around it.
//
// Cost: O(bytes · depth), for every level measures what is below it.
func (n node) write(out *bytes.Buffer, depth, used int) {
	if n.open == 0 {
		out.WriteString(n.text)
		return
	}
	oneLine := len(n.kids) == 0 || n.numbers() || used+n.width() < lineWidth
	out.WriteByte(n.open)
	for i, kid := range n.kids {
		if i > 0 {
			out.WriteByte(',')
		}
		before := n.key(i)
		if oneLine {
			if i > 0 {
				out.WriteByte(' ')
			}
			out.WriteString(before)
			kid.write(out, depth, 0) // fits, since the whole does
			continue
		}
		newLine(out, depth+1)
		out.WriteString(before)
		kid.write(out, depth+1, 2*(depth+1)+len(before))
	}
	if !oneLine {
		newLine(out, depth)
	}
	out.WriteByte(n.close())
}

func newLine(out *bytes.Buffer, depth int) {
	out.WriteByte('\n')
	for range depth {
		out.WriteString("  ")
	}
}
