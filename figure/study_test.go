package figure

import (
	"encoding/xml"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"emberbank/internal/testkit"
)

// studyPictures draws every kind of picture of a study from invented ones, small, usual and large.
func studyPictures() map[string][]byte {
	return map[string][]byte{
		"curve plateau": madeCurve(13, true), "curve trend": madeCurve(13, false), "curve of 2": madeCurve(2, true), "curve of 60": madeCurve(60, false), "curve to 700": madeCurveTo700(),
		"curves 4": madeCurves(4, 9, false), "curves 12": madeCurves(12, 9, true), "curves 60": madeCurves(60, 30, true),
		"words": madeWordy(4, 1), "words 60": madeWordy(60, 1), "words of 3": madeWordy(3, 3),
		"map": madeTerrain(11, 9, false, false), "map of temperatures": madeTerrain(11, 9, false, true), "map of words": madeTerrain(6, 4, true, false),
		"map 60": madeTerrain(60, 4, true, false), "map 3": madeTerrain(3, 2, false, false),
		"sensitivity": madeSensitivity(4), "sensitivity 60": madeSensitivity(60),
		"spread": madeSpreading(256, false), "spread 12": madeSpreading(12, false), "spread even": madeSpreading(12, true),
		"front": madeFront(60, false), "front 2": madeFront(2, false), "front 12": madeFront(12, false), "front even": madeFront(12, true),
		"passes": madePasses(2, 16), "passes 6": madePasses(6, 3), "sections": madeSections(3),
		"optimum": madeOptimum(3, 40), "optimum of 7": madeOptimum(7, 60), "optimum of 1": madeOptimum(1, 2),
	}
}

func TestStudyPicturesMatchTheirGoldenFiles(t *testing.T) {
	for name, picture := range map[string]string{
		"study-curve": "curve trend", "study-plateau": "curve plateau", "study-curves": "curves 4", "study-words": "words of 3", "study-map": "map", "study-table": "map of words",
		"study-sensitivity": "sensitivity", "study-spread": "spread", "study-front": "front", "study-passes": "passes", "study-optimum": "optimum",
	} {
		matchesGolden(t, name, studyPictures()[picture])
	}
}

// placed is a level text of a picture with the paper that it takes; widths are estimated on the wide side, so a tenth is let go.
type placed struct {
	text string
	patch
}

func textsPlaced(t *testing.T, name string, p []byte) (out []placed, w, h float64) {
	t.Helper()
	var now *xml.StartElement
	walk(t, name, p, func(e xml.StartElement) {
		now = nil
		if e.Name.Local == "svg" {
			for _, a := range e.Attr {
				switch a.Name.Local {
				case "width":
					w, _ = strconv.ParseFloat(a.Value, 64)
				case "height":
					h, _ = strconv.ParseFloat(a.Value, 64)
				}
			}
		}
		if e.Name.Local == "text" {
			e = e.Copy()
			now = &e
		}
	}, func(s string) {
		if now == nil || strings.TrimSpace(s) == "" {
			return
		}
		a := map[string]string{}
		for _, x := range now.Attr {
			a[x.Name.Local] = x.Value
		}
		now = nil
		if a["transform"] != "" {
			return
		}
		style := map[string]int{"11": numbers, "12.5": names, "13.5": captions, "18": sentence}[a["font-size"]]
		x, _ := strconv.ParseFloat(a["x"], 64)
		y, _ := strconv.ParseFloat(a["y"], 64)
		b := patchOf(style, x, y, a["text-anchor"], s)
		trim := (b.x1 - b.x0) * 0.05
		out = append(out, placed{s, patch{b.x0 + trim, b.y0 + 2, b.x1 - trim, b.y1 - 2}})
	})
	return out, w, h
}

