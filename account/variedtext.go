package account

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
	say("%s: %s", v.Name, countOf(len(v.Variants), "variant", "variants"))
	for _, a := range v.Answers {
		say("")
		v.tell(&b, a)
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

// tell prints an answer.
func (v *Varied) tell(b *strings.Builder, a VariedAnswer) {
	b.WriteString(folded(a.Question) + "\n")
	for _, s := range a.Sentences {
		b.WriteString(setIn(s))
	}
	if len(a.Table) == 0 {
		return
	}
	b.WriteByte('\n')
	responses := 0
	if a.Front != nil {
		responses = len(a.Front.Responses)
	}
	table, inputs, _ := fitting(a.Table, responses, pageWidth-2)
	inColumns(b, table, "  ")
	if inputs > 0 {
		b.WriteString(setIn(fmt.Sprintf("and %s of each in table.csv", v.inputs(inputs))))
	}
	if a.Below != "" {
		b.WriteString(setIn(a.Below))
	}
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
	return []string{fmt.Sprintf("Caution: %d of %s (%s). Each warning stands with its numbers in the variant's record; run a variant by itself and read them before anything is built, lit or filled. Local codes and licensed practice decide.", n, countOf(len(v.Variants), "variant", "variants")+map[bool]string{true: " warns", false: " warn"}[n == 1], strings.Join(kinds, ", "))}
}

// inputs counts what is varied, by the word of the kind of study.
func (v *Varied) inputs(n int) string {
	switch v.Kind {
	case "sample":
		return countOf(n, "input", "inputs")
	case "search":
		return countOf(n, "variable", "variables")
	}
	return countOf(n, "axis", "axes")
}

// list prints the first rows of the table in columns: of axes as many as there is room for beside the responses, and what is
// left out in words.
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
	lines, inputs, responses := fitting(lines, len(v.Responses), pageWidth)
	inColumns(b, lines, "")
	v.leftOut(b, inputs, responses)
	if len(v.Constraints) > 0 && v.count(func(o *Variant) bool { return !o.Meets && o.Failure == "" }) > 0 {
		b.WriteString("* does not meet the constraints\n")
	}
}

// leftOut says what the list has no room for.
func (v *Varied) leftOut(b *strings.Builder, inputs, responses int) {
	var columns []string
	if inputs > 0 {
		columns = append(columns, v.inputs(inputs))
	}
	if responses > 0 {
		columns = append(columns, countOf(responses, "response", "responses"))
	}
	of := strings.Join(columns, " and ")
	switch n := len(v.Variants) - rowsInText; {
	case n > 0 && of != "":
		b.WriteString(folded(fmt.Sprintf("and %d more, and %s of each, in table.csv", n, of)) + "\n")
	case n > 0:
		fmt.Fprintf(b, "and %d more in table.csv\n", n)
	case of != "":
		fmt.Fprintf(b, "and %s of each in table.csv\n", of)
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
