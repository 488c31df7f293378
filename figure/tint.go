package figure

import (
	"fmt"
	"math"
	"sort"
	"sync"
)

// lightPaper is the temperature scale for light paper, its anchors in OKLCH: lightness, chroma, hue in degrees. Hot is dark: heat
// departs from the paper, and lightness falls all the way.
var lightPaper = ramp{anchors: [7][3]float64{
	{.955, .012, 205}, {.915, .045, 100}, {.835, .095, 78}, {.735, .135, 58}, {.635, .155, 42}, {.525, .150, 31}, {.405, .110, 24},
}}

// darkPaper is the same for dark paper, where hot is bright.
var darkPaper = ramp{anchors: [7][3]float64{
	{.235, .018, 225}, {.30, .040, 32}, {.40, .085, 35}, {.515, .130, 42}, {.635, .145, 57}, {.77, .135, 76}, {.92, .085, 95},
}}

// ramp is a scale of colours through anchors.
type ramp struct {
	anchors [7][3]float64 // in OKLCH
	once    sync.Once
	length  []float64 // of the curve up to each step
}

// Tint returns the colour of a temperature at a share of the way from the cold to the hot end of the scale, as
// "#RRGGBB". Shares outside 0..1 take the end's colour. Equal steps look equal: the scale is a Catmull-Rom curve
// through the anchors in OKLab, walked by its length.
//
// Source of OKLab and of its matrices to linear sRGB: B. Ottosson, "A perceptual color space for image
// processing", 2020. Transfer function: IEC 61966-2-1 (sRGB).
func Tint(share float64) string { return lightPaper.at(share) }

// DarkTint is Tint for dark paper.
func DarkTint(share float64) string { return darkPaper.at(share) }

// at returns the colour at a share of the way along the curve.
func (r *ramp) at(share float64) string {
	if !(share > 0) {
		share = 0
	}
	share = math.Min(share, 1)
	length := r.walked()
	want := share * length[steps]
	i := min(sort.SearchFloat64s(length[1:], want), steps-1)
	u := (float64(i) + (want-length[i])/(length[i+1]-length[i])) / steps
	return hex(r.onCurve(u))
}

const steps = 600 // of the curve, for its length; finer than a step of an 8-bit colour

// walked is the curve's length up to each step, found when a picture first needs it.
func (r *ramp) walked() []float64 {
	r.once.Do(func() {
		r.length = make([]float64, steps+1)
		before := r.onCurve(0)
		for i := 1; i <= steps; i++ {
			p := r.onCurve(float64(i) / steps)
			r.length[i] = r.length[i-1] + math.Sqrt(sq(p[0]-before[0])+sq(p[1]-before[1])+sq(p[2]-before[2]))
			before = p
		}
	})
	return r.length
}

func sq(x float64) float64 { return x * x }

// onCurve returns the point in OKLab at u from 0 to 1 along the anchors.
func (r *ramp) onCurve(u float64) [3]float64 {
	n := len(r.anchors) - 1
	x := u * float64(n)
	i := min(int(x), n-1)
	t := x - float64(i)
	p0, p1, p2, p3 := r.anchor(i-1), r.anchor(i), r.anchor(i+1), r.anchor(i+2)
	var out [3]float64
	for k := range out {
		a, b, c, d := p0[k], p1[k], p2[k], p3[k]
		out[k] = 0.5 * (2*b + (c-a)*t + (2*a-5*b+4*c-d)*t*t + (3*b-a-3*c+d)*t*t*t)
	}
	return out
}

// anchor returns an anchor in OKLab; beyond the ends the curve goes on straight.
func (r *ramp) anchor(i int) [3]float64 {
	n := len(r.anchors) - 1
	if i < 0 || i > n {
		end, next := 0, 1
		if i > n {
			end, next = n, n-1
		}
		a, b := r.anchor(end), r.anchor(next)
		return [3]float64{2*a[0] - b[0], 2*a[1] - b[1], 2*a[2] - b[2]}
	}
	q := r.anchors[i]
	h := q[2] * math.Pi / 180
	return [3]float64{q[0], q[1] * math.Cos(h), q[1] * math.Sin(h)}
}