func TestTextsOfStudyPicturesKeepClearOfEachOtherAndInside(t *testing.T) {
	for name, p := range studyPictures() {
		if name == "sections" {
			continue // temperatures on isotherms keep clear by other means
		}
		all, w, h := textsPlaced(t, name, p)
		if len(all) < 6 {
			t.Errorf("%s holds only %d texts", name, len(all))
		}
		for i, a := range all {
			if a.x0 < 0 || a.x1 > w || a.y0 < 0 || a.y1 > h {
				t.Errorf("%s: %q at %.0f..%.0f, %.0f leaves the picture of %.0f by %.0f", name, a.text, a.x0, a.x1, a.y1, w, h)
			}
			for _, b := range all[:i] {
				if !apart(a.patch, []patch{b.patch}) {
					t.Errorf("%s: %q at %.0f, %.0f and %q at %.0f, %.0f lie over one another", name, a.text, a.x0, a.y1, b.text, b.x0, b.y1)
				}
			}
		}
	}
}

func TestStudyPicturesGiveTheSameBytesAndAreWellFormed(t *testing.T) {
	first := studyPictures()
	for name, p := range studyPictures() {
		if string(p) != string(first[name]) {
			t.Errorf("%s differs between two drawings", name)
		}
		ids := map[string]bool{}
		walk(t, name, p, func(e xml.StartElement) {
			for _, a := range e.Attr {
				if strings.Contains(a.Value, "NaN") || strings.Contains(a.Value, "Inf") {
					t.Errorf("%s: %s holds %q", name, e.Name.Local, a.Value)
				}
				if a.Name.Local == "id" {
					if ids[a.Value] {
						t.Errorf("%s: the id %q stands twice", name, a.Value)
					}
					ids[a.Value] = true
				}
			}
		}, func(string) {})
	}
}

func TestAPlateauIsDrawnFromWhereItBeginsAndATrendBeyondTheRange(t *testing.T) {
	plateau := textsOf(t, "plateau", madeCurve(13, true))
	for _, want := range []string{"plateau from 150 mm on", "300\u00a0kJ", "studied", "plateau", "kept at least 4.2 MJ", "failed", "misses a constraint", "heat kept after a night [MJ]", "200\u2009mm"} {
		if !strings.Contains(strings.ReplaceAll(plateau, "\n", " "), want) {
			t.Errorf("the plateau's picture does not show %q", want)
		}
	}
	if strings.Contains(plateau, "if there is one") {
		t.Error("a shown plateau is put in question")
	}
	trend := strings.ReplaceAll(textsOf(t, "trend", madeCurve(13, false)), "\n", " ")
	for _, want := range []string{"not within this range", "a plateau begins here, if there is one", "power law, to 6.6 MJ", "declining exponential", "5.9"} {
		if !strings.Contains(trend, want) {
			t.Errorf("the trend's picture does not show %q: %s", want, trend)
		}
	}
	if n := strings.Count(string(madeCurve(13, false)), `stroke-dasharray="7 3 1.5 3"`); n != 2 {
		t.Errorf("%d trends are dashed, want 2", n)
	}
}

// The band is as high as the margin on the axis, from where the plateau begins to the end.
func TestTheMarginIsDrawnToScale(t *testing.T) {
	p := madeCurve(13, true)
	var x, y, w, h float64
	n := 0
	walk(t, "margin", p, func(e xml.StartElement) {
		a := map[string]string{}
		for _, v := range e.Attr {
			a[v.Name.Local] = v.Value
		}
		if e.Name.Local == "rect" && a["fill"] == hair {
			n++
			x, _ = strconv.ParseFloat(a["x"], 64)
			y, _ = strconv.ParseFloat(a["y"], 64)
			w, _ = strconv.ParseFloat(a["width"], 64)
			h, _ = strconv.ParseFloat(a["height"], 64)
		}
	}, func(string) {})
	if n != 1 {
		t.Fatalf("%d margins are drawn", n)
	}
	// The axis runs from 2.5 to 6 MJ over 330 px; the margin is 0.3 MJ. The range of 20 to 200 mm has 3 and 5 % beside it.
	if want := 330 * 0.3 / 3.5; math.Abs(h-want) > 0.02 {
		t.Errorf("the margin is %v px high, want %v", h, want)
	}
	perMM := (736 - 62) / (180 * 1.08)
	if want := 50 * perMM; math.Abs(w-want) > 0.02 {
		t.Errorf("the plateau is %v px wide, want %v", w, want)
	}
	if x < 62 || y < 60 {
		t.Errorf("the margin stands at %v, %v", x, y)
	}
}

