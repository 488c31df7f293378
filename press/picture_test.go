package press

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"emberbank/paper"
)

// FuzzPicture: a picture that is read is drawn, with as many ends as beginnings, or named as wrong; and what goes on a page goes on a plate.
func FuzzPicture(f *testing.F) {
	raw, err := os.ReadFile(filepath.Join("..", "figure", "testdata", "plan.svg"))
	if err != nil {
		f.Fatal(err)
	}
	f.Add(raw)
	f.Add([]byte(`<svg viewBox="0 0 9 9"><defs><pattern id="p" width="2" height="3" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path d="M1 0V3"/></pattern>` +
		`<linearGradient id="g" gradientUnits="userSpaceOnUse" x2="9"><stop offset="0" stop-color="#123456"/><stop offset="1" stop-color="#fff"/></linearGradient>` +
		`<clipPath id="c"><circle r="4"/></clipPath></defs><g clip-path="url(#c)" transform="rotate(30 1 2)"><rect width="9" height="9" fill="url(#p)"/><rect width="3" height="3" fill="url(#g)"/></g>` +
		`<text x="1" y="3" text-anchor="end" paint-order="stroke" stroke="#fff" font-size="2">a&amp;b</text></svg>`))
	f.Add([]byte(`<svg viewBox="0 0 9 9"><path d="M1 1a3,2 30 0110 1t1-1.5.5q1 2 3 4S1 2 3 4z" stroke="#123" stroke-dasharray="1 2" stroke-opacity="0.5"/></svg>`))
	f.Add([]byte(`<svg viewBox="0 0 9 9"><g transform="scale(1e9) scale(1e9) translate(9 -9)"><path d="M0 0H9V9" stroke="#123"/></g></svg>`))
	l, err := newLetters(nil)
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, svg []byte) {
		of, err := paper.ReadPicture(svg)
		if err != nil {
			return
		}
		p := pen{letters: l, veils: &veils{}}
		if p.draw(of, &shades{}, 400) != nil {
			return
		}
		content, open := p.b.String(), 0
		for op := range strings.SplitSeq(content, "\n") {
			switch op {
			case "q":
				open++
			case "Q":
				open--
			}
		}
		if open != 0 {
			t.Errorf("%d states more are saved than brought back", open)
		}
		if strings.Contains(content, "NaN") || strings.Contains(content, "Inf") {
			t.Error("a number is none")
		}
		points, same := 400/of.Width, func(size float64) float64 { return size }
		if err := newDrawing(of, newPlate(80, 60, 0.2, l), l, same).all(of, points, 0); err != nil {
			t.Errorf("it goes on a page, and not on a plate: %v", err)
		}
	})
}

// TestHatchingsCoverWhatTheyFill: lines of a pattern that is turned by 45° reach all corners of a rectangle, as far apart as the pattern says.
func TestHatchingsCoverWhatTheyFill(t *testing.T) {
	of, err := paper.ReadPicture([]byte(`<svg viewBox="0 0 100 100"><defs><pattern id="p" width="10" height="10" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path d="M5 0V10" stroke="#000"/></pattern></defs>` +
		`<rect x="20" y="30" width="50" height="40" fill="url(#p)"/></svg>`))
	if err != nil {
		t.Fatal(err)
	}
	on := &pen{veils: &veils{}}
	d := drawing{surface: on, ids: map[string]*paper.Element{}}
	of.Walk(func(e *paper.Element) { d.ids[e.Get("id")] = e })
	g := tiles{0, 0, 10, 10, -3, -2, 5, 4}
	one, err := parsePath("M5 0V10")
	if err != nil {
		t.Fatal(err)
	}
	all, err := g.repeat(one, false)
	if err != nil {
		t.Fatal(err)
	}
	if len(all.steps) != 2*8 { // a line for each of eight columns, through all rows
		t.Fatalf("%d steps", len(all.steps))
	}
	x0, y0, x1, y1, _ := all.bounds()
	for i, want := range []float64{-25, -20, 45, 40} {
		if got := []float64{x0, y0, x1, y1}[i]; math.Abs(got-want) > 1e-9 {
			t.Errorf("the lines reach %g, want %g", got, want)
		}
	}
	box := &trace{}
	box.rect(20, 30, 50, 40)
	d.hatch(box, d.ids["p"])
	if d.wrong != nil {
		t.Fatal(d.wrong)
	}
	// Along the diagonal the rectangle is (50+40)/√2 = 63.6 wide, which is six or seven lines of 10, and one more at each end.
	if n := strings.Count(on.b.String(), " m\n"); n < 7 || n > 9 {
		t.Errorf("%d lines over the rectangle:\n%s", n, on.b.String())
	}
}

// TestTransformsAreThoseOfTheStandard: rotate about a point, and the order of several.
//
// Source: W3C, SVG 1.1 (second edition), 7.6: rotate(a cx cy) is translate(cx cy) rotate(a) translate(-cx -cy); the first of a
// list is applied last.
func TestTransformsAreThoseOfTheStandard(t *testing.T) {
	for s, want := range map[string][2]float64{
		"translate(3 4)":              {4, 4},
		"rotate(90)":                  {0, 1},
		"rotate(-90 2 0)":             {2, 1},
		"translate(10) scale(2)":      {12, 0},
		"scale(2) translate(10)":      {22, 0},
		"matrix(0 1 -1 0 5 6)":        {5, 7},
		"translate(1,1), rotate(180)": {0, 1},
	} {
		m, err := transform(s)
		if err != nil {
			t.Error(err)
			continue
		}
		if x, y := m.apply(1, 0); math.Abs(x-want[0]) > 1e-12 || math.Abs(y-want[1]) > 1e-12 {
			t.Errorf("%s brings (1, 0) to (%g, %g), want %v", s, x, y, want)
		}
		back, ok := m.inverse()
		if x, y := back.apply(m.apply(3, 5)); !ok || math.Abs(x-3) > 1e-9 || math.Abs(y-5) > 1e-9 {
			t.Errorf("%s is undone to (%g, %g)", s, x, y)
		}
	}
}
