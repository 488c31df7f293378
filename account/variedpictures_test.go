package account

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"

	"emberbank/answer"
	"emberbank/history"
	"emberbank/unit"
)

// madeSweep is an invented sweep over wool and, where lines is above 1, over windows; kept heat comes to a plateau or creeps on.
func madeSweep(t *testing.T, n, lines int, scale float64, judged bool) *Varied {
	t.Helper()
	v := &Varied{
		Name: "made up", Kind: "sweep",
		Axes:      []VariedAxis{{Name: "window", Dimension: unit.Length, Unit: "mm"}, {Name: "wool", Dimension: unit.Length, Unit: "mm"}},
		Responses: []VariedResponse{{Name: "kept heat", Read: "stored", Quantity: history.Heat}, {Name: "block at six", Read: "block mean at 6 h", Quantity: history.Temperature}},
	}
	if lines == 1 {
		v.Axes = v.Axes[1:]
	}
	v.Constraints = []VariedConstraint{{Text: "block at six at least 160 °C", Response: 1, Above: 433.15, Below: math.Inf(1)}}
	for k := range lines {
		r := answer.Response{Neighbour: answer.Unknown}
		found := &VariedPlateau{Response: 0, Axis: len(v.Axes) - 1}
		for i := range n {
			x := 0.02 + 0.28*float64(i)/float64(n-1)
			y := (5e6 - 3e6*math.Exp(-(x-0.02)/scale)) * (1 + 0.1*float64(k))
			o := Variant{Key: fmt.Sprint(k, i), At: []float64{0.1 + 0.02*float64(k), x}[2-len(v.Axes):], Values: []float64{y, 300 + y/3e4}}
			o.Meets = o.Values[1] >= 433.15
			if i == n/2 {
				o = Variant{Key: o.Key, At: o.At, Failure: "it cannot"}
			} else {
				found.Group, found.Half = append(found.Group, len(v.Variants)), append(found.Half, 2e4)
				r.X, r.Y, r.U = append(r.X, x), append(r.Y, y), append(r.U, 1e4)
			}
			v.Variants = append(v.Variants, o)
		}
		if !judged {
			continue
		}
		p, err := answer.Flattening{Margin: 2e5}.Plateau(r)
		if err != nil {
			t.Fatal(err)
		}
		found.Points, found.Found = r, p
		v.Answers = append(v.Answers, VariedAnswer{Question: "Is there a plateau of kept heat over wool?", Verdict: p.Verdict.String(), Sentences: p.Sentences(answer.Flattening{Margin: 2e5}, answer.Names{}), Judged: Judged{Plateau: found}})
	}
	return v
}

func drawnOf(t *testing.T, v *Varied) map[string]string {
	t.Helper()
	s := &memory{files: map[string][]byte{}, room: -1}
	if err := WriteStudy(s, v); err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for name, f := range s.files {
		if strings.HasSuffix(name, ".svg") {
			out[name] = string(f)
		}
	}
	return out
}

var wrapped = regexp.MustCompile(`</text>\n<text[^>]*font-style="italic"[^>]*>`)

func shows(t *testing.T, files map[string]string, name string, words ...string) {
	t.Helper()
	f, ok := files[name]
	if !ok {
		t.Errorf("there is no %s, but %d pictures", name, len(files))
		return
	}
	f = wrapped.ReplaceAllString(f, " ") // texts are broken over lines
	for _, w := range words {
		if !strings.Contains(f, w) {
			t.Errorf("%s does not show %q", name, w)
		}
	}
}

func TestASweepOverOneAxisIsDrawnWithItsVerdict(t *testing.T) {
	files := drawnOf(t, madeSweep(t, 15, 1, 0.03, true))
	shows(t, files, "curve-kept-heat.svg", "plateau from", "kept heat [MJ]", "studied", "200\u00a0kJ")
	shows(t, files, "curve-block-at-six.svg", "block at six [°C]", "at least 160\u00a0°C", "misses a constraint")
	if len(files) != 2 {
		t.Errorf("%d pictures of one axis and two responses", len(files))
	}
	files = drawnOf(t, madeSweep(t, 15, 1, 0.2, true))
	shows(t, files, "curve-kept-heat.svg", "still changing", "a plateau begins here, if there is one", "power law", "declining exponential")
	if strings.Contains(files["curve-kept-heat.svg"], "plateau from") {
		t.Error("a plateau is drawn where none is shown")
	}
}

// Without a stated uncertainty no plateau is claimed in the sentence, so none is drawn.
func TestAPlateauThatIsNotClaimedIsNotDrawn(t *testing.T) {
	v := madeSweep(t, 15, 1, 0.03, true)
	v.Answers[0].Verdict = answer.Undecided.String()
	shows(t, drawnOf(t, v), "curve-kept-heat.svg", "not claimed")
	if s := drawnOf(t, v)["curve-kept-heat.svg"]; strings.Contains(s, ">plateau from") {
		t.Error("the plateau's dimension line is drawn")
	}
}

