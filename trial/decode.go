package trial

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"emberbank/unit"
)

// Log is one logger's file as it was read: rows in the file's order, channels in SI, missing values as NaN.
type Log struct {
	Source   *Source
	Layout   Layout   // as found
	Headings []string // of all columns of the file
	Units    []string // as the headings give them
	Time     []float64
	Values   [][]float64 // by channel
	Absolute bool        // whether Time counts from base, a moment; else from the logger's own zero
	Zoned    bool        // whether the zone is known
	Repairs  []Repair
	Notes    []string
	base     int64 // s from 1970-01-01 UTC, of Time zero
	zone     int   // s east of Greenwich, as the file or the description says
	line     []uint32
	channels []channelState
	garbled  tally
	again    tally
	holes    tally
	comments int
}

// mostValues bounds the numbers that one file's record may hold: 512 MiB.
const mostValues = 64 << 20

// mostLine bounds a line.
const mostLine = 1 << 20

// Decode reads one logger's file in a single pass. What it cannot read as a whole comes as findings; after a mistake
// among them the log is nil. Memory is eight bytes for each value wanted and twelve for each row; of the text no more
// than a buffer is held.
func Decode(r io.Reader, src *Source, index int, repairs Repairs) (*Log, []Finding) {
	d := &decoder{index: index, src: src, log: &Log{Source: src}}
	fail := func(format string, args ...any) (*Log, []Finding) {
		d.mistake(Finding{Message: fmt.Sprintf(format, args...), Line: d.lineNo})
		return nil, d.found
	}
	br := bufio.NewReaderSize(textOf(r), mostLine)
	head, err := br.Peek(mostSample)
	if err != nil && !errors.Is(err, io.EOF) {
		return fail("reading %s: %v", src.Name, err)
	}
	if tooManyHoles(head) {
		d.mistake(Finding{
			Message: src.Name + " is not text: it holds bytes that no text has",
			Fix:     "export the logger's data as text: CSV, or tabs or blanks between numbers",
		})
		return nil, d.found
	}
	s, e := sniff(head, errors.Is(err, io.EOF), src.Layout)
	if e != nil {
		d.mistake(Finding{
			Message: fmt.Sprintf("%s cannot be read as a logger's file: %v", src.Name, e),
			Fix:     `say how it is laid out: "separator", "decimal", "skip" and "headings" of this logger`,
		})
		return nil, d.found
	}
	d.sample = s
	l := d.log
	l.Layout, l.Headings, l.Units = s.layout, s.headings, s.units
	d.columns(repairs)
	d.setClock()
	if d.failed() {
		return nil, d.found
	}
	if err := d.rows(br); err != nil {
		return fail("reading %s: %v", src.Name, err)
	}
	if len(l.Time) == 0 {
		d.mistake(Finding{
			Line: s.start + 1, Message: fmt.Sprintf("%s has no row whose time can be read", src.Name),
			Fix: `say where the time stands and how it is written, by "clock" of this logger`,
		})
	}
	if l.garbled.count > len(l.Time) && len(l.Time) > 0 {
		d.mistake(Finding{
			Line: l.garbled.first, Message: fmt.Sprintf("%s: %d of %d rows cannot be read", src.Name, l.garbled.count, l.garbled.count+len(l.Time)),
			Fix: `check "separator", "decimal" and "clock" of this logger`,
		})
	}
	if d.failed() {
		return nil, d.found
	}
	k := &d.clock
	l.Absolute, l.base, l.zone = k.dated, k.base, k.zone
	l.Zoned = k.stated || k.zoned && !k.unzoned
	if k.zoned {
		l.zone = k.cellZone
	}
	if k.zoned && k.unzoned && !k.stated {
		d.mistake(Finding{
			Key: "clock", Message: "clock: some rows of " + src.Name + " say their zone and some do not",
			Fix: `add "zone: UTC", or "zone: +01:00" and the like, to the clock: it holds for rows that do not say theirs`,
		})
		return nil, d.found
	}
	d.note()
	return l, d.found
}

// Columns looks only whether a file has the columns that its source names, so that this is told together with mistakes
// of the description that keep it from being read.
func Columns(r io.Reader, src *Source, index int) []Finding {
	d := &decoder{index: index, src: src, log: &Log{Source: src}}
	br := bufio.NewReaderSize(textOf(r), mostSample)
	head, err := br.Peek(mostSample)
	if err != nil && !errors.Is(err, io.EOF) {
		return nil
	}
	s, e := sniff(head, errors.Is(err, io.EOF), src.Layout)
	if e != nil {
		return nil
	}
	d.sample = s
	for i := range src.Channels {
		c := &src.Channels[i]
		for _, ref := range []Ref{c.Column, c.Quality} {
			if at, why, fix := d.find(ref); ref.Given() && at < 0 {
				d.mistake(Finding{Channel: i, Key: "channel", Message: why, Fix: fix})
			}
		}
	}
	return d.found
}

