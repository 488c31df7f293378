package trial

import (
	"bytes"
	"fmt"
)

// sample is what the first part of a file shows of its layout.
type sample struct {
	lines    [][]byte // as they are, without line ends
	layout   Layout   // complete
	start    int      // index of the first line of data in the file
	headings []string // one for each column, may be empty
	units    []string // from a line of units or from brackets
	width    int      // cells in a line of data
	// onlyUnits says that no line of names was found, but one of units.
	onlyUnits bool
	rows      [][]string
}

// mostSample is how much of a file is looked at to find its layout.
const mostSample = 256 << 10

// mostPreamble bounds the lines before the data.
const mostPreamble = 400

func linesOf(data []byte, whole bool) [][]byte {
	lines := bytes.Split(data, []byte("\n"))
	if n := len(lines); n > 0 && (!whole && n > 1 || len(lines[n-1]) == 0) {
		lines = lines[:n-1] // the last one may be cut off by the sample's end
	}
	for i := range lines {
		lines[i], _ = behindHole(bytes.TrimRight(lines[i], "\r"))
	}
	return lines
}

func isComment(line []byte) bool {
	t := trim(line)
	return len(t) > 0 && (t[0] == '#' || t[0] == '%')
}

// sniff finds the layout of a file from its first part. want holds what the description states.
func sniff(data []byte, whole bool, want Layout) (*sample, error) {
	s := &sample{lines: linesOf(data, whole)}
	if len(s.lines) == 0 {
		return nil, fmt.Errorf("the file is empty")
	}
	best := -1.0
	for _, l := range s.candidates(want) {
		if score, d := s.score(l); score > best {
			best = score
			l.Decimal = d
			s.layout = l
		}
	}
	if best <= 0 {
		return nil, fmt.Errorf("no rows of numbers are found in its first %d lines", len(s.lines))
	}
	if want.Decimal != 0 {
		s.layout.Decimal = want.Decimal
	}
	if err := s.findStart(want); err != nil {
		return s, err
	}
	return s.byWidths(want), nil
}

// byWidths returns the sample cut by widths where blanks part the numbers but not the words above them.
func (s *sample) byWidths(want Layout) *sample {
	if want.Separator != FoundSeparator || want.Headings >= 0 || s.layout.Separator != Blanks || s.named() > 0 && !s.onlyUnits {
		return s
	}
	f := &sample{lines: s.lines, layout: want}
	f.layout.Separator, f.layout.Widths = Fixed, s.findWidths()
	if len(f.layout.Widths) != s.width {
		return s
	}
	f.layout.Decimal = s.layout.Decimal
	if err := f.findStart(want); err != nil || f.start != s.start || 3*f.named() < 2*f.width || f.onlyUnits {
		return s
	}
	return f
}

// named counts the columns that have a heading.
func (s *sample) named() int {
	n := 0
	for _, h := range s.headings {
		if h != "" {
			n++
		}
	}
	return n
}

// candidates are the layouts to choose from.
func (s *sample) candidates(want Layout) []Layout {
	base := want
	if want.Separator == Fixed && len(want.Widths) == 0 {
		base.Widths = s.findWidths()
		return []Layout{base}
	}
	if want.Separator != FoundSeparator {
		return []Layout{base}
	}
	if len(want.Widths) > 0 {
		base.Separator = Fixed
		return []Layout{base}
	}
	var out []Layout
	for _, k := range []Separator{Tab, Semicolon, Pipe, Comma, Blanks} {
		l := base
		l.Separator = k
		out = append(out, l)
	}
	l := base
	l.Separator, l.Widths = Fixed, s.findWidths()
	if len(l.Widths) > 1 {
		out = append(out, l)
	}
	return out
}

// tail is the part of the sample that is surely behind preamble and headings: the last two thirds.
func (s *sample) tail() [][]byte {
	n := len(s.lines)
	return s.lines[min(n/3, mostPreamble):]
}

// score tells how well a layout suits: the share of lines of the commonest length, times the share of their cells
// that can be understood, with a little for more cells. It returns the decimal sign under which that is so.
func (s *sample) score(l Layout) (float64, byte) {
	sp := newSplitter(l)
	counts := map[int]int{}
	lines := s.tail()
	for _, line := range lines {
		if len(trim(line)) > 0 && !isComment(line) {
			counts[len(sp.split(line))]++
		}
	}
	width, most, total := 0, 0, 0
	for w, n := range counts {
		total += n
		if n > most || n == most && w > width {
			width, most = w, n
		}
	}
	if total == 0 || width < 1 {
		return 0, '.'
	}
	best, decimal := 0.0, byte('.')
	signs := []byte{'.', ','}
	if l.Decimal != 0 {
		signs = []byte{l.Decimal}
	}
	for _, d := range signs {
		good, cells, lively := 0, 0, 0
		for _, line := range lines {
			if len(trim(line)) == 0 || isComment(line) {
				continue
			}
			for _, c := range sp.split(line) {
				cells++
				if understood(c, d) {
					good++
					if len(c) > 0 {
						lively++
					}
				}
			}
		}
		share := float64(good) / float64(max(cells, 1))
		if lively == 0 {
			share = 0
		}
		if share > best+1e-9 {
			best, decimal = share, d
		}
	}
	if best < 0.5 {
		return 0, decimal
	}
	score := float64(most) / float64(total) * best * best
	switch {
	case width == 1:
		score *= 0.3
	case l.Separator == Fixed && l.Widths != nil:
		score *= 0.97 // where a separator does as well, it is that
	case l.Separator == Blanks:
		score *= 0.99
	}
	return score, decimal
}

