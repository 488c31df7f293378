package trial

import (
	"math"
	"slices"
	"time"
)

// Live takes loggers' files while they are being written: bytes come in as they appear, rows go out in the order of time,
// decoded and mended by the same code as a whole record. Of each logger it keeps the last rows only, so that its memory does
// not grow with the trial.
//
// Rules that need rows on both sides (spikes) or many rows (values that stand still, dribble) see that window alone; so the
// whole record, read at the end, may judge some rows otherwise. Loggers are not brought to one axis here; one whose clock
// is to be found by "align" keeps the offset that is stated.
type Live struct {
	setup   Setup
	streams []*stream
	zero    float64 // s on the loggers' common scale, of the trial's first row
	zeroed  bool
	notices []Notice
	give    func(Fresh)
}

// Notice is something that happened to a file or its clock while it was followed.
type Notice struct {
	Kind   NoticeKind
	Source int     // index of the logger
	Time   float64 // s from the trial's start, of the last row before
	By     float64 // s, where a clock moved or a stretch is missing
	Rows   int     // left out
	What   string  // of Unreadable: why
}

// NoticeKind is a kind of notice.
type NoticeKind int

// The kinds of notices.
const (
	ClockBack  NoticeKind = iota // a clock was set back: it runs on from the last row
	ClockAhead                   // a clock leapt ahead of the time that passed: it runs on from the last row
	Stray                        // rows with a stamp far ahead of those around were left out
	BeganAnew                    // a counting clock began anew: it runs on from the last row
	LongGap                      // a stretch without rows
	Unreadable                   // the file is there and cannot be read
)

// window is how many rows of each logger are kept, and settling how many rows must follow one before it is judged.
const (
	window   = 1200
	settling = 3
)

// stream is one logger while it is followed.
type stream struct {
	src    *Source
	index  int
	feeds  []*feed
	log    *Log // layout and channels of the file that was read last
	time   []float64
	values [][]float64
	line   []uint32
	steps  []float64 // s, of the last rows
	first  float64   // time of the first row ever
	high   float64   // time of the last row
	begun  bool
	lead   []float64 // values of the first row ever
	shift  float64   // s, from the file's clock to ours
	given  float64   // time up to which settled rows were given out
	fresh  int       // rows behind those that were joined last
	behind int       // rows in a row that rise but stay below high
	before float64   // stamp of the last of them
	ahead  []held
	anew   bool    // the next row is the first of a file that began anew
	known  bool    // rows of such a file are compared with those that were taken
	since  float64 // s of the wall clock since rows came, NaN unknown
}

// held is a row that waits for the next ones to say whether its stamp can be.
type held struct {
	t      float64
	values []float64
	line   uint32
	since  float64 // s of the reader's clock, NaN unknown
}

// NewLive begins to follow a trial; files says how many files each of its loggers has. What the loggers give is handed
// to give, from Feed and Flush.
func NewLive(s *Setup, files []int, give func(Fresh)) *Live {
	l := &Live{setup: *s, give: give}
	l.setup.Sources = slices.Clone(s.Sources)
	for i := range l.setup.Sources {
		src := &l.setup.Sources[i]
		src.Clock.Align = nil
		src.Channels = slices.Clone(src.Channels)
		for k := range src.Channels { // a meter's temperature by another logger is not at hand here
			at := src.Channels[k].At
			if !slices.ContainsFunc(src.Channels, func(c Channel) bool { return c.Name == at }) {
				src.Channels[k].At = ""
			}
		}
		st := &stream{src: src, index: i, high: math.Inf(-1), given: math.Inf(-1), since: math.NaN()}
		for range files[i] {
			st.feeds = append(st.feeds, &feed{})
		}
		l.streams = append(l.streams, st)
	}
	return l
}

// Feed takes bytes that were added to a file. since is the time on the reader's own clock since the bytes before, NaN
// where that says nothing, as for what stood in the file at the start. A line that is not ended waits for its end.
func (l *Live) Feed(source, file int, b []byte, since float64) {
	st := l.streams[source]
	st.since = since
	for len(b) > 0 { // in pieces, so that a long file does not lie in memory as a whole
		n := min(len(b), 256<<10)
		l.feed(st, st.feeds[file], b[:n])
		b = b[n:]
	}
}

// Restart says that a file is another one now, or was written anew: what comes next is its beginning. Rows that were
// seen before are known by their stamps and not taken twice.
func (l *Live) Restart(source, file int) {
	st := l.streams[source]
	old := st.feeds[file]
	st.feeds[file] = &feed{why: old.why}
	st.anew, st.behind, st.ahead = true, 0, nil
}

// Notices returns what happened since the last call.
func (l *Live) Notices() []Notice {
	n := l.notices
	l.notices = nil
	return n
}

func (l *Live) tell(st *stream, k NoticeKind, by float64, rows int, what string) {
	at := st.high
	if st.log != nil && st.begun {
		at = l.at(st, st.high)
	}
	l.notices = append(l.notices, Notice{Kind: k, Source: st.index, Time: at, By: by, Rows: rows, What: what})
}

