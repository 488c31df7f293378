package trial

import (
	"bytes"
	"fmt"
	"slices"
)

// feed decodes one file of which more and more is there.
type feed struct {
	raw    []byte // bytes that are not yet text: a mark at the beginning, or half a sign
	marked bool
	wide   bool // UTF-16
	low    bool
	lone   bool   // lines end with a carriage return alone
	text   []byte // lines that are not taken yet
	holes  holes  // shortens them over pieces
	d      *decoder
	sp     *splitter
	need   int
	why    string // told already
	whole  int    // rows that the file gave
}

// take turns bytes into text, as textOf does for a whole file.
func (f *feed) take(b []byte) {
	f.raw = append(f.raw, b...)
	if !f.marked {
		if len(f.raw) < 3 {
			return
		}
		f.marked = true
		switch {
		case bytes.HasPrefix(f.raw, []byte{0xEF, 0xBB, 0xBF}):
			f.raw = f.raw[3:]
		case bytes.HasPrefix(f.raw, []byte{0xFF, 0xFE}):
			f.wide, f.low, f.raw = true, true, f.raw[2:]
		case bytes.HasPrefix(f.raw, []byte{0xFE, 0xFF}):
			f.wide, f.raw = true, f.raw[2:]
		}
	}
	if !f.wide {
		f.text = append(f.text, f.raw[:f.holes.shorten(f.raw)]...)
		f.raw = f.raw[:0]
		return
	}
	old := len(f.text)
	n := len(f.raw) / 2 * 2
	for i := 0; i < n; i += 2 {
		a, b := f.raw[i], f.raw[i+1]
		if f.low {
			a, b = b, a
		}
		f.text = append(f.text, string(rune(a)<<8|rune(b))...)
	}
	f.text = f.text[:old+f.holes.shorten(f.text[old:])]
	f.raw = append(f.raw[:0], f.raw[n:]...)
}

// lines cuts the text at its last line end. What stands behind waits for the rest of its line.
func (f *feed) lines() []byte {
	if f.d == nil && bytes.IndexByte(f.text, '\n') < 0 {
		f.lone = bytes.Count(f.text, []byte{'\r'}) > 3
	}
	if f.lone {
		for i, c := range f.text {
			if c == '\r' {
				f.text[i] = '\n'
			}
		}
	}
	return f.text[:bytes.LastIndexByte(f.text, '\n')+1]
}

// feed decodes what is whole of a file and lets its rows in.
func (l *Live) feed(st *stream, f *feed, b []byte) {
	f.take(b)
	lines := f.lines()
	if len(lines) == 0 {
		if len(f.text) > mostLine {
			l.unreadable(st, f, fmt.Sprintf("%s has a line longer than %d bytes: is this a logger's file?", st.src.Name, mostLine))
			f.text = f.text[:0]
		}
		return
	}
	if f.d == nil && !l.begin(st, f, lines) {
		return
	}
	d := f.d
	for rest := lines; len(rest) > 0; {
		i := bytes.IndexByte(rest, '\n')
		line := rest[:i]
		rest = rest[i+1:]
		d.lineNo++
		if d.lineNo > d.sample.start && len(line) > 0 {
			_ = d.row(f.sp, trimEnd(line), f.need) // it fails by too many rows only, and they are taken out at once
			if len(d.log.Time) > 0 {
				l.admit(st, f)
			}
		}
	}
	f.text = append(f.text[:0], f.text[len(lines):]...)
}

// fewRows is how many rows a file must have before its layout is found from them.
const fewRows = 3

// begin finds the layout once there are rows enough.
func (l *Live) begin(st *stream, f *feed, lines []byte) bool {
	src := *st.src
	d := &decoder{index: st.index, src: &src, log: &Log{Source: &src}}
	src.Channels = slices.Clone(st.src.Channels)
	head := lines[:min(len(lines), mostSample)]
	s, err := sniff(head, false, src.Layout)
	settled := len(lines) > mostSample
	if err == nil {
		settled = settled || len(s.lines)-s.start >= 20
		if len(s.lines)-s.start < fewRows {
			return false
		}
		d.sample = s
		d.log.Layout, d.log.Headings, d.log.Units = s.layout, s.headings, s.units
		d.columns(l.setup.Repairs)
		d.setClock()
	}
	switch {
	case tooManyHoles(head) && !f.wide:
		err, settled = fmt.Errorf("it holds bytes that no text has"), true
	case err == nil && d.failed():
		i := slices.IndexFunc(d.found, func(q Finding) bool { return !q.Doubt })
		err = fmt.Errorf("%s", d.found[i].Message)
	}
	if err != nil {
		if settled {
			l.unreadable(st, f, fmt.Sprintf("%s cannot be read: %v", src.Name, err))
		}
		if len(f.text) > 2*mostSample {
			f.text = f.text[:0]
		}
		return false
	}
	f.d, f.sp = d, newSplitter(d.log.Layout)
	f.need = d.clock.need()
	for i := range d.log.channels {
		f.need = max(f.need, d.log.channels[i].at, d.log.channels[i].quality)
	}
	return true
}

// unreadable is told once for each reason.
func (l *Live) unreadable(st *stream, f *feed, why string) {
	if f.why != why {
		f.why = why
		l.tell(st, Unreadable, 0, 0, why)
	}
}

// admit takes the row that the decoder has just read and lets it into the window, where its stamp allows.
func (l *Live) admit(st *stream, f *feed) {
	log := f.d.log
	t, line := log.Time[0], log.line[0]
	row := make([]float64, len(log.Values))
	for i := range row {
		row[i] = log.Values[i][0]
		log.Values[i] = log.Values[i][:0]
	}
	log.Time, log.line = log.Time[:0], log.line[:0]
	f.whole++
	if f.whole == 1 {
		k := &f.d.clock
		log.Absolute, log.base, log.zone = k.dated, k.base, k.zone
		log.Zoned = k.stated || k.zoned
		if k.zoned {
			log.zone = k.cellZone
		}
	}
	if st.log == nil {
		st.log = log
		st.values = make([][]float64, len(row))
	} else if st.log != log {
		t += float64(log.base - st.log.base)
		st.log.channels = log.channels
	}
	l.place(st, t, row, line)
}
