package figure

import (
	"math"
	"strings"
	"testing"

	"emberbank/block"
)

func TestTrialSheetShowsSensorsCoursesBandsAndMoments(t *testing.T) {
	rec := madeReceiver()
	f := Foretold{
		Time: []float64{0, 600, 1200, 1800}, Marks: []ForetoldMark{{"A", 600}, {"Z", 9000}},
		Lines: []ForetoldLine{{Name: "core <1>", Values: []float64{20, 80, 140, 130}, Half: []float64{0, 5, 10, 12}}, {Name: "rim", Values: []float64{20, math.NaN(), 90, 95}}},
	}
	svg := string(TrialSheet(rec, block.Width, 0.14, []Sensor{{1, "core <1>", block.Point{0.05, 0.14, 0.1}}, {2, "rim", block.Point{0.05, 0.05, 0.15}}}, f))
	for _, want := range []string{`data-sensor="1"`, `data-sensor="2"`, "core &lt;1&gt;", ">rim<", ">A<", veil, degree} {
		if !strings.Contains(svg, want) {
			t.Errorf("the picture has no %q", want)
		}
	}
	if strings.Contains(svg, ">Z<") {
		t.Error("a moment after the end is drawn")
	}
	empty := string(TrialSheet(rec, block.Width, 0.14, nil, Foretold{}))
	if !strings.Contains(empty, "No run has told yet") {
		t.Error("a picture without courses does not say so")
	}
}
