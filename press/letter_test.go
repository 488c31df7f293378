package press

import (
	"math"
	"strings"
	"testing"

	"emberbank/paper"
)

func TestEveryFaceOfTheProgramCanBeRead(t *testing.T) {
	found := 0
	for c := range files {
		for _, name := range files[c] {
			raw, ok := paper.Face(name)
			if !ok {
				continue
			}
			found++
			f, err := newFace(raw)
			if err != nil {
				t.Errorf("%s: %v", name, err)
				continue
			}
			if _, err := f.subset(); err != nil {
				t.Errorf("a part of %s: %v", name, err)
			}
		}
		if _, err := newFace(spares[c]); err != nil {
			t.Errorf("spare %d: %v", c, err)
		}
	}
	if found == 0 {
		t.Skip("the faces are not made: make build")
	}
	if found != 13 {
		t.Errorf("%d faces of 13", found)
	}
}

// TestFiguresAreOfOneWidth keeps columns of numbers straight.
func TestFiguresAreOfOneWidth(t *testing.T) {
	l, err := newLetters(nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []cut{upright, italic, heavy, lettering} {
		want := l.shape(c, "0").wide
		for _, d := range "123456789" {
			if got := l.shape(c, string(d)).wide; math.Abs(got-want) > 1e-3 {
				t.Errorf("in cut %d %c is %.4f wide, 0 is %.4f", c, d, got, want)
			}
		}
	}
}

// TestASignOnItsHeadStaysSoInAWordThatIsCut: else a nabla would be a delta.
func TestASignOnItsHeadStaysSoInAWordThatIsCut(t *testing.T) {
	nablas := piece{glyphs: []glyph{{advance: 1}, {advance: 1}, {advance: 1}}, upside: true}
	long := word{parts: []fragment{{run: run{pieces: []piece{nablas}, wide: 3}, size: 10}}, wide: 30}
	glyphs := 0
	for _, w := range (&job{}).fitting([]word{long}, 25) {
		for _, f := range w.parts {
			for _, p := range f.run.pieces {
				if glyphs += len(p.glyphs); !p.upside || len(p.glyphs) != 1 {
					t.Errorf("%d glyphs stand on their heads: %v", len(p.glyphs), p.upside)
				}
			}
		}
	}
	if glyphs != 3 {
		t.Errorf("%d glyphs of 3", glyphs)
	}
}

func TestALineBreaksBehindAHyphenBetweenLettersOfAnyScript(t *testing.T) {
	for _, s := range []string{"lamp-slow", "café-crème", "красно-белый"} {
		if at := strings.IndexByte(s, '-'); !cuttable(s, at, '-', false) {
			t.Errorf("%q does not break", s)
		}
	}
	if cuttable("5-fold", 1, '-', false) {
		t.Error("a number is parted from its word")
	}
}

// FuzzPath: a path is a trace of finite points, or an error.
func FuzzPath(f *testing.F) {
	for _, d := range []string{"M0 0L1 1Z", "M1,2h3v-4.5.5l1e1-1e-1zm1 1q1 2 3 4t5 6", "M0 0a3,2 30 0110 1A1 1 0 0 0 5 5", "M.5.5C1 2 3 4 5 6S7 8 9 10"} {
		f.Add(d)
	}
	f.Fuzz(func(t *testing.T, d string) {
		p, err := parsePath(d)
		if err != nil {
			return
		}
		p.points(func(x, y float64) {
			if math.IsNaN(x) || math.IsInf(x, 0) || math.IsNaN(y) || math.IsInf(y, 0) {
				t.Errorf("%q leads to %g, %g", d, x, y)
			}
		})
	})
}

// TestArcsKeepToTheirEllipse: the points of a half circle are its radius from its centre. The curves' own error is below 0.03 %.
func TestArcsKeepToTheirEllipse(t *testing.T) {
	p, err := parsePath("M-5 0A5 5 0 0 1 5 0A5 5 0 0 1 -5 0")
	if err != nil {
		t.Fatal(err)
	}
	x, y := 0.0, 0.0
	curves := 0
	for _, s := range p.steps {
		if s.op == 'c' {
			curves++
			for u := 0.0; u <= 1; u += 0.1 {
				b := func(a, b, c, d float64) float64 {
					return a*(1-u)*(1-u)*(1-u) + 3*b*u*(1-u)*(1-u) + 3*c*u*u*(1-u) + d*u*u*u
				}
				if r := math.Hypot(b(x, s.at[0], s.at[2], s.at[4]), b(y, s.at[1], s.at[3], s.at[5])); math.Abs(r-5) > 5*3e-4 {
					t.Errorf("a point %g from the centre", r)
				}
			}
			x, y = s.at[4], s.at[5]
		} else {
			x, y = s.at[0], s.at[1]
		}
	}
	if curves != 4 {
		t.Errorf("%d curves for a whole turn", curves)
	}
}
