package bench

import (
	"strings"

	"emberbank/unit"
)

// Reading names one number that is read off a result.
type Reading struct {
	Text string // as the user wrote it
	Of   string // a history column, or an entry of the ledger
	How  ReadingKind
	At   float64 // s, for ReadAt
}

// ReadingKind tells which number of a column is read.
type ReadingKind int

// Which number is read.
const (
	ReadLast   ReadingKind = iota // the last row
	ReadMean                      // over time
	ReadAt                        // at Reading.At
	ReadLedger                    // an entry of the ledger
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