// decoder is one reading.
type decoder struct {
	index  int
	src    *Source
	sample *sample
	log    *Log
	clock  clockReader
	found  []Finding
	lineNo int
}

func (d *decoder) mistake(f Finding) {
	f.Source = d.index
	if f.Key != "channel" {
		f.Channel = -1
	}
	d.found = append(d.found, f)
}

func (d *decoder) failed() bool {
	return slices.ContainsFunc(d.found, func(f Finding) bool { return !f.Doubt })
}

// find returns the index of the column that a reference names, or -1 with the reason.
func (d *decoder) find(r Ref) (int, string, string) {
	s := d.sample
	if r.Number > 0 {
		if r.Number > s.width {
			return -1, fmt.Sprintf("%s has %d columns, none of number %d", d.src.Name, s.width, r.Number), "count from 1 at the left"
		}
		return r.Number - 1, "", ""
	}
	switch at, again := headed(s.headings, r.Heading); {
	case again >= 0:
		return -1, fmt.Sprintf("%s has two columns headed %q", d.src.Name, r.Heading), fmt.Sprintf("name it by its number: %d or %d", at+1, again+1)
	case at >= 0:
		return at, "", ""
	}
	var shown []string
	for _, h := range s.headings {
		if h != "" {
			shown = append(shown, fmt.Sprintf("%q", h))
		}
	}
	if len(shown) == 0 {
		return -1, fmt.Sprintf("%s has no headings, so none is %q", d.src.Name, r.Heading), fmt.Sprintf("name columns by their numbers, 1 to %d", s.width)
	}
	if len(shown) > 24 {
		shown = append(shown[:24], "…")
	}
	return -1, fmt.Sprintf("%s has no column headed %q", d.src.Name, r.Heading), "it has " + strings.Join(shown, ", ")
}

// columns finds the channels' cells and units.
func (d *decoder) columns(repairs Repairs) {
	l := d.log
	l.channels = make([]channelState, len(d.src.Channels))
	l.Values = make([][]float64, len(d.src.Channels))
	for i := range d.src.Channels {
		c := &d.src.Channels[i]
		st := &l.channels[i]
		*st = channelState{c: c, quality: -1, repairs: repairs.over(c.Repairs), codes: map[string]int{}}
		at, why, fix := d.find(c.Column)
		if at < 0 {
			d.mistake(Finding{Channel: i, Key: "channel", Message: why, Fix: fix})
			continue
		}
		st.at = at
		if c.Quality.Given() {
			if st.quality, why, fix = d.find(c.Quality); st.quality < 0 {
				d.mistake(Finding{Channel: i, Key: "channel", Message: why, Fix: fix})
			}
		}
		d.unitOf(i, c, at)
	}
}

// unitOf takes the unit of a channel from its heading where the description gives none.
func (d *decoder) unitOf(i int, c *Channel, at int) {
	if c.Signal != nil {
		u := c.Signal.Unit
		if u == "" {
			u = d.sample.units[at]
		}
		d.log.channels[i].electric = 1
		if k, ok := unitOf(u); ok && k.electric && c.Signal.Couple != "" {
			d.log.channels[i].electric = k.factor
		} else if c.Signal.Couple != "" {
			d.mistake(Finding{
				Channel: i, Key: "channel", Message: fmt.Sprintf("%s: the unit of the thermocouple's voltage is not known", c.Name),
				Fix: `give it, for example "signal: {unit: mV, couple: K}"`,
			})
		}
		return
	}
	text := d.sample.units[at]
	k, ok := unitOf(text)
	if c.Conversion.Divisor != 0 {
		if conv, err := unitBetween(k); ok && !k.electric && !k.time && k.quantity == c.Quantity && err == nil && conv != c.Conversion {
			d.mistake(Finding{
				Channel: i, Key: "channel", Doubt: true,
				Message: fmt.Sprintf("%s: the heading says %s, the description %s, which is taken", c.Name, text, c.Unit),
				Fix:     "take \"unit: …\" out if the heading is right",
			})
		}
		return
	}
	switch {
	case text == "":
		d.mistake(Finding{
			Channel: i, Key: "channel", Message: fmt.Sprintf("%s: neither its heading nor the description says its unit", c.Name),
			Fix: `add "unit: …" to this channel`,
		})
	case !ok:
		fix := `add "unit: …" to this channel`
		if bare, is := unit.Gauge(text); is {
			fix = fmt.Sprintf("it counts from the air's pressure: add \"unit: %s, signal: {factor: 1, shift: …}\", the shift being the air's pressure at the site", bare)
		}
		d.mistake(Finding{Channel: i, Key: "channel", Message: fmt.Sprintf("%s: the unit %q in the heading is not known", c.Name, text), Fix: fix})
	case k.electric || k.time:
		d.mistake(Finding{
			Channel: i, Key: "channel", Message: fmt.Sprintf("%s: the file holds %s, not %s", c.Name, text, quantityWord(c)),
			Fix: `say how it becomes the quantity, by "signal" of this channel`,
		})
	case k.quantity != c.Quantity:
		d.mistake(Finding{
			Channel: i, Key: "channel", Message: fmt.Sprintf("%s: the heading's unit %q does not fit %s", c.Name, text, quantityWord(c)),
			Fix: "is it the right column? Else give the channel's unit",
		})
	default:
		conv, err := unitBetween(k)
		if err != nil {
			d.mistake(Finding{Channel: i, Key: "channel", Message: err.Error(), Fix: `add "unit: …" to this channel`})
			return
		}
		c.Unit, c.Conversion, c.Volume = k.text, conv, k.volume
	}
}

