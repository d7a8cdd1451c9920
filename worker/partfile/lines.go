package partfile

import (
	"bufio"
	"errors"
	"io"
)

// maxLine is how long a line of an OBJ file may be, continued ones together.
// A polygon of 4,096 corners with texture and normal takes about 100 kB.
const maxLine = 1 << 20

// lines cuts a text into lines that end in LF, CR LF or CR, joining those that
// end in a backslash. Comments may have any length.
type lines struct {
	in   *bufio.Reader
	line int // number of the last line returned, counted from 1
	next int // number of the line after it
	buf  []byte
}

func newLines(r io.Reader) *lines {
	l := &lines{in: bufio.NewReaderSize(r, 1<<16), next: 1}
	if mark, _ := l.in.Peek(len(byteOrderMark)); string(mark) == string(byteOrderMark) {
		_, _ = l.in.Discard(len(byteOrderMark)) // cannot fail: just peeked at
	}
	return l
}

// read returns the next line without its end, valid until the next call.
//
// Errors: io.EOF after the last line, ErrTooLarge.
func (l *lines) read() ([]byte, error) {
	l.buf = l.buf[:0]
	l.line = l.next
	for {
		c, err := l.in.ReadByte()
		if errors.Is(err, io.EOF) && len(l.buf) > 0 {
			return l.buf, nil
		}
		if err != nil {
			return nil, err
		}
		switch {
		case c != '\n' && c != '\r':
			if err := l.keep(c); err != nil {
				return nil, err
			}
			continue
		case c == '\r':
			l.skipLF()
		}
		l.next++
		if last := len(l.buf) - 1; last >= 0 && l.buf[last] == '\\' {
			l.buf[last] = ' '
			continue
		}
		return l.buf, nil
	}
}

func (l *lines) keep(c byte) error {
	if len(l.buf) < maxLine {
		l.buf = append(l.buf, c)
		return nil
	}
	if l.buf[0] == '#' {
		return nil
	}
	return at(line(l.line), tooLarge("bytes in one line and more", maxLine, maxLine))
}

func (l *lines) skipLF() {
	if c, err := l.in.ReadByte(); err == nil && c != '\n' {
		_ = l.in.UnreadByte() // cannot fail: just read
	}
}
