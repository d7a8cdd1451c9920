package partfile

import (
	"bufio"
	"errors"
	"io"
	"strings"
)

var byteOrderMark = []byte("\xef\xbb\xbf")

func isSpace(c byte) bool {
	return c == ' ' || c >= '\t' && c <= '\r'
}

// maxWord is how much of one word is kept; numbers and keywords are shorter.
const maxWord = 256

// word is a run of bytes without white space.
type word struct {
	text  string // cut to maxWord bytes
	line  int    // counted from 1
	first bool   // first word on its line
}

func (w word) is(keyword string) bool { return strings.EqualFold(w.text, keyword) }

// words cuts a text into words, whatever its line ends and however long its
// lines or runs of blank lines are, in constant memory.
type words struct {
	in     *bufio.Reader
	line   int
	fresh  bool // no word yet on this line
	sawCR  bool
	pushed []word // handed back, last in first out
	buf    [maxWord]byte
}

func newWords(r io.Reader) *words {
	w := &words{in: bufio.NewReaderSize(r, 1<<16), line: 1, fresh: true}
	if mark, _ := w.in.Peek(len(byteOrderMark)); string(mark) == string(byteOrderMark) {
		_, _ = w.in.Discard(len(byteOrderMark)) // cannot fail: just peeked at
	}
	return w
}

func (w *words) push(back word) { w.pushed = append(w.pushed, back) }

// next returns the next word.
//
// Errors: io.EOF after the last one.
func (w *words) next() (word, error) {
	if last := len(w.pushed) - 1; last >= 0 {
		back := w.pushed[last]
		w.pushed = w.pushed[:last]
		return back, nil
	}
	c, err := w.skipSpace()
	if err != nil {
		return word{}, err
	}
	out := word{line: w.line, first: w.fresh}
	w.fresh = false
	n := 0
	for {
		if n < len(w.buf) {
			w.buf[n] = c
			n++
		}
		c, err = w.in.ReadByte()
		if errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			return word{}, err
		}
		if isSpace(c) {
			_ = w.in.UnreadByte() // cannot fail: just read
			break
		}
	}
	out.text = string(w.buf[:n])
	return out, nil
}

// skipSpace returns the first byte that is not white space, counting lines on
// the way: LF, CR LF and CR alone end one.
func (w *words) skipSpace() (byte, error) {
	for {
		c, err := w.in.ReadByte()
		if err != nil {
			return 0, err
		}
		if !isSpace(c) {
			w.sawCR = false
			return c, nil
		}
		if c == '\r' || c == '\n' && !w.sawCR {
			w.line++
			w.fresh = true
		}
		w.sawCR = c == '\r'
	}
}
