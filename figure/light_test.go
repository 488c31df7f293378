package figure

import (
	"bytes"
	"math"
	"regexp"
	"strings"
	"testing"

	"emberbank/block"
)

// madeSpot is an invented round spot beside the middle of an oblong window.
func madeSpot() Spot {
	s := Spot{
		Window: [4]float64{-0.05, 0.05, -0.03, 0.03}, Peak: [2]float64{0.01, -0.005}, PeakSays: []string{"peak 400 <kW/m²>", "burns & blinds"}, WindowSays: "window & edge",
		Given: []Given{
			{File: "receiver.yaml", Path: "window.width", Text: "100 mm", What: "width of the window", Kind: GivenWindow, Axis: block.Width, From: -0.05, To: 0.05},
			{What: "height of the window", Kind: GivenWindow, Axis: block.Height, From: -0.03, To: 0.03},
		},
	}
	for i := range 25 {
		s.Width = append(s.Width, -0.06+0.005*float64(i))
	}
	for j := range 17 {
		s.Height = append(s.Height, -0.04+0.005*float64(j))
	}
	for _, h := range s.Height {
		for _, w := range s.Width {
			s.Flux = append(s.Flux, 400*math.Exp(-((w-0.01)*(w-0.01)+(h+0.005)*(h+0.005))/(2*0.015*0.015)))
		}
	}
	return s
}

func madeCatch() Catch {
	k := Catch{Name: "square <windows> by their width", OtherName: "round windows", At: 80, AtSays: "this & that"}
	for i := range 41 {
		x := 5 * float64(i)
		y := math.Pow(math.Erf(x/60), 2)
		k.Size, k.Share, k.Other = append(k.Size, x), append(k.Share, y), append(k.Other, 0.9*y)
		k.Low, k.High = append(k.Low, math.Max(0, y-0.05)), append(k.High, math.Min(1, y+0.04))
	}
	return k
}

// TestFluxHasNoColourOfTemperature: light is no temperature, and each step of it is one veil more.
func TestFluxHasNoColourOfTemperature(t *testing.T) {
	b := Flux("a", nil, madeSpot(), Place{})
	if m := regexp.MustCompile(`(fill|stroke)-(t|tone)[0-9]`).Find(b); m != nil {
		t.Errorf("the picture uses %s", m)
	}
	if n := bytes.Count(b, []byte(`class="fill-light"`)); n < 7 {
		t.Errorf("%d steps of light are drawn", n)
	}
	for _, want := range []string{">350<", ">50<", "peak 400 &lt;kW/m²&gt;", "window &amp; edge"} {
		if !bytes.Contains(b, []byte(want)) {
			t.Errorf("the picture lacks %s", want)
		}
	}
}

func madeKeeping() Keeping {
	k := Keeping{
		Unit: "kW", Name: "square <windows>", Best: 140, BestSays: "140 mm & best", From: 120, To: 165, FlatSays: "120 to 165 mm: less than 1 % less", At: 100, AtSays: "now 100 mm",
		Lines: []Kept{{Name: "with glass"}, {Name: "without <glass>"}},
	}
	for i := range k.Lines {
		l := &k.Lines[i]
		for n := range 41 {
			x := 5 * float64(n)
			taken, lost := 3*math.Pow(math.Erf(x/70), 2), (1+float64(i))*x*x*3e-5
			l.Size, l.Keeps, l.Taken, l.Lost = append(l.Size, x), append(l.Keeps, taken-lost), append(l.Taken, taken), append(l.Lost, lost)
			l.Low, l.High = append(l.Low, taken-lost-0.1), append(l.High, taken-lost+0.1)
		}
	}
	k.Lines[1].Taken, k.Lines[1].Lost = nil, nil
	return k
}

func madeWent() []Went {
	return []Went{{"gaps & missing mirrors", 840}, {"stopped by <arms>", 0}, {"beside the window", 330}, {"in the window", 2980}}
}

// TestLengthsOfAWindowOpenWhereTheyStand: what a file states can be touched.
func TestLengthsOfAWindowOpenWhereTheyStand(t *testing.T) {
	svg := string(Flux("a", nil, madeSpot(), Place{400, 420}))
	if n := strings.Count(svg, `class="given"`); n != 1 || !strings.Contains(svg, `data-path="window.width"`) || !strings.Contains(svg, `role="group"`) {
		t.Errorf("%d lengths can be touched", n)
	}
	if !strings.Contains(svg, ">100<") || !strings.Contains(svg, ">60<") {
		t.Error("the lengths' numbers are missing")
	}
}

// TestTheCautionStandsAtThePeak: the sign of danger, at the number.
func TestTheCautionStandsAtThePeak(t *testing.T) {
	for _, at := range []Place{{}, {400, 420}} {
		svg := string(Flux("a", nil, madeSpot(), at))
		sign, peak := strings.Index(svg, "fill-sign "), strings.Index(svg, "peak 400 &lt;kW/m²&gt;</text>")
		if sign < 0 {
			sign = strings.Index(svg, `fill-sign"`)
		}
		if sign < 0 || peak < sign {
			t.Errorf("the sign stands at %d, the number at %d", sign, peak)
		}
	}
}

// TestWhatMayStillMoveIsDashed: lines of a coarse cast.
func TestWhatMayStillMoveIsDashed(t *testing.T) {
	dashed := func(b []byte) int { return bytes.Count(b, []byte(`stroke-dasharray="5 2.5"`)) }
	s, k, w := madeSpot(), madeCatch(), madeKeeping()
	for _, coarse := range []bool{false, true} {
		s.Coarse, k.Coarse, w.Coarse = coarse, coarse, coarse
		for name, b := range map[string][]byte{"flux": Flux("a", nil, s, Place{}), "intercept": Intercept("a", nil, k, Place{}), "keeps": Keeps("a", nil, w, Place{})} {
			if (dashed(b) > 0) != coarse {
				t.Errorf("%s, coarse %v: %d dashed lines", name, coarse, dashed(b))
			}
		}
	}
}

// TestStreamsOfLightAreAsWideAsTheirPower, in the colour of light alone; nothing is a dry bed.
func TestStreamsOfLightAreAsWideAsTheirPower(t *testing.T) {
	svg := string(Beam("a", "aperture", madeWent(), Place{Wide: 560}))
	if m := regexp.MustCompile(`fill-t[0-9]`).FindString(svg); m != "" {
		t.Errorf("a stream of light has the colour of a temperature: %s", m)
	}
	if n := strings.Count(svg, "fill-light"); n != 4 {
		t.Errorf("%d streams are drawn, want the source and three", n)
	}
	if !strings.Contains(svg, `stroke-dasharray="4 3"`) || !strings.Contains(svg, "72\u2009%") {
		t.Error("no dry bed, or no share")
	}
}

// TestAWindowThatLosesFarTooMuchDoesNotPressTheOthersFlat: a curve is followed below zero for a while only.
func TestAWindowThatLosesFarTooMuchDoesNotPressTheOthersFlat(t *testing.T) {
	k := madeKeeping()
	for n := range k.Lines[1].Keeps {
		k.Lines[1].Keeps[n] -= 0.5 * float64(n)
	}
	svg := string(Keeps("a", nil, k, Place{380, 300}))
	if strings.Contains(svg, "NaN") || strings.Contains(svg, ">−10<") || !strings.Contains(svg, ">−1<") {
		t.Error("the axis follows the worst curve")
	}
}