func TestAFrontsStepsNeverPromiseMoreThanItsVariants(t *testing.T) {
	f := &front{Front: Front{MostY: true, A: []float64{1, 3}, B: []float64{1, 2}, Order: []int{0, 1}}, c: newCanvas(100, 100, "", "")}
	f.x, f.y = lay(Studied{}, 0, 4, 0, 100), lay(Studied{}, 0, 4, 100, 0)
	f.steps()
	// The least of A and the most of B are wanted: from (1, 1) to (3, 2) the step runs level to 3 and then up.
	if s := f.c.b.String(); !strings.Contains(s, `d="M25 75L75 75L75 50"`) {
		t.Errorf("the step is %s", s)
	}
	f.c, f.MostX = newCanvas(100, 100, "", ""), true
	f.A, f.B = []float64{1, 3}, []float64{2, 1}
	f.steps()
	// The most of both: from (1, 2) to (3, 1) first down, then to the right.
	if s := f.c.b.String(); !strings.Contains(s, `d="M25 50L25 75L75 75"`) {
		t.Errorf("the step of two mosts is %s", s)
	}
}

func TestGreysOfAMapFallInEqualStepsOfLightness(t *testing.T) {
	before := 2.0
	for i := range 21 {
		var r, g, b int
		fmt.Sscanf(tone(float64(i)/20), "#%02X%02X%02X", &r, &g, &b)
		y := 0.2126*linear(r) + 0.7152*linear(g) + 0.0722*linear(b)
		l := math.Cbrt(y) // lightness in OKLab of what is almost grey
		if i > 0 && math.Abs(before-l-0.545/20) > 0.006 {
			t.Errorf("step %d falls by %.4f, want %.4f", i, before-l, 0.545/20)
		}
		before = l
	}
}

