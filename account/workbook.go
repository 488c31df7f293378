package account

import (
	"fmt"
	"io"
)

// workbook is a study as a workbook: its variants, its answers, and what else the report says.
func (v *Varied) workbook(w io.Writer) error {
	widths := []float64{11}
	for range len(v.Axes) + len(v.Responses) + 4 {
		widths = append(widths, 16)
	}
	return workbook(w, []sheet{
		{"variants", append(widths, 36), v.table}, // the key is the last
		{"answers", []float64{50, 18, 120}, v.answerTable},
		{"notes", []float64{16, 60, 120}, v.noteTable},
	})
}

// answerTable holds what each answer says and, from the third column on, its table and what stands below it.
func (v *Varied) answerTable(t *table) error {
	t.texts("question", "verdict", "what can be said")
	t.end()
	for _, a := range v.Answers {
		for i, s := range a.Sentences {
			if i == 0 {
				t.texts(a.Question, a.Verdict, s)
			} else {
				t.texts("", "", s)
			}
			t.end()
		}
		for _, row := range a.Table {
			t.texts(append([]string{"", ""}, row...)...)
			t.end()
		}
		if a.Below != "" {
			t.texts("", "", a.Below)
			t.end()
		}
	}
	return t.flush()
}

// noteTable holds what each column reads, the constraints, and the notes.
func (v *Varied) noteTable(t *table) error {
	t.texts("kind", "of", "text")
	t.end()
	row := func(kind, of, text string) {
		t.texts(kind, of, text)
		t.end()
	}
	row("study", v.Name, fmt.Sprintf("%d variants, %d of them without results", len(v.Variants), v.Failed()))
	for _, r := range v.Responses {
		row("response", r.Name, r.Read)
	}
	for _, c := range v.Constraints {
		row("constraint", c.Text, c.Words)
	}
	for _, s := range v.cautioned() {
		row("caution", "", s)
	}
	for _, n := range v.Notes {
		row("note", "", n)
	}
	return t.flush()
}
