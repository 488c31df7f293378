package dossier

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
)

// rowsInText is how many variants the report shows; the table holds all.
const rowsInText = 40

// StudyText writes the report of a study.
func StudyText(w io.Writer, v *Varied) error {
	var b strings.Builder
	say := func(format string, args ...any) {
		b.WriteString(folded(fmt.Sprintf(format, args...)))
		b.WriteByte('\n')
	}
	say("%s: %d variants", v.Name, len(v.Variants))
	for _, a := range v.Answers {
		say("")
		say("%s", a.Question)
		for _, s := range a.Sentences {
			b.WriteString(setIn(s))
		}
		if len(a.Table) > 0 {
			b.WriteByte('\n')
			inColumns(&b, a.Table, "  ")
		}
	}
	if len(v.Constraints) > 0 {
		say("")
		say("Constraints")
		for _, c := range v.Constraints {
			b.WriteString(setIn(c.Words))
		}
		if v.Meeting != nil && len(v.Constraints) > 1 {
			b.WriteString(setIn(v.Meeting.Words))
		}
	}
	say("")
	v.list(&b)
	if n := v.Failed(); n > 0 {
		say("")
		say("%d of %d variants have no results:", n, len(v.Variants))
		told := 0
		for i := range v.Variants {
			if o := &v.Variants[i]; o.Failure != "" && told < 5 {
				told++
				b.WriteString(setIn(fmt.Sprintf("variant %d: %s", i+1, o.Failure)))
			}
		}
	}
	for _, c := range v.cautioned() {
		say("")
		say("%s", c)
	}
	for _, n := range v.Notes {
		say("")
		say("%s", n)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// cautioned says how many variants warn; empty where none does.
func (v *Varied) cautioned() []string {
	n := v.count(func(o *Variant) bool { return len(o.Cautions) > 0 })
	if n == 0 {
		return nil
	}
	var kinds []string
	for i := range v.Variants {
		for _, kind := range v.Variants[i].Cautions {
			if !slices.Contains(kinds, kind) {
				kinds = append(kinds, kind)
			}
		}
	}
	return []string{fmt.Sprintf("Caution: %d of %d variants warn (%s). Each warning stands with its numbers in the variant's record; run a variant by itself and read them before anything is built, lit or filled. Local codes and licensed practice decide.", n, len(v.Variants), strings.Join(kinds, ", "))}
}

// list prints the first rows of the table in columns.
func (v *Varied) list(b *strings.Builder) {
	head := []string{"variant"}
	for _, a := range v.Axes {
		head = append(head, a.Name)
	}
	for _, r := range v.Responses {
		head = append(head, r.Name)
	}
	lines := [][]string{head}
	for i := range v.Variants {
		if i == rowsInText {
			break
		}
		o := &v.Variants[i]
		row := []string{fmt.Sprint(i + 1)}
		for k := range v.Axes {
			row = append(row, v.Axes[k].Show(o.At[k]))
		}
		for k, r := range v.Responses {
			if o.Failure != "" {
				row = append(row, "failed")
			} else if math.IsNaN(o.Values[k]) {
				row = append(row, "none")
			} else {
				row = append(row, r.Amount(o.Values[k], false))
			}
		}
		if len(v.Constraints) > 0 && !o.Meets && o.Failure == "" {
			row[0] += " *"
		}
		lines = append(lines, row)
	}
	inColumns(b, lines, "")
	if n := len(v.Variants) - rowsInText; n > 0 {
		fmt.Fprintf(b, "and %d more in table.csv\n", n)
	}
	if len(v.Constraints) > 0 && v.count(func(o *Variant) bool { return !o.Meets && o.Failure == "" }) > 0 {
		b.WriteString("* does not meet the constraints\n")
	}
}

// inColumns prints rows in columns, each line after some blanks; what is wider than the page is cut.
func inColumns(b *strings.Builder, lines [][]string, before string) {
	width := make([]int, len(lines[0]))
	for _, l := range lines {
		for k, c := range l {
			width[k] = max(width[k], len([]rune(c)))
		}
	}
	for _, l := range lines {
		s := before
		for k, c := range l {
			if k > 0 {
				s += "  "
			}
			s += c + strings.Repeat(" ", width[k]-len([]rune(c)))
		}
		s = strings.TrimRight(s, " ")
		if r := []rune(s); len(r) > 80 {
			s = string(r[:79]) + "…"
		}
		b.WriteString(s + "\n")
	}
}

// setIn folds a sentence with two blanks before each line.
func setIn(s string) string {
	return "  " + strings.ReplaceAll(foldedTo(s, 78), "\n", "\n  ") + "\n"
}

func folded(s string) string { return foldedTo(s, 80) }

// foldedTo breaks a text at plain blanks into lines of at most so many characters.
func foldedTo(s string, width int) string {
	var lines []string
	line := ""
	for _, word := range strings.Split(s, " ") {
		switch {
		case line == "":
			line = word
		case len([]rune(line))+1+len([]rune(word)) > width:
			lines = append(lines, line)
			line = word
		default:
			line += " " + word
		}
	}
	return strings.Join(append(lines, line), "\n")
}