// Start returns the moment of time zero, and whether it is one: not before the first row, nor where clocks only count.
func (l *Live) Start() (time.Time, bool) {
	st := l.streams[0]
	if !l.zeroed || st.log == nil || !st.log.Absolute {
		return time.Time{}, false
	}
	whole := math.Floor(l.zero)
	zone := location(st.log.zone)
	if l.setup.Zone != nil {
		zone = l.setup.Zone
	}
	return time.Unix(int64(whole), int64((l.zero-whole)*1e9)).In(zone), true
}

// scale brings a stream's time to the scale that all loggers share.
func (l *Live) scale(st *stream, t float64) float64 {
	b := 0.0
	if st.log.Absolute {
		b = float64(st.log.base)
		if !st.log.Zoned && l.setup.Zone != nil {
			_, east := time.Unix(st.log.base, 0).In(l.setup.Zone).Zone()
			b -= float64(east)
		}
	}
	return b + t + st.src.Clock.Offset
}

// at is a stream's time from the trial's start.
func (l *Live) at(st *stream, t float64) float64 { return l.scale(st, t) - l.zero }

// Fresh is what a logger gave, in pieces of at most some hundred rows.
type Fresh struct {
	Source   int
	Columns  []Column
	Time     []float64   // s from the trial's start, of settled rows
	Values   [][]float64 // SI by column; NaN where there is none
	Now      float64     // s, of the newest row
	Newest   []float64   // its values, before they are settled
	Interval float64     // s, median distance of rows
	Stuck    []bool      // by column: it stands still while others move
	Hold     []bool      // by column: a value lasts until the next row
}

// Flush hands out the rows that came since the last call, of loggers that gave any. A row is settled when three more
// followed it; whole asks for all of them, as at the end.
func (l *Live) Flush(whole bool) {
	for _, st := range l.streams {
		if st.fresh > 0 || whole {
			l.flush(st, whole)
		}
	}
}

func (l *Live) flush(st *stream, whole bool) {
	if f, ok := l.join(st, whole); ok {
		l.give(f)
	}
	if len(st.time) > window {
		st.trim()
	}
}

// join mends the rows of a stream's window as a record of its own.
func (l *Live) join(st *stream, whole bool) (Fresh, bool) {
	n := len(st.time)
	if n < 2 || st.log == nil {
		return Fresh{}, false
	}
	st.fresh = 0
	one := l.setup
	one.Sources, one.From, one.To, one.Axis, one.Phases = []Source{*st.src}, 0, 0, -1, nil
	copied := *st.log
	copied.Source = &one.Sources[0]
	copied.Time, copied.line = slices.Clone(st.time), slices.Clone(st.line)
	copied.Repairs, copied.Notes = nil, nil
	copied.Values = make([][]float64, len(st.values))
	copied.channels = make([]channelState, len(st.values))
	for i := range st.values {
		copied.Values[i] = slices.Clone(st.values[i])
		s := st.log.channels[i]
		copied.channels[i] = channelState{c: s.c, at: s.at, quality: s.quality, repairs: s.repairs, electric: s.electric}
	}
	rec, found := Join(&one, []*Log{&copied})
	if rec == nil || len(rec.History.Time) != n {
		for _, f := range found {
			if !f.Doubt {
				l.tell(st, Unreadable, 0, 0, f.Message)
				break
			}
		}
		return Fresh{}, false
	}
	f := Fresh{Source: st.index, Columns: rec.Columns, Interval: rec.Interval, Now: l.at(st, st.time[n-1])}
	f.Stuck, f.Hold = make([]bool, len(rec.Columns)), make([]bool, len(rec.Columns))
	for i := range copied.channels {
		f.Hold[i] = copied.channels[i].c.Hold
	}
	for _, r := range rec.Repairs {
		if i := rec.Index(r.Column); r.Key == "stuck" && i >= 0 {
			f.Stuck[i] = math.IsNaN(rec.History.Columns[i].Values[n-1])
		}
	}
	from, _ := slices.BinarySearch(st.time, math.Nextafter(st.given, math.Inf(1)))
	to := n - settling
	if whole {
		to = n
	}
	for k := from; k < to; k++ {
		f.Time = append(f.Time, l.at(st, st.time[k]))
	}
	for i := range rec.History.Columns {
		v := rec.History.Columns[i].Values
		f.Newest = append(f.Newest, v[n-1])
		f.Values = append(f.Values, slices.Clone(v[min(from, max(to, from)):max(to, from)]))
	}
	if to > from {
		st.given = st.time[to-1]
	}
	return f, true
}

// trim forgets the oldest rows.
func (st *stream) trim() {
	cut := len(st.time) - window/2
	if cut <= 0 {
		return
	}
	st.time, st.line = slices.Delete(st.time, 0, cut), slices.Delete(st.line, 0, cut)
	for i := range st.values {
		st.values[i] = slices.Delete(st.values[i], 0, cut)
	}
}