// rows reads the file's lines to its end.
func (d *decoder) rows(br *bufio.Reader) error {
	l := d.log
	sp := newSplitter(l.Layout)
	need := d.clock.need()
	for i := range l.channels {
		need = max(need, l.channels[i].at, l.channels[i].quality)
	}
	for {
		line, err := br.ReadSlice('\n')
		if errors.Is(err, bufio.ErrBufferFull) {
			return fmt.Errorf("line %d is longer than %d bytes: is this a logger's file?", d.lineNo+1, mostLine)
		}
		if err != nil && !errors.Is(err, io.EOF) {
			return err
		}
		last := err != nil
		d.lineNo++
		if d.lineNo > d.sample.start && len(line) > 0 {
			if e := d.row(sp, trimEnd(line), need); e != nil {
				return e
			}
		}
		if last {
			return nil
		}
	}
}

func trimEnd(line []byte) []byte {
	for len(line) > 0 && (line[len(line)-1] == '\n' || line[len(line)-1] == '\r') {
		line = line[:len(line)-1]
	}
	return line
}

// row takes one line.
func (d *decoder) row(sp *splitter, line []byte, need int) error {
	l := d.log
	line, cut := behindHole(line)
	if cut {
		l.holes.add(d.lineNo)
	}
	if len(line) == 0 || line[0] <= ' ' && len(trim(line)) == 0 {
		return nil
	}
	if line[0] == '#' || line[0] == '%' {
		l.comments++
		return nil
	}
	cells := sp.split(line)
	if len(cells) <= need && l.Layout.Separator != Fixed {
		l.garbled.add(d.lineNo)
		return nil
	}
	t, ok := d.clock.read(cells, l.Layout.Decimal)
	if !ok {
		if d.headingsAgain(cells) {
			l.again.add(d.lineNo)
		} else {
			l.garbled.add(d.lineNo)
		}
		return nil
	}
	if len(l.Time)*(len(l.channels)+1) >= mostValues {
		return fmt.Errorf("the file holds more than the %d numbers that are kept (%d rows of %d channels): name fewer channels, or split it", mostValues, len(l.Time), len(l.channels))
	}
	l.Time = append(l.Time, t)
	l.line = append(l.line, uint32(d.lineNo))
	for i := range l.channels {
		st := &l.channels[i]
		var cell []byte
		if st.at < len(cells) {
			cell = cells[st.at]
		}
		v := st.value(cell, l.Layout.Decimal, d.src, d.lineNo)
		if st.quality >= 0 && v == v && st.repairs.Quality != Off {
			var code []byte
			if st.quality < len(cells) {
				code = cells[st.quality]
			}
			if q, ok := number(code, l.Layout.Decimal); !ok || !slices.Contains(st.c.Good, q) {
				st.doubtful.add(d.lineNo)
				v = math.NaN()
			}
		}
		l.Values[i] = append(l.Values[i], v)
	}
	return nil
}

// headingsAgain tells whether a line repeats the headings, as a logger writes that starts anew.
func (d *decoder) headingsAgain(cells [][]byte) bool {
	same := 0
	for i, c := range cells {
		if i < len(d.sample.headings) && len(c) > 0 && strings.HasPrefix(d.sample.headings[i], legible(c)) {
			same++
		}
	}
	return same > 0 && 2*same > len(cells)
}

// note says what was found of the file's layout and clock.
func (d *decoder) note() {
	l := d.log
	sign := "points"
	if l.Layout.Decimal == ',' {
		sign = "commas"
	}
	l.Notes = append(l.Notes, fmt.Sprintf("%s: %d rows parted by %s, with decimal %s, %s before %s; clock: %s",
		l.Source.Name, len(l.Time), l.Layout.Separator, sign, counted(l.Layout.Skip, "line"), counted(l.Layout.Headings, "line")+" of headings", d.clock.words()))
	if l.comments > 0 {
		l.Notes = append(l.Notes, fmt.Sprintf("%s: %s of comment", l.Source.Name, counted(l.comments, "line")))
	}
}

func counted(n int, noun string) string {
	if n != 1 {
		noun += "s"
	}
	return fmt.Sprintf("%d %s", n, noun)
}