// understood tells whether a cell of data can be read.
func understood(c []byte, decimal byte) bool {
	if _, ok := number(c, decimal); ok {
		return true
	}
	if noValueWord(c) {
		return true
	}
	_, ok := readMoment(c, FoundOrder)
	return ok
}

// findWidths finds columns of fixed width: runs of characters that some line uses, parted by characters that are
// blank in every line of the tail.
func (s *sample) findWidths() []int {
	lines := s.tail()
	used := []bool{}
	n := 0
	for _, line := range lines {
		if len(trim(line)) == 0 || isComment(line) || !ascii(line) {
			continue
		}
		n++
		for i, c := range line {
			if i >= len(used) {
				used = append(used, make([]bool, i+1-len(used))...)
			}
			used[i] = used[i] || c != ' '
		}
	}
	if n < 3 || len(used) > 4000 {
		return nil
	}
	var widths []int
	from := 0
	for i := 1; i <= len(used); i++ {
		if i == len(used) || used[i-1] && !used[i] { // numbers stand to the right: a column ends with its last character
			if anyTrue(used[from:i]) {
				widths = append(widths, i-from)
				from = i
			}
		}
	}
	return widths
}

func anyTrue(b []bool) bool {
	for _, x := range b {
		if x {
			return true
		}
	}
	return false
}

// findStart finds the first line of data and the headings above it.
func (s *sample) findStart(want Layout) error {
	sp := newSplitter(s.layout)
	counts := map[int]int{}
	for _, line := range s.tail() {
		if len(trim(line)) > 0 && !isComment(line) {
			counts[len(sp.split(line))]++
		}
	}
	for w, n := range counts {
		if n > counts[s.width] || n == counts[s.width] && w > s.width {
			s.width = w
		}
	}
	first := 0
	if want.Skip >= 0 {
		first = want.Skip
	}
	s.start = -1
	for i := first; i < len(s.lines); i++ {
		if want.Headings >= 0 && want.Skip >= 0 && i < first+want.Headings {
			continue
		}
		if s.isData(sp, s.lines[i]) && s.restIsData(sp, i) {
			s.start = i
			break
		}
	}
	if s.start < 0 {
		return fmt.Errorf("no rows of numbers are found in its first %d lines", len(s.lines))
	}
	s.findHeadings(sp, want, first)
	for i := s.start; i < len(s.lines) && len(s.rows) < 2000; i++ {
		if len(trim(s.lines[i])) == 0 || isComment(s.lines[i]) {
			continue
		}
		row := make([]string, 0, s.width)
		for _, c := range sp.split(s.lines[i]) {
			row = append(row, string(c))
		}
		s.rows = append(s.rows, row)
	}
	return nil
}

// isData tells whether a line looks like a row of data: as many cells as most rows, and hardly a word in it.
func (s *sample) isData(sp *splitter, line []byte) bool {
	if len(trim(line)) == 0 || isComment(line) {
		return false
	}
	cells := sp.split(line)
	if len(cells) < s.width-1 || len(cells) > s.width+1 {
		return false
	}
	good, values := 0, 0
	for _, c := range cells {
		if understood(c, s.layout.Decimal) {
			good++
			if len(c) > 0 && c[0] != '-' || len(c) > 3 {
				values++
			}
		}
	}
	return values > 0 && 4*good >= 3*len(cells) && (s.width < 4 || values >= 2)
}

// restIsData tells whether the next lines are data too: a preamble may hold a line that looks like it.
func (s *sample) restIsData(sp *splitter, from int) bool {
	good, all := 0, 0
	for i := from; i < len(s.lines) && all < 12; i++ {
		if len(trim(s.lines[i])) == 0 || isComment(s.lines[i]) {
			continue
		}
		all++
		if s.isData(sp, s.lines[i]) {
			good++
		} else if all == 2 {
			return false // a line of preamble that looks like data, with headings below it
		}
	}
	return 3*good >= 2*all
}
