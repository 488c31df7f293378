package trial

import "testing"

func TestAGuessFindsTheColumnThatADescriptionNames(t *testing.T) {
	g := &Guess{Columns: []ColumnGuess{{Number: 2, Heading: "T in [°C]"}, {Number: 3, Heading: "Flow"}, {Number: 5}}}
	for _, c := range []struct {
		ref  Ref
		want int
	}{
		{Ref{Heading: "T in [°C]"}, 0},
		{Ref{Heading: "t  in"}, 0},
		{Ref{Heading: "flow"}, 1},
		{Ref{Number: 5}, 2},
		{Ref{Number: 4}, -1},
		{Ref{Heading: ""}, -1},
		{Ref{Heading: "T out"}, -1},
	} {
		if got := g.Find(c.ref); got != c.want {
			t.Errorf("%+v is column %d, want %d", c.ref, got, c.want)
		}
	}
}

func TestAReadingGoesBackToTheNumberInTheFile(t *testing.T) {
	for _, c := range []struct {
		column Column
		si     float64
		want   float64
	}{
		{Column{factor: 1, offset: 273.15}, 300, 26.85},
		{Column{factor: 1.0 / 60000}, 1.0 / 40000, 1.5}, // l/min
		{Column{}, 7, 7},
	} {
		if got := c.column.InFile(c.si); got < c.want-1e-9 || got > c.want+1e-9 {
			t.Errorf("%g becomes %g, want %g", c.si, got, c.want)
		}
	}
}