func TestASweepOverTwoAxesIsDrawnAsLinesAndAsAMap(t *testing.T) {
	files := drawnOf(t, madeSweep(t, 9, 5, 0.03, true))
	shows(t, files, "curve-kept-heat.svg", "window 100\u00a0mm", "window 180\u00a0mm")
	shows(t, files, "map-kept-heat.svg", "wool to the right, window upwards", "least", "most")
	shows(t, files, "map-block-at-six.svg", "block at six at least 160")
	files = drawnOf(t, madeSweep(t, 9, 30, 0.03, false))
	if _, ok := files["curve-kept-heat.svg"]; ok {
		t.Error("thirty lines that nobody asked for are drawn")
	}
	shows(t, files, "map-kept-heat.svg")
}

func TestWordsStandOnTheirAxis(t *testing.T) {
	v := madeSweep(t, 3, 1, 0.03, false)
	v.Axes[0] = VariedAxis{Name: "filler", Words: []string{"tin", "zinc", "salt"}}
	for i := range v.Variants {
		v.Variants[i].At[0] = float64(i)
	}
	shows(t, drawnOf(t, v), "curve-kept-heat.svg", ">tin<", ">salt<", ">filler<")
	if got := v.Axes[0].Show(1); got != "zinc" {
		t.Errorf("1 shows as %q", got)
	}
}

func TestALevelAxisGoesByRatioWhereItsLevelsDo(t *testing.T) {
	for _, c := range []struct {
		levels []float64
		want   bool
	}{{[]float64{1, 2, 3, 4, 5, 6}, false}, {[]float64{10, 20, 40, 80}, true}, {[]float64{1, 10, 100}, true}, {[]float64{0, 1, 10, 100}, false}, {[]float64{1, 1.1, 1.3}, false}, {[]float64{20, 80}, false}} {
		if got := byRatio(c.levels); got != c.want {
			t.Errorf("levels %v go by ratio: %v", c.levels, got)
		}
	}
}

