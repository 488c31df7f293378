package bench

import (
	"strings"

	"emberbank/history"
	"emberbank/unit"
)

// Reading names one number that is read off a result.
type Reading struct {
	Text  string // as the user wrote it
	Of    string // a history column, an entry of the ledger, or a part of what is built
	How   ReadingKind
	At    float64 // s, for ReadAt; where a total begins
	To    float64 // s, where a total ends
	Watch string  // the column that comes to Level, for ReadBeyond, ReadWhen and ReadAtCrossing
	Level float64 // SI, by WithLevel
	Falls bool    // it falls to the level, or counts below it; false: it rises to it, or counts above

	level string // as typed
}

// ReadingKind tells which number of a column is read.
type ReadingKind int

// Which number is read.
const (
	ReadLast       ReadingKind = iota // the last row
	ReadMean                          // over time
	ReadAt                            // at Reading.At
	ReadLedger                        // an entry of the ledger
	ReadLargest                       // over time
	ReadLeast                         // over time
	ReadBeyond                        // how long the column lies above or below Level, in s
	ReadWhen                          // when the column first comes to Level, in s; NaN: never
	ReadAtCrossing                    // the column when Watch first comes to Level; NaN: never
	ReadTotal                         // the integral over time from At to To
	ReadMass                          // of what is built, or of the part Of, in kg
	ReadCost                          // of what is built, in the user's money
	readingKinds
)

// ReadingKinds is how many kinds there are: they are counted from 0.
const ReadingKinds = int(readingKinds)

// OfBuilt tells whether the reading hangs on what is built alone.
func (k ReadingKind) OfBuilt() bool { return k == ReadMass || k == ReadCost }

// readingsTold are the ways to name a number, for messages and docs.
const readingsTold = "a history column (its last value), with or without its unit; `mean of COLUMN` over time; `COLUMN at 1 h`; `largest COLUMN`; `least COLUMN`; " +
	"`time with COLUMN above 250 degC` (or below); `time when COLUMN falls to 200 degC` (or rises to), counted from the start; " +
	"`COLUMN when COLUMN falls to 200 degC`; `total of heat to passes from 1 h to 2 h`; or `ledger ENTRY`"

// ReadReading reads the name of a number:
//
//	block mean                                         the last row of a history column, with or without its unit in brackets
//	mean of heat to passes                             its mean over time
//	block mean at 1 h                                  its value at a time
//	largest block mean, least block mean               over time
//	time with block mean above 250 degC                how long, in s; or below
//	time when block mean falls to 200 degC             when first, in s from the start; or rises to
//	heat to passes when block mean falls to 200 degC   another column at that time
//	total of heat to passes from 1 h to 2 h            its integral
//	ledger lost                                        an entry of the ledger
//	mass, mass of insulation, cost                     of what is built
//
// The error says what is wrong with a time; whether there is such a column is not looked at. A level is read by WithLevel,
// once the column's kind is known.
func ReadReading(text string) (Reading, error) {
	q := Reading{Text: text}
	rest := strings.TrimSpace(text)
	switch {
	case rest == "mass":
		q.How = ReadMass
		return q, nil
	case rest == "cost":
		q.How = ReadCost
		return q, nil
	}
	for _, w := range []struct {
		word string
		how  ReadingKind
	}{{"ledger ", ReadLedger}, {"mass of ", ReadMass}} {
		if name, ok := strings.CutPrefix(rest, w.word); ok {
			q.How, q.Of = w.how, strings.TrimSpace(name)
			return q, nil
		}
	}
	var err error
	rest, err = q.overTime(rest)
	q.Of = columnName(rest)
	if q.Watch == "" && (q.How == ReadBeyond || q.How == ReadWhen) {
		q.Watch = q.Of
	}
	return q, err
}

// overTime reads what is wanted of a column, and returns the column's name.
func (q *Reading) overTime(text string) (of string, err error) {
	for _, w := range []struct {
		word string
		how  ReadingKind
	}{{"mean of ", ReadMean}, {"largest ", ReadLargest}, {"least ", ReadLeast}} {
		if of, ok := strings.CutPrefix(text, w.word); ok {
			q.How = w.how
			return of, nil
		}
	}
	if rest, ok := strings.CutPrefix(text, "total of "); ok {
		return q.total(rest)
	}
	if rest, ok := strings.CutPrefix(text, "time with "); ok {
		if of, ok := q.cut(rest, " above ", " below "); ok {
			q.How = ReadBeyond
			return of, nil
		}
	}
	if i := strings.Index(text, " when "); i > 0 {
		if watch, ok := q.cut(text[i+len(" when "):], " rises to ", " falls to "); ok {
			if of = text[:i]; of == "time" {
				q.How = ReadWhen
				return watch, nil
			}
			q.How, q.Watch = ReadAtCrossing, columnName(watch)
			return of, nil
		}
	}
	if i := strings.LastIndex(text, " at "); i > 0 {
		t, err := unit.Parse(text[i+len(" at "):], unit.Time)
		q.How, q.At = ReadAt, t.Value
		return text[:i], err
	}
	return text, nil
}

// cut takes a level off the end, behind the word for rising or that for falling.
func (q *Reading) cut(text, rising, falling string) (of string, ok bool) {
	for _, w := range []string{rising, falling} {
		if i := strings.LastIndex(text, w); i > 0 {
			q.Falls, q.level = w == falling, strings.TrimSpace(text[i+len(w):])
			return text[:i], true
		}
	}
	return text, false
}

// total reads "COLUMN from T to T".
func (q *Reading) total(text string) (of string, err error) {
	q.How = ReadTotal
	i := strings.LastIndex(text, " from ")
	if i < 0 {
		return text, &unit.Error{What: "a total lacks its beginning and its end", Fix: `write it as "total of heat to passes from 1 h to 2 h"`}
	}
	from, to, ok := strings.Cut(text[i+len(" from "):], " to ")
	if !ok {
		return text[:i], &unit.Error{What: "a total lacks its end", Fix: `write it as "total of heat to passes from 1 h to 2 h"`}
	}
	for _, end := range []struct {
		text string
		into *float64
	}{{from, &q.At}, {to, &q.To}} {
		t, err := unit.Parse(end.text, unit.Time)
		if err != nil {
			return text[:i], err
		}
		*end.into = t.Value
	}
	if q.To <= q.At {
		return text[:i], &unit.Error{What: "the total ends before it begins", Fix: "exchange its two times"}
	}
	return text[:i], nil
}

func columnName(text string) string {
	name, _ := unit.ParseHeading(strings.TrimSpace(text))
	return name
}

// WithLevel reads the level to which the watched column comes, of which the kind is known by now. Readings without a level
// stay as they are.
func (q Reading) WithLevel(watched history.Quantity) (Reading, error) {
	if q.level == "" {
		return q, nil
	}
	l, err := unit.Parse(q.level, valueOf(watched))
	q.Level = l.Value
	return q, err
}
