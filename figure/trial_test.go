package figure

import (
	"encoding/xml"
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"
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
	var times, core, front, out, lamp []float64
	for i := range 400 {
		t := 30 * float64(i)
		times = append(times, t)
		core, front = append(core, 20+t/60), append(front, 30+t/55)
		v := math.NaN()
		if i > 300 {
			v = 40
		}
		out = append(out, v)
		lamp = append(lamp, []float64{6000, -12}[min(1, i/200)])
	}
	return Record("A trial of an <invented> receiver & its water", nil, times, []Panel{
		{Title: "Temperature", Unit: degree, Readings: []Reading{{Name: "core", Values: core}, {Name: "front <1>", Values: front}}},
		{Title: "Temperature of the water", Unit: degree, Readings: []Reading{{Name: "circuit with a very long name outlet", Values: out, Water: true}}},
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
