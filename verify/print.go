package verify

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Print writes the rows as text for a terminal: by topic, one line a row, and a closing count. Under a row that
// departs stand its source and detail.
func Print(w io.Writer, rows []Row) error {
	var b strings.Builder
	topic, good, runs := "", 0, 0
	var topics int
	for i := range rows {
		r := &rows[i]
		if r.Topic != topic {
			if i > 0 {
				b.WriteByte('\n')
			}
			topic = r.Topic
			topics++
			fmt.Fprintf(&b, "%s\n", topic)
			fmt.Fprintf(&b, "     %13s %13s %11s  %-10s %s\n", "expected", "computed", "difference", "tolerance", "unit")
		}
		b.WriteString(broken("  ", r.Name))
		s := r.Shown()
		fmt.Fprintf(&b, "     %13s %13s %11s  %-10s %-10s %s\n", s.Expected, s.Computed, s.Difference, s.Tolerance, r.Unit, r.Verdict)
		if r.Verdict != Agrees {
			b.WriteString(broken("      ", "source: "+r.Source))
			for _, d := range strings.Split(r.Detail, "\n") {
				if d != "" {
					b.WriteString(broken("      ", d))
				}
			}
		} else {
			good++
		}
		if r.FromRun {
			runs++
		}
	}
	b.WriteString("\n" + broken("", fmt.Sprintf("%d of %d rows agree with their reference, %d depart; %d topics, %d rows from run files.",
		good, len(rows), len(rows)-good, topics, runs)))
	_, err := io.WriteString(w, b.String())
	return err
}

// Shown is a row's numbers as they are printed.
type Shown struct {
	Expected, Computed, Difference, Tolerance string
}

// Shown writes a row's numbers so that two can be compared digit by digit. The difference is in the tolerance's measure: per
// cent where that is relative.
func (r *Row) Shown() Shown {
	return Shown{even(r.Expected, r.digits()), even(r.Computed, r.digits()), r.shownDifference(), r.shownTolerance()}
}

// digits is how many digits of a row's values are shown: two more than its tolerance has, four to seven.
func (r *Row) digits() int {
	tolerance := r.Tolerance
	if r.Means != Relative {
		tolerance /= math.Abs(r.Expected)
	}
	if !(tolerance > 0) || math.IsInf(tolerance, 0) || r.Means == AtMost || r.Means == AtLeast {
		return 5
	}
	return min(7, max(4, 2-int(math.Floor(math.Log10(tolerance)))))
}

// broken sets a text in lines of at most 80 characters.
func broken(lead, s string) string {
	var b strings.Builder
	at := 0
	for _, word := range strings.Fields(s) {
		n := utf8.RuneCountInString(word)
		if at > 0 && at+1+n > 80 {
			b.WriteByte('\n')
			at = 0
		}
		if at == 0 {
			b.WriteString(lead + word)
			at = utf8.RuneCountInString(lead) + n
		} else {
			b.WriteString(" " + word)
			at += 1 + n
		}
	}
	return b.String() + "\n"
}

// shownDifference is in the tolerance's measure: per cent where that is relative.
func (r *Row) shownDifference() string {
	switch r.Means {
	case Relative:
		if r.Expected == 0 {
			return number(math.NaN(), 3)
		}
		return number(100*r.Difference()/math.Abs(r.Expected), 2) + " %"
	case AtMost, AtLeast:
		return "-"
	}
	return number(r.Difference(), 2)
}

func (r *Row) shownTolerance() string {
	switch r.Means {
	case Relative:
		return "± " + number(100*r.Tolerance, 2) + " %"
	case AtMost, AtLeast:
		return string(r.Means)
	}
	return "± " + number(r.Tolerance, 2)
}

// even prints significant digits with trailing zeros, so that two values can be compared digit by digit.
func even(v float64, digits int) string {
	if math.IsNaN(v) {
		return "none"
	}
	return strings.TrimSuffix(fmt.Sprintf("%#.*g", digits, v), ".")
}

// number prints significant digits without trailing zeros.
func number(v float64, digits int) string {
	if math.IsNaN(v) {
		return "none"
	}
	return strconv.FormatFloat(v, 'g', digits, 64)
}
