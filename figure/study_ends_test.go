package figure

import (
	"strings"
	"testing"
)

func TestAnIntervalThatLeavesTheSharesEndsInAnArrow(t *testing.T) {
	drawn := func(low, high float64) string {
		one := Influence{Input: "film", Alone: Share{0.5, low, high}, With: Share{0.6, 0.4, 0.8}}
		return string(Sensitivity("made up", nil, []Influences{{Response: "kept", All: []Influence{one}}}))
	}
	l := lay(Studied{}, -0.1, 1.1, 0, 100)
	if s := l.ending(1.1, 7); !strings.HasSuffix(s, "v6") {
		t.Errorf("an end on the ladder's own end is drawn as %s", s)
	}
	for _, v := range []float64{1.4, -0.3} {
		if s := l.ending(v, 7); strings.Contains(s, "v6") {
			t.Errorf("an interval that goes on to %v ends in a stroke across", v)
		}
	}
	// Each interval is drawn twice, on paper and in ink: two ends and two intervals make eight strokes across.
	if n := strings.Count(drawn(0.3, 0.7), "v6"); n != 8 {
		t.Errorf("%d strokes across where both intervals end, want 8", n)
	}
	if n := strings.Count(drawn(0.3, 1.4), "v6"); n != 6 {
		t.Errorf("%d strokes across where one end lies beyond, want 6", n)
	}
}

func TestAFrontWhoseValuesAreKnownBadlySaysHowBadly(t *testing.T) {
	f := Front{
		X: Studied{Name: "kept", Unit: degree, Degrees: true}, Y: Studied{Name: "weight", Unit: "kg"}, MostX: true,
		A: []float64{160, 200, 240}, B: []float64{0.8, 1, 2}, Standing: []Standing{Undefeated, Undefeated, Undefeated}, Fate: make([]Fate, 3), Order: []int{0, 1, 2},
	}
	for half, want := range map[float64]bool{40: true, 4: false} {
		f.Half[0] = half
		if got := strings.Contains(string(Pareto("made up", nil, f)), "kept ±\u200940\u2009K<"); got != want {
			t.Errorf("± %v K told in words: %v, want %v", half, got, want)
		}
		if got := strings.Contains(string(Pareto("made up", nil, f)), "each value, at 95"); !got {
			t.Errorf("± %v K is not told", half)
		}
	}
}

func TestFittedCurvesOfSeveralLinesAreCalledASuggestion(t *testing.T) {
	line := StudyLine{Name: "a", X: []float64{1, 2, 3}, Y: []float64{1, 2, 2.5}, Fate: make([]Fate, 3)}
	other := line
	other.Verdict = &StudyVerdict{Says: "still changing", Trends: []StudyTrend{{Name: "power law", X: []float64{2, 4}, Y: []float64{2, 3}}}}
	draw := func(lines ...StudyLine) string {
		return string(StudyCurves("made up", nil, Studied{Name: "x"}, Studied{Name: "y"}, lines, nil))
	}
	if s := draw(line, other); !strings.Contains(s, "a suggestion, not a result") {
		t.Error("fitted curves of several lines carry no name")
	}
	if s := draw(other); strings.Contains(s, "a suggestion, not a result") || !strings.Contains(s, "power law") {
		t.Error("a single line's fitted curve is not named by its kind alone")
	}
	if s := draw(line, line); strings.Contains(s, "a suggestion") {
		t.Error("a picture without fitted curves explains them")
	}
}
