package cli

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/history"
	"emberbank/logbook"
	"emberbank/trial"
)

// tellRecord prints what a trial's record holds, in lines of at most 80 characters.
func tellRecord(w io.Writer, t *bench.Trial) {
	r := t.Record
	account.Paragraph(w, "", fmt.Sprintf("%s: %s, %d rows, one each %.3g s", t.Name, duration(r.Length()), len(r.History.Time), r.Interval))
	if s := logbook.Start(r); s != "" {
		fmt.Fprintf(w, "from %s\n", strings.Replace(strings.Replace(s, "T", " ", 1), "+", " +", 1))
	}
	const form = "%10s%9s%9s%10s%11s\n"
	fmt.Fprintf(w, "\n  %-28s"+form, "column", "least", "most", "missing", "noise", "lasting")
	for i := range r.Columns {
		tellColumn(w, &r.Columns[i], &r.History.Columns[i], form)
	}
	fmt.Fprintln(w)
	account.Paragraph(w, "", "Noise and lasting are standard uncertainties: from sample to sample, and of the whole trial at the most reading.")
	tellSources(w, r)
	tellRepairs(w, r)
	tellList(w, "Found", r.Notes)
	tellList(w, "Doubts", t.Warnings)
}

// tellColumn prints one column's extremes, to the digit that its uncertainty supports, and its uncertainties.
func tellColumn(w io.Writer, c *trial.Column, h *history.Column, form string) {
	const wide = 28
	name := h.Header()
	if n := utf8.RuneCountInString(name); n > wide { // the numbers go below it
		account.Paragraph(w, "  ", name)
		name = ""
	}
	name += strings.Repeat(" ", wide-utf8.RuneCountInString(name))
	lo, hi, missing := logbook.Extremes(h.Values)
	if missing == len(h.Values) {
		fmt.Fprintf(w, "  %s"+form, name, "-", "-", "all", "-", "-")
		return
	}
	noise := inUnit(c.Quantity, c.Noise)
	known := noise
	said := "unknown"
	if len(c.Parts) > 0 {
		lasting := inUnit(c.Quantity, c.Systematic(hi))
		known = math.Hypot(noise, lasting)
		said = "± " + twoDigits(lasting)
	}
	fmt.Fprintf(w, "  %s"+form, name, toOneDigit(c.Quantity.Shown(lo), known), toOneDigit(c.Quantity.Shown(hi), known), percent(missing, len(h.Values)),
		"± "+twoDigits(noise), said)
}

// toOneDigit prints a reading to the first digit of its uncertainty, with four digits where that is not known.
func toOneDigit(v, u float64) string {
	if v == 0 {
		return "0"
	}
	if !(u > 0) || math.IsInf(u, 0) || u < 1e-6 {
		return fmt.Sprintf("%.4g", v)
	}
	return account.Rounded(v, 10*u)
}

// twoDigits prints an uncertainty.
func twoDigits(u float64) string {
	switch {
	case u == 0:
		return "0"
	case !(u > 0) || u < 1e-4 || u >= 1e6:
		return fmt.Sprintf("%.1e", u)
	}
	return account.Rounded(u, u)
}

// tellSources says from which column of which file each comes, where the names do not say so.
func tellSources(w io.Writer, r *trial.Record) {
	var files []string
	of := map[string][]string{}
	for i := range r.Columns {
		c := &r.Columns[i]
		if c.File == "" {
			continue
		}
		if of[c.File] == nil {
			files = append(files, c.File)
		}
		s := c.Name
		if c.Heading != "" && !strings.HasPrefix(c.Heading, c.Name) {
			s += " (" + c.Heading + ")"
		}
		of[c.File] = append(of[c.File], s)
	}
	if len(files) > 0 {
		fmt.Fprintln(w, "\nFrom")
	}
	for _, f := range files {
		list := slices.Clone(of[f])
		if n := len(list); n > 1 {
			list = append(list[:n-2], list[n-2]+" and "+list[n-1])
		}
		account.Paragraph(w, "  ", f+": "+strings.Join(list, ", ")+".")
	}
}

func tellRepairs(w io.Writer, r *trial.Record) {
	if len(r.Repairs) == 0 {
		fmt.Fprintln(w, "\nNothing was mended.")
		return
	}
	fmt.Fprintln(w, "\nMended, or seen and left")
	for _, x := range r.Repairs {
		where := x.Column
		if where == "" {
			where = x.File
		}
		line := ""
		if x.Line > 0 {
			line = fmt.Sprintf(" (first in line\u00a0%d)", x.Line)
		}
		account.Paragraph(w, fmt.Sprintf("%9d  ", x.Count), x.Key+", "+where+": "+x.What+line)
	}
}

func tellList(w io.Writer, title string, all []string) {
	if len(all) == 0 {
		return
	}
	fmt.Fprintf(w, "\n%s\n", title)
	for _, s := range all {
		account.Paragraph(w, "  - ", s)
	}
}
