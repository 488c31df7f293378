package figure

import (
	"bytes"
	"math"
	"regexp"
	"testing"
)

// madeSpot is an invented round spot beside the middle of an oblong window.
func madeSpot() Spot {
	s := Spot{Window: [4]float64{-0.05, 0.05, -0.03, 0.03}, Peak: [2]float64{0.01, -0.005}, PeakSays: "peak 400 <kW/m²>", WindowSays: "window & edge"}
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
	b := Flux("a", nil, madeSpot())
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
