package trial

import (
	"bytes"
	"unicode/utf8"
)

// splitter cuts lines into cells. The cells it returns are parts of the line, trimmed and without quotes, and last
// until the next line.
type splitter struct {
	sep   byte
	kind  Separator
	ends  []int // of fixed columns, in bytes
	cells [][]byte
}

func newSplitter(l Layout) *splitter {
	s := &splitter{kind: l.Separator}
	switch l.Separator {
	case Comma:
		s.sep = ','
	case Semicolon:
		s.sep = ';'
	case Tab:
		s.sep = '\t'
	case Pipe:
		s.sep = '|'
	case Fixed:
		at := 0
		for _, w := range l.Widths {
			at += w
			s.ends = append(s.ends, at)
		}
	}
	return s
}

func trim(b []byte) []byte {
	for len(b) > 0 && (b[0] == ' ' || b[0] == '\t' || b[0] == '\r') {
		b = b[1:]
	}
	for len(b) > 0 && (b[len(b)-1] == ' ' || b[len(b)-1] == '\t' || b[len(b)-1] == '\r') {
		b = b[:len(b)-1]
	}
	return b
}

func unquote(b []byte) []byte {
	b = trim(b)
	if len(b) >= 2 && (b[0] == '"' && b[len(b)-1] == '"' || b[0] == '\'' && b[len(b)-1] == '\'') {
		b = trim(b[1 : len(b)-1])
	}
	return b
}

func (s *splitter) split(line []byte) [][]byte {
	s.cells = s.cells[:0]
	switch s.kind {
	case Fixed:
		return s.fixed(line)
	case Blanks:
		return s.blanks(line)
	}
	quotes := bytes.IndexByte(line, '"') >= 0
	for {
		i := bytes.IndexByte(line, s.sep)
		if q := quoteIn(line, quotes); q >= 0 && q < i { // a quoted cell may hold separators
			if j := bytes.IndexByte(line[q+1:], '"'); j >= 0 && len(trim(line[:q])) == 0 {
				end := q + 1 + j + 1
				if i = bytes.IndexByte(line[end:], s.sep); i >= 0 {
					i += end
				}
			}
		}
		if i < 0 {
			s.cells = append(s.cells, unquote(line))
			return s.cells
		}
		s.cells = append(s.cells, unquote(line[:i]))
		line = line[i+1:]
	}
}

func quoteIn(line []byte, quotes bool) int {
	if !quotes {
		return -1
	}
	return bytes.IndexByte(line, '"')
}

func (s *splitter) blanks(line []byte) [][]byte {
	for i := 0; i < len(line); {
		if c := line[i]; c == ' ' || c == '\t' || c == '\r' {
			i++
			continue
		}
		from := i
		if line[i] == '"' {
			if j := bytes.IndexByte(line[i+1:], '"'); j >= 0 {
				i += j + 2
			}
		}
		for i < len(line) && line[i] != ' ' && line[i] != '\t' && line[i] != '\r' {
			i++
		}
		s.cells = append(s.cells, unquote(line[from:i]))
	}
	return s.cells
}

// fixed cuts by widths. They count characters; where a line holds others than ASCII, bytes are counted out.
func (s *splitter) fixed(line []byte) [][]byte {
	line = bytes.TrimRight(line, "\r")
	at := func(n int) int { return min(n, len(line)) }
	if !ascii(line) {
		at = func(n int) int {
			i := 0
			for ; n > 0 && i < len(line); n-- {
				_, w := utf8.DecodeRune(line[i:])
				i += w
			}
			return i
		}
	}
	from := 0
	for _, end := range s.ends {
		to := at(end)
		if from >= len(line) {
			break
		}
		s.cells = append(s.cells, unquote(line[from:to]))
		from = to
	}
	return s.cells
}

func ascii(b []byte) bool {
	for _, c := range b {
		if c >= 0x80 {
			return false
		}
	}
	return true
}