func TestStudyPicturesOfOddNumbersStillDraw(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for what, y := range map[string][]float64{
		"none": {nan, nan, nan}, "one": {nan, 3, nan}, "even": {7, 7, 7}, "zero": {0, 0, 0}, "endless": {1, inf, 2},
		"huge": {3e12, 5e12, 9e12}, "tiny": {2e-9, 3e-9, 8e-9}, "apart": {1e-6, 1, 1e9},
	} {
		x := []float64{1e-3, 1, 1e3}
		fate := []Fate{Meets, Misses, Failed}
		limits := []Limit{{At: 1, Says: "at least 1"}, {At: 1e15, Most: true, Says: "at most a lot"}}
		of, ratio := Studied{Name: "y", Unit: "J"}, Studied{Name: "x", Unit: "m", Ratio: true}
		v := &StudyVerdict{Plateau: true, From: 1, Margin: 1e-3, Above: nan, Says: "plateau"}
		pictures := map[string][]byte{
			"curve":  StudyCurves(what, nil, ratio, of, []StudyLine{{X: x, Y: y, Low: y, High: y, Fate: fate, Verdict: v}}, limits),
			"linear": StudyCurves(what, nil, Studied{Name: "x"}, Studied{Name: "y", Ratio: true}, []StudyLine{{Name: "a", X: x, Y: y, Fate: fate}, {Name: "b", X: x, Y: y, Fate: fate}}, nil),
			"empty":  StudyCurves(what, nil, ratio, of, nil, limits),
			"map":    StudyMap(what, nil, of, Terrain{X: ratio, Y: Studied{Name: "z"}, U: x, V: []float64{0, 1}, F: append(append([]float64(nil), y...), y...), Fate: append(append([]Fate(nil), fate...), fate...), Best: -1}),
			"contours": func() []byte {
				m := Terrain{X: Studied{Name: "x"}, Y: Studied{Name: "z"}, U: []float64{0, 1, 2, 3}, V: []float64{0, 1, 2, 3}, Best: 5}
				for i := range 16 {
					m.F, m.Fate = append(m.F, y[i%3]), append(m.Fate, fate[i%3])
				}
				m.Borders = []Border{{limits[0], m.F}}
				return StudyMap(what, nil, of, m)
			}(),
			"spread": Spread(what, nil, Spreading{Of: of, Values: y, Limits: limits, Mean: Share{nan, nan, nan}, Quantiles: []Quantile{{0.5, Share{1, -inf, inf}}}}),
			"front":  Pareto(what, nil, Front{X: of, Y: of, A: y, B: y, Standing: []Standing{Undefeated, Untold, Beaten}, Fate: fate, Order: []int{0}, UA: y, UB: y, Chosen: []Chosen{{A: 1, B: nan, Says: "a"}}}),
			"passes": Passes(what, nil, Studied{Name: "passes"}, of, Limit{At: nan}, []PassLine{{Name: "a", N: []float64{0, 1, 2}, Q: y, PaysTo: nan, StopsAt: nan, Gains: []PassGain{{0, 1, y[0], y[1], DoesPay}}}}),
			"search": Optimum(what, nil, of, y, fate, 0, limits, []Searched{{Axis: ratio, X: x, Low: nan, High: 1}}),
			"bars":   Sensitivity(what, nil, []Influences{{Response: "y", All: []Influence{{"a", Share{y[0], y[1], y[2]}, Share{nan, nan, nan}}}}, {Response: "none"}}),
		}
		for name, p := range pictures {
			walk(t, what+" "+name, p, func(e xml.StartElement) {
				for _, a := range e.Attr {
					if strings.Contains(a.Value, "NaN") || strings.Contains(a.Value, "Inf") {
						t.Errorf("%s of %s: %s holds %q", name, what, e.Name.Local, a.Value)
					}
				}
			}, func(string) {})
			if len(p) > 200_000 {
				t.Errorf("%s of %s takes %d bytes", name, what, len(p))
			}
		}
	}
	if got := string(Sections("none", nil, nil, Range{})); !strings.Contains(got, "</svg>") {
		t.Error("an empty sheet is no picture")
	}
}

// TestAHundredThousandVariantsTakeNoMoreInkThanCanBeTold: files stay small, whatever the count.
func TestAHundredThousandVariantsTakeNoMoreInkThanCanBeTold(t *testing.T) {
	const n = 100_000
	x, y, low, high, fate := madeWool(n, false)
	line := StudyLine{X: x, Y: y, Low: low, High: high, Fate: fate}
	f := Front{X: madeAxis, Y: madeResponse, A: y, B: x, UA: low, UB: high, Standing: make([]Standing, n), Fate: fate}
	for name, p := range map[string][]byte{
		"curve":  StudyCurves("many", nil, madeAxis, madeResponse, []StudyLine{line}, madeLimit),
		"map":    madeTerrain(316, 316, false, true),
		"cells":  madeTerrain(25_000, 4, true, false),
		"spread": Spread("many", nil, Spreading{Of: madeResponse, Values: y, Mean: Share{math.NaN(), 0, 0}}),
		"front":  Pareto("many", nil, f),
	} {
		if len(p) > 2_000_000 {
			t.Errorf("%s takes %d bytes", name, len(p))
		}
	}
}

func matchesGolden(t *testing.T, name string, got []byte) {
	t.Helper()
	file := "testdata/" + name + ".svg"
	if testkit.Updating() {
		if err := os.WriteFile(file, got, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if !same(string(want), string(got)) {
		t.Errorf("%s differs from %s; look at both, then make golden rewrites it if the change is wanted", name, file)
	}
}
