package figure

import (
	"fmt"
	"math"
	"sort"
	"strconv"
	"testing"

	"pgregory.net/rapid"
)

func TestTintFollowsTheScaleAsLaidDown(t *testing.T) {
	// The scales as they were laid down with the anchors for light and dark paper by an independent resampling: 52 layers
	// of 5 K from 20 to 280 °C, here the layer at each tenth of the range. One step of 255 is left for rounding.
	for _, c := range []struct {
		paper string
		tint  func(float64) string
		want  []string
	}{
		{"light", Tint, []string{"#E7F3F4", "#E9E5C4", "#EBD099", "#EBB36E", "#E99952", "#E3803F", "#D76736", "#C55031", "#A93C2F", "#8F322C", "#7A2B2A"}},
		{"dark", DarkTint, []string{"#152025", "#3A2521", "#592E24", "#7F3A26", "#9F4623", "#B95A1C", "#CD741B", "#DC902A", "#E9B354", "#F1CF81", "#F6E5A4"}},
	} {
		for i, w := range c.want {
			layer := math.Min(51, math.Round(5.2*float64(i)))
			got := c.tint(layer / 51)
			for k := 1; k < 7; k += 2 {
				a, _ := strconv.ParseInt(got[k:k+2], 16, 32)
				b, _ := strconv.ParseInt(w[k:k+2], 16, 32)
				if a-b > 1 || b-a > 1 {
					t.Errorf("on %s paper at %d tenths %s, want %s", c.paper, i, got, w)
					break
				}
			}
		}
	}
}

func TestHotterIsDarkerOnLightPaperAndBrighterOnDark(t *testing.T) {
	before, beforeDark := 2.0, -1.0
	for i := range 51 {
		y, dark := luminance(Tint(float64(i)/50)), luminance(DarkTint(float64(i)/50))
		if y >= before {
			t.Errorf("step %d is not darker than the one before", i)
		}
		if dark <= beforeDark {
			t.Errorf("on dark paper step %d is not brighter than the one before", i)
		}
		before, beforeDark = y, dark
	}
}

// luminance is the relative luminance of a colour in sRGB: IEC 61966-2-1.
func luminance(colour string) float64 {
	var r, g, b int
	fmt.Sscanf(colour, "#%02X%02X%02X", &r, &g, &b)
	return 0.2126*linear(r) + 0.7152*linear(g) + 0.0722*linear(b)
}

func linear(c int) float64 {
	v := float64(c) / 255
	if v <= 0.04045 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
}

// paraboloid is u² + v² on an even mesh over -1..1.
func paraboloid(n int) *nodes {
	m := &nodes{}
	for i := range n {
		m.u = append(m.u, -1+2*float64(i)/float64(n-1))
	}
	m.v = m.u
	for _, v := range m.v {
		for _, u := range m.u {
			m.f = append(m.f, u*u+v*v)
		}
	}
	return m
}

func TestContourOfAParaboloidIsACircle(t *testing.T) {
	const n = 81
	lines := contours(paraboloid(n), 0.49)
	if len(lines) != 1 {
		t.Fatalf("%d lines", len(lines))
	}
	l := lines[0]
	if l[0] != l[len(l)-1] {
		t.Error("the line is not closed")
	}
	area := 0.0
	for i := 1; i < len(l); i++ {
		area += 0.5 * (l[i-1].u*l[i].v - l[i].u*l[i-1].v)
		// Straight lines between nodes h apart miss a parabola by at most h²/4, here in u² + v²; half of that
		// over the radius in place.
		h := 2.0 / (n - 1)
		if r := math.Hypot(l[i].u, l[i].v); math.Abs(r-0.7) > h*h/4/0.7 {
			t.Errorf("radius %v", r)
		}
	}
	// High values lie outside, on the left of the line: it turns clockwise.
	if math.Abs(-area-math.Pi*0.49) > 0.005 {
		t.Errorf("area %v, want %v", area, -math.Pi*0.49)
	}
}

func TestFencedContoursClose(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		nu, nv := rapid.IntRange(2, 7).Draw(t, "nu"), rapid.IntRange(2, 7).Draw(t, "nv")
		n := &nodes{}
		for i := range nu {
			n.u = append(n.u, float64(i))
		}
		for j := range nv {
			n.v = append(n.v, float64(j))
		}
		high := 0
		for range nu * nv {
			x := float64(rapid.IntRange(0, 4).Draw(t, "value"))
			if x >= 2.5 {
				high++
			}
			n.f = append(n.f, x)
		}
		lines := contours(n.fenced(), 2.5)
		if (high > 0) != (len(lines) > 0) {
			t.Fatalf("%d lines round %d high nodes", len(lines), high)
		}
		for _, l := range lines {
			if l[0] != l[len(l)-1] {
				t.Fatalf("a line is open: %v", l)
			}
			for _, p := range l {
				if math.IsNaN(p.u) || p.u < 0 || p.u > float64(nu-1) || p.v < 0 || p.v > float64(nv-1) {
					t.Fatalf("a point at %v", p)
				}
			}
		}
	})
}

func TestLabelsMoveApartAndKeepTheirOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "n")
		y := make([]float64, n)
		for i := range y {
			y[i] = rapid.Float64Range(-20, 220).Draw(t, "wish")
		}
		sort.Float64s(y)
		wish := append([]float64(nil), y...)
		moveApart(y, 13, 0, 200)
		for i := range y {
			if y[i] < -1e-9 || y[i] > 200+1e-9 {
				t.Fatalf("%v leaves 0..200", y)
			}
			if i > 0 && y[i]-y[i-1] < 13-1e-9 {
				t.Fatalf("%v from %v: closer than 13", y, wish)
			}
		}
	})
}

func TestNumbersAreSetAsInPrint(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Number(1551.4, 0), "1\u2009551"},
		{Number(-0.04, 1), "0.0"},
		{Number(-12.35, 1), "−12.3"},
		{Number(1234567.891, 2), "1\u2009234\u2009567.89"},
		{Number(999, 0), "999"},
		{Number(math.NaN(), 1), ""},
		{Percent(0.81), "81\u2009%"},
		{Percent(0.021), "2.1\u2009%"},
		{Percent(0), "0\u2009%"},
		{Percent(0.0001), "<\u20090.1\u2009%"},
		{Span(5400), "1\u2009h 30\u2009min"},
		{Span(45), "45\u2009s"},
		{Span(0.5), "0.5\u2009s"},
		{Span(90000), "25\u2009h"},
		{Span(3 * 86400), "3\u2009d"},
		{Span(59.99999999), "60.0\u2009s"},
		{ScaleOf(3.6e6, false).Text(3.6e6), "1.00"},
		{ScaleOf(500, true).Unit, "W"},
		{ScaleOf(2.5e6, false).Text(2.5e6), "694"},
		{ScaleOf(2.5e6, false).Unit, "Wh"},
		{ScaleOf(3.6e6, false).Short(100), "<\u20090.01"},
		{ScaleOf(3.6e6, false).Short(0), "0"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}
