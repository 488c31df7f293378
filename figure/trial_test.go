package figure

import (
	"encoding/xml"
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// madeCharted are invented maps: two trials of different wetted area, and a run that goes farther than they do.
func madeCharted() []Charted {
	one := func(name string, area, from, to, slope float64, computed bool) Charted {
		c := Charted{Name: name, Area: area, Computed: computed, DataLow: from, DataTo: to}
		for t := from; t <= to; t += 5 {
			q := slope * (t - 15)
			c.T, c.Q, c.Low, c.High = append(c.T, t), append(c.Q, q), append(c.Low, q-120), append(c.High, q+120)
			if !computed {
				c.MarksT, c.MarksQ = append(c.MarksT, t+1), append(c.MarksQ, q+30*math.Sin(t))
			}
		}
		return c
	}
	return []Charted{
		one("a trial with & a name <of> many words that goes on", 0.0848, 60, 240, 21, false),
		one("the other", 0.13, 90, 200, 30, false),
		one("run", 0.0848, 40, 300, 22, true),
	}
}

func madeRecordPicture() []byte {
	var times, core, front, out, lamp, beam, pressure []float64
	for i := range 400 {
		t := 30 * float64(i)
		times = append(times, t)
		core, front = append(core, 20+t/60), append(front, 30+t/55)
		v := math.NaN()
		if i > 300 {
			v = 40
		}
		out = append(out, v)
		beam, pressure = append(beam, 1400*math.Sin(t/4000)*math.Sin(t/4000)), append(pressure, 306e3+t)
		lamp = append(lamp, []float64{6000, -12}[min(1, i/200)])
	}
	return Record("A trial of an <invented> receiver & its water", nil, times, []Panel{
		{Title: "Temperature", Unit: degree, Readings: []Reading{{Name: "core", Values: core}, {Name: "front <1>", Values: front}}},
		{Title: "Temperature of the water", Unit: degree, Readings: []Reading{{Name: "circuit with a very long name outlet", Values: out, Water: true}}},
		{Title: "Irradiance", Unit: "W/m2", Zero: true, Readings: []Reading{{Name: "beam", Values: beam}}},
		{Title: "Pressure", Unit: "Pa", Readings: []Reading{{Name: "circuit main pressure", Values: pressure, Water: true}}},
		{Title: "Power", Unit: "W", Zero: true, Readings: []Reading{{Name: "lamp power", Values: lamp}}},
	}, []Stretch{{"heat-up", 0, 6000}, {"hold", 6000, 6200}, {"drain", 6200, 11970}})
}

func madeBalancePicture() []byte {
	return Balance("Heat balance of an <invented> trial", []string{"a sentence & another"}, []Balanced{
		{Title: "Heat-up, from the start to 1 h", Says: "closure 2 ± 3 %", Heats: []Amount{
			{Name: "energy in", Value: 6e6, Half: 4e5, Text: "6.00 ± 0.40 MJ"},
			{Name: "heat stored", Value: 5.5e6, Half: 7e5, Text: "5.50 ± 0.70 MJ"},
			{Name: "losses expected", Value: 3e5, Half: 1e5, Text: "300 ± 100 kJ", Computed: true},
		}},
		{Title: "Drain, from 1 h to 2 h", Heats: []Amount{{Name: "heat stored", Value: -5e6, Half: 6e5, Text: "−5.00 ± 0.60 MJ"}}},
	})
}

// drawn counts the elements of a picture that have all these attributes.
func drawn(t *testing.T, p []byte, element string, attributes ...string) int {
	n := 0
	walk(t, "picture", p, func(e xml.StartElement) {
		has := map[string]string{}
		for _, a := range e.Attr {
			has[a.Name.Local] = a.Value
		}
		all := e.Name.Local == element
		for i := 0; i+1 < len(attributes); i += 2 {
			all = all && has[attributes[i]] == attributes[i+1]
		}
		if all {
			n++
		}
	}, func(string) {})
	return n
}

func TestAMapShowsReadingsAsMarksAndRunsAsALine(t *testing.T) {
	all := madeCharted()
	p := Map("m", nil, all)
	// The first trial's marks are circles; one more names it and one stands at its range.
	if n := drawn(t, p, "circle", "stroke", water); n != len(all[0].MarksT)+2 {
		t.Errorf("%d circles for %d marks", n, len(all[0].MarksT))
	}
	// One line for the run and one for its difference to the trial of the same area; none for a trial.
	if n := drawn(t, p, "path", "fill", "none", "stroke", ink); n != 2 {
		t.Errorf("%d lines in ink for one run over one trial of its area", n)
	}
	if n := drawn(t, p, "path", "fill", "none", "stroke", water); n != 0 {
		t.Errorf("%d lines run through what was measured", n)
	}
	if n := drawn(t, p, "path", "fill", veil); n != 3 { // two maps and the strip
		t.Errorf("%d bands", n)
	}
	s := textsOf(t, "map", p)
	for _, want := range []string{"data from 60 to 240\u2009°C", "data from 90 to 200\u2009°C", "0.0848\u2009m²", "0.130\u2009m²", "kW", "block temperature"} {
		if !strings.Contains(s, want) {
			t.Errorf("the map does not show %q", want)
		}
	}
}

func TestGroundWithoutDataIsHatchedAndRowsThatAreMissingLeaveAGap(t *testing.T) {
	all := madeCharted()[:1]
	if n := drawn(t, Map("m", nil, all), "rect", "fill", "url(#beyond)"); n != 0 {
		t.Errorf("%d hatched grounds where data fills the axis", n) // 60 to 240 are the axis' ends
	}
	all = append(all, madeCharted()[2])
	if n := drawn(t, Map("m", nil, all), "rect", "fill", "url(#beyond)"); n != 2 {
		t.Errorf("%d hatched grounds beside data that ends on both sides", n)
	}
	one := &all[0]
	cut := func(v []float64) []float64 { return append(append([]float64(nil), v[:10]...), v[20:]...) }
	one.T, one.Q, one.Low, one.High = cut(one.T), cut(one.Q), cut(one.Low), cut(one.High)
	if n := drawn(t, Map("m", nil, all[:1]), "path", "fill", veil); n != 2 {
		t.Errorf("the band of a map with a gap has %d parts", n)
	}
}

func TestTheStripOfAMapIsComputedLessMeasured(t *testing.T) {
	all := madeCharted()
	p := string(Map("m", nil, all))
	// At the left end of the first trial the run lies 45 W above, at the right 225 W: the line of the strip rises.
	d := regexp.MustCompile(`<path d="([^"]+)" fill="none" stroke="`+ink+`"`).FindAllStringSubmatch(p, -1)
	if len(d) != 2 {
		t.Fatalf("%d lines", len(d))
	}
	points := regexp.MustCompile(`[ML]([\d.]+) ([\d.]+)`).FindAllStringSubmatch(d[1][1], -1)
	var first, last float64
	_, _ = fmt.Sscan(points[0][2], &first)
	_, _ = fmt.Sscan(points[len(points)-1][2], &last)
	if !(first > last+10) {
		t.Errorf("the difference goes from %v px to %v px", first, last)
	}
}

func TestARecordShowsEveryPhaseAndNoLineThroughReadings(t *testing.T) {
	p := madeRecordPicture()
	s := textsOf(t, "record", p)
	for _, want := range []string{"heat-up", "hold", "drain", "core", "circuit with a very long name outlet", "kW", "min"} {
		if !strings.Contains(s, want) {
			t.Errorf("the record does not show %q", want)
		}
	}
	if strings.Contains(s, "…") {
		t.Errorf("a text is cut: %s", s)
	}
	for _, l := range strings.Split(s, "\n") { // a number and its unit have some 72 px to the left of the axis
		if strings.HasSuffix(l, "W/m2") || strings.HasSuffix(l, "Pa") || strings.HasSuffix(l, "kW") {
			if w := widthOf(numbers, l); w > 72 {
				t.Errorf("%q takes %v px", l, w)
			}
		}
	}
	if strings.Contains(s, "−") {
		t.Errorf("a power that reads a little below zero takes the axis below it: %s", s)
	}
	if n := drawn(t, p, "line", "stroke-dasharray", "2 2"); n != 4 {
		t.Errorf("%d borders of phases", n)
	}
	for _, colour := range []string{ink, water} {
		if n := drawn(t, p, "path", "fill", "none", "stroke", colour); n != 0 {
			t.Errorf("%d lines are drawn through readings", n)
		}
	}
}

func TestABalanceDrawsHeatsToOneScale(t *testing.T) {
	p := madeBalancePicture()
	widths := map[string]float64{}
	for _, m := range regexp.MustCompile(`<rect x="[\d.]+" y="([\d.]+)" width="([\d.]+)" height="8"`).FindAllStringSubmatch(string(p), -1) {
		var w float64
		_, _ = fmt.Sscan(m[2], &w)
		widths[m[1]] = w
	}
	var all []float64
	for _, w := range widths {
		all = append(all, w)
	}
	if len(all) != 4 {
		t.Fatalf("%d bars", len(all))
	}
	sum := 0.0
	for _, w := range all {
		sum += w
	}
	for _, heat := range []float64{6, 5.5, 0.3, 5} { // MJ, 16.8 together
		found := false
		for _, w := range all {
			found = found || math.Abs(w/sum-heat/16.8) < 1e-3
		}
		if !found {
			t.Errorf("no bar is as wide as %v MJ among %v", heat, all)
		}
	}
}

func TestWrappedTextKeepsEveryWordAndItsWidth(t *testing.T) {
	s := "circuit main outlet of the receiver in the yard"
	lines := wrap(captions, s, 90)
	if strings.Join(lines, " ") != s {
		t.Errorf("%q became %q", s, lines)
	}
	for _, l := range lines {
		if widthOf(captions, l) > 90 {
			t.Errorf("%q is wider than asked", l)
		}
	}
	if got := wrap(names, "3.5\u2009kW", 10); len(got) != 1 {
		t.Errorf("a number left its unit: %q", got)
	}
}

// madeCompared are two invented trials that drift apart.
func madeCompared(over Over) []byte {
	var a, b Course
	var g Gap
	a.Name, b.Name = "a trial <a>", "a trial & its other day, with many words in its name"
	for i := range 40 {
		x := 60 * float64(i)
		if !over.Time {
			x = 40 + 6*float64(i)
		}
		a.X, a.Y = append(a.X, x), append(a.Y, 100-float64(i))
		b.X, b.Y = append(b.X, x), append(b.Y, 100-0.9*float64(i))
		g.X, g.D = append(g.X, x), append(g.D, 0.1*float64(i))
	}
	g.B, g.Bound, g.Least, g.Says = 1, 3.6, 2.8, []string{"agree within 3.6 K", "differ by at least 2.8 K somewhere"}
	for k := range 4 {
		g.Pieces = append(g.Pieces, GapPiece{g.X[10*k], g.X[10*k+9], float64(k) + 0.45, 0.15})
	}
	return Compare("Two trials of an <invented> receiver", []string{"a sentence & another"}, over, []Course{a, b}, []Gap{g})
}

func TestAComparisonShowsDifferenceBandAndBound(t *testing.T) {
	p := madeCompared(Over{Time: true, What: "Block", Unit: "K"})
	if n := drawn(t, p, "rect", "fill", veil); n != 4 {
		t.Errorf("%d tints for four pieces", n)
	}
	if n := drawn(t, p, "line", "stroke-dasharray", "7 3"); n != 2 {
		t.Errorf("%d lines show the bound", n)
	}
	if n := drawn(t, p, "path", "fill", "none"); n != 0 {
		t.Errorf("%d lines run through what was measured", n)
	}
	s := textsOf(t, "comparison", p)
	for _, want := range []string{"agree within 3.6 K", "less", "a trial <a>"} {
		if !strings.Contains(s, want) {
			t.Errorf("the comparison does not show %q", want)
		}
	}
	if strings.Contains(s, "…") {
		t.Errorf("a text is cut: %s", s)
	}
	var many []Gap
	for range mostGaps + 3 {
		many = append(many, Gap{B: 1, Bound: math.Inf(1)})
	}
	if s := textsOf(t, "many", Compare("", nil, Over{Unit: "W"}, []Course{{Name: "a"}, {Name: "b"}}, many)); !strings.Contains(s, "and 3 more pairs") {
		t.Errorf("pairs are left out in silence: %s", s)
	}
}

// madeKnown are three invented parameters, one of them known from few degrees of freedom.
func madeKnown() ([]Known, [][]float64) {
	known := []Known{
		{Name: "contact", Unit: "W/(m2 K)", Value: 335.28, SD: 2.83, Freedom: 94, Lower: 329.67, Upper: 340.9},
		{Name: "conductivity of the insulation <wool> & board", Unit: "W/(m K)", Value: 0.0588, SD: 0.0043, Freedom: 12, Lower: 0.0513, Upper: 0.0682, Profiled: true},
		{Name: "absorptance", Value: 0.853, SD: 0.0055, Lower: 0.843, Upper: 0.865},
	}
	return known, [][]float64{{1, 0.4, 0.1}, {0.4, 1, 0.83}, {0.1, 0.83, 1}}
}

// TestEllipsesHoldWhatTheySay holds the size of the ellipses to the F distribution of a numerical library.
func TestEllipsesHoldWhatTheySay(t *testing.T) {
	for _, share := range []float64{0.68, 0.95} {
		for _, freedom := range []float64{3, 12, 94, 1e4} {
			want := math.Sqrt(2 * distuv.F{D1: 2, D2: freedom}.Quantile(share))
			if got := holding(share, freedom); math.Abs(got-want) > 1e-6*want {
				t.Errorf("%v of a pair of %v degrees of freedom: %v, the library has %v", share, freedom, got, want)
			}
		}
		want := math.Sqrt(distuv.ChiSquared{K: 2}.Quantile(share))
		if got := holding(share, 0); math.Abs(got-want) > 1e-9*want {
			t.Errorf("%v of a pair: %v, the library has %v", share, got, want)
		}
	}
}

// TestDrawnEllipsesHoldTheirShare draws a pair and counts how many of many draws of the two parameters lie within the
// ellipses on the paper.
func TestDrawnEllipsesHoldTheirShare(t *testing.T) {
	a, b := Known{Value: 10, SD: 2}, Known{Value: -3, SD: 0.1}
	const r, side = 0.7, 200.0
	c := newCanvas(300, 300, "", "")
	pair(c, a, b, r, 0, 0, side)
	var polygons [][][2]float64
	for _, m := range regexp.MustCompile(`<path d="([^"]+)Z"`).FindAllStringSubmatch(c.b.String(), -1) {
		var p [][2]float64
		for _, q := range regexp.MustCompile(`[ML]([\d.]+) ([\d.]+)`).FindAllStringSubmatch(m[1], -1) {
			var x, y float64
			_, _ = fmt.Sscan(q[1]+" "+q[2], &x, &y)
			p = append(p, [2]float64{x, y})
		}
		polygons = append(polygons, p)
	}
	if len(polygons) != 2 {
		t.Fatalf("%d ellipses", len(polygons))
	}
	inside := func(p [][2]float64, x, y float64) bool {
		in := false
		for i, j := 0, len(p)-1; i < len(p); j, i = i, i+1 {
			if (p[i][1] > y) != (p[j][1] > y) && x < (p[j][0]-p[i][0])*(y-p[i][1])/(p[j][1]-p[i][1])+p[i][0] {
				in = !in
			}
		}
		return in
	}
	aLo, aHi := reach(a)
	bLo, bHi := reach(b)
	rng := rand.New(rand.NewPCG(7, 11))
	const draws = 40_000
	held := [2]int{}
	for range draws {
		u, w := rng.NormFloat64(), rng.NormFloat64()
		va, vb := a.Value+a.SD*u, b.Value+b.SD*(r*u+math.Sqrt(1-r*r)*w)
		x, y := side*(va-aLo)/(aHi-aLo), side*(1-(vb-bLo)/(bHi-bLo))
		for k := range held {
			if inside(polygons[k], x, y) {
				held[k]++
			}
		}
	}
	for k, want := range []float64{0.95, 0.68} {
		// Three standard deviations of the count are 0.007; a polygon of 72 corners lacks 0.1 % of its ellipse's area.
		if got := float64(held[k]) / draws; math.Abs(got-want) > 0.009 {
			t.Errorf("the ellipse of %v holds %v", want, got)
		}
	}
}

func TestACornerCutsNothingAndSaysWhatItShows(t *testing.T) {
	known, r := madeKnown()
	s := textsOf(t, "corner", Corner("c", known, r))
	for _, want := range []string{"Ellipses hold 95 and 68\u2009%", "95\u2009% interval", "335.3\u2009W/(m2 K)", "329.7 to 340.9", "0.83", "follows the"} {
		if !strings.Contains(s, want) {
			t.Errorf("the corner does not show %q in\n%s", want, s)
		}
	}
	if strings.Contains(s, "…") {
		t.Errorf("a text is cut: %s", s)
	}
	for _, m := range regexp.MustCompile(`(?m)^−?[\d.\x{2009}]+$`).FindAllString(s, -1) {
		if n := len(strings.Trim(strings.ReplaceAll(m, ".", ""), "−0")); n > 3 {
			t.Errorf("a tick reads %q", m)
		}
	}
}

func madeFit() []byte {
	f := Fitted{Name: "circuit main outlet of the receiver <in> the yard", Unit: degree}
	for i := range 60 {
		f.Time, f.Computed = append(f.Time, 60*float64(i)), append(f.Computed, 20+float64(i))
		f.Measured, f.Band = append(f.Measured, 19+float64(i)), append(f.Band, 2)
	}
	return Fit("A trial of an <invented> receiver", []Fitted{f})
}

func TestAFitShowsComputedLessMeasuredAndCutsNothing(t *testing.T) {
	p := madeFit()
	s := textsOf(t, "fit", p)
	if strings.Contains(s, "…") {
		t.Errorf("a text is cut: %s", s)
	}
	// The model reads 1 K more throughout: in the strip, whose zero is a line in ink, every mark stands above it.
	zero := regexp.MustCompile(`<line x1="62" y1="([\d.]+)" x2="790" y2="[\d.]+" stroke="` + ink + `"`).FindSubmatch(p)
	if zero == nil {
		t.Fatal("the strip has no zero")
	}
	var at float64
	_, _ = fmt.Sscan(string(zero[1]), &at)
	marks := regexp.MustCompile(`<circle cx="[\d.]+" cy="([\d.]+)" r="1.7"`).FindAllSubmatch(p, -1)
	if len(marks) != 120 {
		t.Fatalf("%d marks for 60 rows and their differences", len(marks))
	}
	for i := 1; i < len(marks); i += 2 {
		var y float64
		if _, _ = fmt.Sscan(string(marks[i][1]), &y); !(y < at-5) {
			t.Fatalf("a difference of +1 K stands at %v px, zero at %v", y, at)
		}
	}
}

func TestBarsThatRunOutOfTheAxisSayWhereTheyEnd(t *testing.T) {
	p := Foresight("p", "one more sensor", []Foreseen{{
		Name: "contact", Unit: "W/(m2 K)", Value: 400, BoundLow: 380, BoundTop: 1500, ByBounds: true,
		Before: [2]float64{380, 1500}, Planned: [2]float64{390, 410}, Best: [2]float64{395, 405},
	}})
	s := textsOf(t, "plan", p)
	// The axis ends at 450: there the band before goes on to 1500. On the left it ends at the bound, which is a stop.
	for _, want := range []string{"1\u2009500", "An arrow: the band goes on", "With best, what would help most: one more sensor.", "before, bounds", "±\u2009560"} {
		if !strings.Contains(s, want) {
			t.Errorf("the plan does not show %q in\n%s", want, s)
		}
	}
	if n := drawn(t, p, "path", "fill", ink); n != 1 {
		t.Errorf("%d arrows for one bar that runs out on one side", n)
	}
	if n := drawn(t, p, "line", "stroke-width", "3"); n != 1 {
		t.Errorf("%d stops for one bound on the axis", n)
	}
}

func TestLinesOfOneColourDifferInTheirKind(t *testing.T) {
	r := madeResult(madeReceiver())
	p := History(r, "")
	kinds := map[string]int{}
	walk(t, "history", p, func(e xml.StartElement) {
		a := map[string]string{}
		for _, x := range e.Attr {
			a[x.Name.Local] = x.Value
		}
		if e.Name.Local == "path" && a["fill"] == "none" && a["stroke"] != water && a["stroke-linejoin"] == "round" && len(a["d"]) > 40 { // no sample
			kinds[a["stroke"]+a["stroke-width"]+"/"+a["stroke-dasharray"]]++
		}
	}, func(string) {})
	// The mean and three sensors of the invented receiver, and the lines of heat flows.
	temperatures := 0
	for k, n := range kinds {
		if n > 1 {
			t.Errorf("%d lines are drawn as %s", n, k)
		}
		temperatures += n
	}
	if temperatures < 4 {
		t.Errorf("%d lines", temperatures)
	}
}

func TestTicksOfACellNeitherMeetNorAreMissing(t *testing.T) {
	for _, c := range []struct{ lo, hi, px float64 }{
		{0.8907, 1.686, 96}, {2700, 6300, 108}, {0.985, 1.035, 96}, {-4.1, 14.6, 96}, {325.5, 345, 200}, {0.04407, 0.07349, 112}, {-20, 50, 96}, {-1.05, 1.15, 108}, {3100, 7100, 108},
	} {
		all := nice(c.lo, c.hi, c.px)
		if len(all) < 2 {
			t.Errorf("from %v to %v over %v px: %v", c.lo, c.hi, c.px, all)
		}
		for i := 1; i < len(all); i++ {
			apart := (all[i].at - all[i-1].at) / (c.hi - c.lo) * c.px
			if room := (widthOf(numbers, all[i].text) + widthOf(numbers, all[i-1].text)) / 2; apart < room {
				t.Errorf("%q and %q stand %v px apart and take %v", all[i-1].text, all[i].text, apart, room)
			}
		}
	}
}
