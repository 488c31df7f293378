package trial

import (
	"bufio"
	"bytes"
	"io"
)

// textOf takes the mark off the beginning of UTF-8, turns UTF-16 with its mark into UTF-8, and shortens holes.
func textOf(r io.Reader) io.Reader { return &holes{r: utf8Of(r)} }

func utf8Of(r io.Reader) io.Reader {
	br := bufio.NewReaderSize(r, 64<<10)
	mark, _ := br.Peek(3)
	switch {
	case bytes.HasPrefix(mark, []byte{0xEF, 0xBB, 0xBF}):
		_, _ = br.Discard(3)
	case bytes.HasPrefix(mark, []byte{0xFF, 0xFE}):
		return &wide{r: br, low: true}
	case bytes.HasPrefix(mark, []byte{0xFE, 0xFF}):
		return &wide{r: br}
	}
	return &lineEnds{r: br}
}

// lineEnds turns lone carriage returns, which some old loggers end lines with, into line feeds.
type lineEnds struct {
	r    *bufio.Reader
	know bool
	lone bool
}

func (l *lineEnds) Read(p []byte) (int, error) {
	if !l.know {
		head, _ := l.r.Peek(32 << 10)
		l.know, l.lone = true, bytes.IndexByte(head, '\r') >= 0 && bytes.IndexByte(head, '\n') < 0
	}
	n, err := l.r.Read(p)
	if l.lone {
		for i, c := range p[:n] {
			if c == '\r' {
				p[i] = '\n'
			}
		}
	}
	return n, err
}

// wide reads UTF-16 as UTF-8. Halves of pairs become the sign for what cannot be shown.
type wide struct {
	r    *bufio.Reader
	low  bool
	rest []byte
	skip bool
}

func (w *wide) Read(p []byte) (int, error) {
	if !w.skip {
		w.skip = true
		_, _ = w.r.Discard(2)
	}
	n := 0
	for n < len(p) {
		if len(w.rest) > 0 {
			k := copy(p[n:], w.rest)
			w.rest = w.rest[k:]
			n += k
			continue
		}
		a, err := w.r.ReadByte()
		if err != nil {
			return n, err
		}
		b, err := w.r.ReadByte()
		if err != nil {
			return n, err
		}
		if w.low {
			a, b = b, a
		}
		c := rune(a)<<8 | rune(b)
		if c < 0x80 && c != 0 {
			p[n] = byte(c)
			n++
			continue
		}
		w.rest = []byte(string(c))
	}
	return n, nil
}