func TestASampleIsDrawnWithSpreadAndSensitivity(t *testing.T) {
	v := madeSweep(t, 60, 1, 0.1, false)
	v.Kind = "sample"
	j := &VariedSpread{Response: 0}
	values := make([]float64, len(v.Variants))
	for i := range v.Variants {
		j.Of = append(j.Of, i)
		values[i] = v.Variants[i].value(0)
	}
	var err error
	if j.Spread, err = answer.NewSpread(values); err != nil {
		t.Fatal(err)
	}
	j.MeanLow, j.MeanHigh = j.Spread.MeanWithin(0.95)
	q, err := j.Spread.Quantile(0.5, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	j.Quantiles = []answer.Quantile{q}
	v.Constraints = append(v.Constraints, VariedConstraint{Text: "kept heat at least 3 MJ", Response: 0, Above: 3e6, Below: math.Inf(1)})
	v.Answers = []VariedAnswer{
		{Question: "How is kept heat spread?", Judged: Judged{Spread: j}},
		{Question: "What is behind it?", Judged: Judged{Sensitivity: &VariedSensitivity{Response: 0, Inputs: []int{0}, Found: answer.Sensitivity{First: []answer.Index{{Value: 0.5, Low: 0.4, High: 0.6}}, Total: []answer.Index{{Value: 0.7, Low: 0.6, High: 0.8}}, Mean: 4e6, SD: 1e5, Rows: 20}}}},
	}
	files := drawnOf(t, v)
	shows(t, files, "spread-kept-heat.svg", "50\u2009% below", "of the draws", "kept heat [MJ]", "59 of 60 draws")
	shows(t, files, "sensitivity.svg", "0.50", "0.70", "wool", "kept heat", "mean 4\u00a0MJ")
}

func TestASearchBetweenTwoAimsIsDrawnWithItsFront(t *testing.T) {
	v := madeSweep(t, 12, 1, 0.1, false)
	v.Kind = "search"
	j := &VariedFront{Responses: [2]int{0, 1}, Most: [2]bool{true, false}}
	var all []answer.Outcome
	for i := range v.Variants {
		if o := &v.Variants[i]; o.Failure == "" && o.Meets {
			j.Of = append(j.Of, i)
			all = append(all, answer.Outcome{A: -o.Values[0], B: o.Values[1], UA: 1e4, UB: 1})
		}
	}
	var err error
	if j.Found, err = answer.FrontOf(all, 0.95); err != nil {
		t.Fatal(err)
	}
	v.Present = &Variant{Values: []float64{4e6, 450}}
	v.Answers = []VariedAnswer{{Question: "What does kept heat cost?", Judged: Judged{Front: j}}}
	shows(t, drawnOf(t, v), "front.svg", "present design", "most kept heat: variant", "least block at six: variant", "↓ better", "better →", "misses a constraint")
}

func TestASearchForOneAimIsDrawnWithItsBestAndItsRoom(t *testing.T) {
	v := madeSweep(t, 12, 1, 0.1, false)
	v.Kind = "search"
	v.Answers = []VariedAnswer{{Question: "Which variant has the most?", Judged: Judged{Optimum: &VariedOptimum{Response: 0, Most: true, Met: true, Best: 11, Rooms: []answer.Room{{Low: 0.25, High: 0.3}}}}}}
	shows(t, drawnOf(t, v), "search-kept-heat.svg", ">the best<", ">as good<", ">wool<", "kept heat [MJ]")
	v.Answers[0].Optimum.Met = false
	if s := drawnOf(t, v)["search-kept-heat.svg"]; strings.Contains(s, ">the best<") {
		t.Error("what misses the constraints is called the best")
	}
}

func TestWherePassesStopPayingIsDrawn(t *testing.T) {
	v := &Varied{Name: "passes", Kind: "sweep", Axes: []VariedAxis{{Name: "passes"}}, Responses: []VariedResponse{{Name: "heat at 250", Quantity: history.HeatFlow}}}
	r := answer.Response{Neighbour: 0}
	j := &VariedPays{Worth: 100}
	for i := range 10 {
		y := 3000 * (1 - math.Exp(-float64(i)/3))
		r.X, r.Y, r.U = append(r.X, float64(i)), append(r.Y, y), append(r.U, 5)
		j.Group, j.Control = append(j.Group, i), append(j.Control, VariedControl{float64(i), y / 2, y})
		v.Variants = append(v.Variants, Variant{At: []float64{float64(i)}, Values: []float64{y}})
	}
	j.Points = r
	var err error
	if j.Found, err = answer.PassesPay(r, 100, 0.95); err != nil {
		t.Fatal(err)
	}
	v.Answers = []VariedAnswer{{Question: "Where do more passes stop paying?", Judged: Judged{Pays: j}}}
	shows(t, drawnOf(t, v), "passes.svg", "heat at 250", "[kW]", "100\u00a0W", ">each pays<", ">none pays<")
}

// TestTheVerdictOfWhatPaysIsAWholeSentenceOfTheUncertainty: what is left open is said to be, and no step that is not shown to
// pay is said to.
func TestTheVerdictOfWhatPaysIsAWholeSentenceOfTheUncertainty(t *testing.T) {
	for _, one := range []struct {
		y    []float64
		u    float64
		want string
	}{
		{[]float64{0, 300, 500, 550}, 5, "pays up to 2, none beyond"},
		{[]float64{0, 300, 400, 450}, 5, "pays up to 1, none from 2 on; between, the uncertainty leaves it open"},
		{[]float64{0, 300, 500, 700}, 5, "each pays, to the end of the range"},
		{[]float64{0, 300, 500, 600}, 5, "pays up to 2; beyond, the uncertainty leaves it open"},
		{[]float64{0, 100, 200, 300}, 5, "the uncertainty leaves open whether one more pays"},
		{[]float64{0, 50, 60, 70}, 5, "none is worth it"},
		{[]float64{0, 100, 120, 130}, 5, "none from 1 on pays; before, the uncertainty leaves it open"},
	} {
		r := answer.Response{X: []float64{0, 1, 2, 3}, Y: one.y, U: []float64{one.u, one.u, one.u, one.u}}
		found, err := answer.PassesPay(r, 100, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		if got := paysWords(&found, r.X, func(n float64) string { return fmt.Sprint(n) }); got != one.want {
			t.Errorf("of %v it says %q, not %q", one.y, got, one.want)
		}
	}
}

func TestStudyPicturesAreTheSameEachTimeAndNamedApart(t *testing.T) {
	v := madeSweep(t, 9, 4, 0.03, true)
	v.Responses[0].Name, v.Responses[1].Name = "kept (net)", "Kept [net]"
	files := drawnOf(t, v)
	again := drawnOf(t, v)
	for name, f := range files {
		if again[name] != f {
			t.Errorf("%s differs between two writings", name)
		}
	}
	for _, want := range []string{"curve-kept--net-.svg", "curve-Kept--net--2.svg"} {
		if files[want] == "" {
			t.Errorf("there is no %s", want)
		}
	}
}

func TestHundredThousandVariantsAreDrawnSmall(t *testing.T) {
	for _, v := range []*Varied{madeSweep(t, 100_000, 1, 0.03, false), madeSweep(t, 320, 313, 0.03, false)} {
		p := v.pictures()
		for _, d := range p {
			var b strings.Builder
			if err := d.write(&b); err != nil {
				t.Fatal(err)
			}
			if b.Len() > 1_500_000 {
				t.Errorf("%s takes %d bytes", d.name, b.Len())
			}
		}
		if len(p) != 2 {
			t.Errorf("%d pictures", len(p))
		}
	}
}
