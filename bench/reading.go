package bench

import (
	"strings"

	"emberbank/unit"
)

// Reading names one number that is read off a result.
type Reading struct {
	Text  string // as the user wrote it
	Of    string // a history column, an entry of the ledger, or a part of what is built
	How   ReadingKind
	At    float64 // s, for ReadAt; where a total begins
	To    float64 // s, where a total ends
	Watch string  // the column that reaches Level, for ReadWhen and ReadAtCrossing; of ReadBeyond and ReadWhen it is Of
	Level float64 // SI
	Falls bool    // it falls to the level, or counts below it; false: it rises to it, or counts above
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
)

// ReadReading reads the name of a number:
//
//	block mean               the last row of a history column, with or without its unit in brackets
//	mean of heat to passes   its mean over time
//	block mean at 1 h        its value at a time
//	ledger lost              an entry of the ledger
//
// The error says what is wrong with the time; whether there is such a column is not looked at.
func ReadReading(text string) (Reading, error) {
	q := Reading{Text: text}
	rest := strings.TrimSpace(text)
	if entry, ok := strings.CutPrefix(rest, "ledger "); ok {
		q.How, q.Of = ReadLedger, strings.TrimSpace(entry)
		return q, nil
	}
	if of, ok := strings.CutPrefix(rest, "mean of "); ok {
		q.How, rest = ReadMean, of
	} else if i := strings.LastIndex(rest, " at "); i > 0 {
		t, err := unit.Parse(rest[i+len(" at "):], unit.Time)
		if err != nil {
			return q, err
		}
		q.How, q.At, rest = ReadAt, t.Value, rest[:i]
	}
	q.Of, _ = unit.ParseHeading(strings.TrimSpace(rest))
	return q, nil
}