func hex(lab [3]float64) string {
	l := cube(lab[0] + 0.3963377774*lab[1] + 0.2158037573*lab[2])
	m := cube(lab[0] - 0.1055613458*lab[1] - 0.0638541728*lab[2])
	s := cube(lab[0] - 0.0894841775*lab[1] - 1.2914855480*lab[2])
	channel := func(v float64) int {
		v = math.Max(0, math.Min(1, v))
		if v <= 0.0031308 {
			v *= 12.92
		} else {
			v = 1.055*math.Pow(v, 1/2.4) - 0.055
		}
		return int(math.Round(v * 255))
	}
	return fmt.Sprintf("#%02X%02X%02X",
		channel(4.0767416621*l-3.3077115913*m+0.2309699292*s),
		channel(-1.2684380046*l+2.6097574011*m-0.3413193965*s),
		channel(-0.0041960863*l-0.7034186147*m+1.7076147010*s))
}

func cube(x float64) float64 { return x * x * x }

// scale is the temperature rule of a picture.
type scale struct {
	low, high float64 // degC
	step      float64 // K, of the tints
}

// scaleOver lays a scale over temperatures from lo to hi in degC, its ends and steps on round numbers.
func scaleOver(lo, hi float64) scale {
	if !(hi-lo > 1e-9) {
		lo, hi = lo-1, lo+1 // an even field still needs a rule
	}
	step := niceStep(hi-lo, 40)
	tick := niceStep(hi-lo, 8)
	return scale{math.Floor(lo/tick+1e-9) * tick, math.Ceil(hi/tick-1e-9) * tick, step}
}

// Range is between which temperatures, in °C, the colours of pictures run; both zero: as each picture has them.
type Range struct {
	Low, Top float64
	// Fixed tells that the range holds for all pictures of a bench: what lies beyond has the colour of the end. Else it is the
	// least, a picture that reaches farther widens it, and its ends come to lie on round numbers.
	Fixed bool
}

// scale lays a scale for a picture that shows temperatures from lo to hi in °C.
func (g Range) scale(lo, hi float64) scale {
	switch {
	case g.Fixed && g.Top > g.Low:
		layers := math.Max(1, math.Round((g.Top-g.Low)/niceStep(g.Top-g.Low, 40)))
		return scale{g.Low, g.Top, (g.Top - g.Low) / layers}
	case g.Low == 0 && g.Top == 0:
		return scaleOver(lo, hi)
	}
	return scaleOver(math.Min(g.Low, lo), math.Max(g.Top, hi))
}

// Rule returns the ends of the rule of temperature, as a section has it, the step of its tints in K, and that of isotherms.
func (g Range) Rule() (low, high, tint, isotherm float64) {
	s := g.scale(g.Low, g.Top)
	return s.low, s.high, s.step, niceStep(s.high-s.low, 14)
}

func (s scale) share(celsius float64) float64 { return (celsius - s.low) / (s.high - s.low) }

// tint is the colour of the step that holds a temperature.
func (s scale) tint(celsius float64) string {
	n := math.Round((s.high - s.low) / s.step)
	k := math.Floor((celsius-s.low)/s.step + 1e-9)
	return tinted(math.Max(0, math.Min(n-1, k)) / math.Max(1, n-1))
}

// tone returns the grey of a share of the way from the least to the most of a response that is no temperature: from near the
// paper to near the ink in equal steps of lightness in OKLab. Colour belongs to temperature.
func tone(share float64) string {
	share = math.Max(0, math.Min(1, share))
	return hex([3]float64{0.965 - 0.545*share, -0.008 - 0.022*share, 0.004 - 0.008*share})
}

// darkTone is tone for dark paper.
func darkTone(share float64) string {
	share = math.Max(0, math.Min(1, share))
	return hex([3]float64{0.245 + 0.545*share, -0.008 - 0.022*share, 0.004 - 0.008*share})
}
