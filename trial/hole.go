package trial

import (
	"bytes"
	"io"
)

// After a power cut the end of a file, as long as a sector or more, may stand there as bytes of zero: a hole. The logger
// begins behind it with a new row. So what stands before a hole in its line may be cut off and is left out, and what
// stands behind it is read. A file with many holes is no text.

// hole is what is left of one.
const hole = 0

// tooManyHoles tells whether the first part of a file, its holes shortened, has more of them than power cuts leave: more
// than three, and one in two thousand bytes (common practice without a source; a sheet of a spreadsheet or text of two
// bytes a sign without a mark has hundreds).
func tooManyHoles(head []byte) bool {
	return bytes.Count(head, []byte{hole}) > 3+len(head)/2000
}

// behindHole returns what stands in a line behind its last hole, and whether it has one.
func behindHole(line []byte) ([]byte, bool) {
	i := bytes.LastIndexByte(line, hole)
	return line[i+1:], i >= 0
}

// holes shortens each hole to one byte, so that a long one is no long line.
type holes struct {
	r      io.Reader
	inside bool
}

func (h *holes) Read(p []byte) (int, error) {
	for {
		n, err := h.r.Read(p)
		if n = h.shorten(p[:n]); n > 0 || err != nil || len(p) == 0 {
			return n, err
		}
	}
}

// shorten does so in place, over calls, and returns the length that is left.
func (h *holes) shorten(b []byte) int {
	if !h.inside && bytes.IndexByte(b, hole) < 0 {
		return len(b)
	}
	n := 0
	for _, c := range b {
		if c == hole && h.inside {
			continue
		}
		h.inside = c == hole
		b[n] = c
		n++
	}
	return n
}
