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
	name := 0
	for i := range rows {
		name = max(name, utf8.RuneCountInString(rows[i].Name))
	}
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
			fmt.Fprintf(&b, "  %-*s  %12s  %12s  %10s  %-10s  %s\n", name, "", "expected", "computed", "difference", "tolerance", "unit")
		}
		pad := strings.Repeat(" ", name-utf8.RuneCountInString(r.Name))
		fmt.Fprintf(&b, "  %s%s  %12s  %12s  %10s  %-10s  %-10s %s\n", r.Name, pad, number(r.Expected, 7), number(r.Computed, 7),
			r.shownDifference(), r.shownTolerance(), r.Unit, r.Verdict)
		if r.Verdict != Agrees {
			fmt.Fprintf(&b, "      source: %s\n", r.Source)
			if r.Detail != "" {
				fmt.Fprintf(&b, "      %s\n", strings.ReplaceAll(r.Detail, "\n", "\n      "))
			}
		} else {
			good++
		}
		if r.FromRun {
			runs++
		}
	}
	fmt.Fprintf(&b, "\n%d of %d rows agree with their reference, %d depart; %d topics, %d rows from run files.\n",
		good, len(rows), len(rows)-good, topics, runs)
	_, err := io.WriteString(w, b.String())
	return err
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

// number prints significant digits without trailing zeros.
func number(v float64, digits int) string {
	if math.IsNaN(v) {
		return "none"
	}
	return strconv.FormatFloat(v, 'g', digits, 64)
}
