package figure

import (
	"math"
	"strings"
)

// Studied is an axis or a response of a study as a picture shows it. Values that go with it are in its unit.
type Studied struct {
	Name, Unit string
	Words      []string // value i stands for Words[i]; nil: numbers
	Ratio      bool     // its steps go by ratio
	Degrees    bool     // temperatures in °C: an area of them takes the colours of temperature
}

// Limit is what a constraint asks of a response.
type Limit struct {
	At   float64 // in the response's unit
	Most bool    // at most At; else at least
	Says string  // what stands at it, such as "at least 200 °C"
}

// met tells whether a value keeps within the limit.
func (l *Limit) met(v float64) bool { return l.Most && v <= l.At || !l.Most && v >= l.At }

// Fate is what became of a variant.
type Fate int

const (
	Meets  Fate = iota // all constraints
	Misses             // one of them at least
	Failed             // it has no results
)

// named is a name with its unit: "wool [mm]".
func (s *Studied) named() string {
	if s.Unit == "" || s.Words != nil {
		return s.Name
	}
	return s.Name + " [" + s.Unit + "]"
}

// text prints a value with its unit to as many digits as a step needs.
func (s *Studied) text(v, step float64) string {
	if s.Words != nil {
		return s.word(v)
	}
	return withUnit(Number(v, decimalsOf(step)), s.Unit)
}

func (s *Studied) word(v float64) string {
	if i := int(math.Round(v)); i >= 0 && i < len(s.Words) {
		return s.Words[i]
	}
	return ""
}

func withUnit(number, unit string) string {
	if unit == "" || number == "" {
		return number
	}
	return number + thin + unit
}

// inPowers writes the power of ten of 10⁶ and the like, with the unit; "" for 0 and no unit.
func inPowers(power int, unit string) string {
	if power == 0 {
		return unit
	}
	var b strings.Builder
	b.WriteString("×" + thin + "10")
	b.WriteString(raised(power))
	if unit != "" {
		b.WriteString(thin + unit)
	}
	return b.String()
}

func raised(n int) string {
	s := ""
	if n < 0 {
		s, n = "⁻", -n
	}
	digits := []rune("⁰¹²³⁴⁵⁶⁷⁸⁹")
	tail := ""
	for {
		tail = string(digits[n%10]) + tail
		if n /= 10; n == 0 {
			return s + tail
		}
	}
}

// powerOf is the power of ten that is taken out of numbers of this size before they are printed.
func powerOf(largest float64) int {
	if !(largest > 0) || math.IsInf(largest, 0) || largest >= 0.001 && largest < 1e6 {
		return 0
	}
	return 3 * int(math.Floor(math.Log10(largest)/3+1e-9))
}

// spanOf is the least and greatest of all numbers among values; 0 and 1 where there is none. An even range is widened.
func spanOf(all ...[]float64) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, values := range all {
		for _, v := range values {
			if !math.IsNaN(v) && !math.IsInf(v, 0) {
				lo, hi = math.Min(lo, v), math.Max(hi, v)
			}
		}
	}
	if lo > hi {
		return 0, 1
	}
	if hi-lo <= 1e-9*math.Max(math.Abs(hi), math.Abs(lo)) {
		half := 0.05 * math.Abs(hi)
		if half == 0 {
			half = 1
		}
		lo, hi = lo-half, hi+half
	}
	return lo, hi
}

// atLeast widens a range that is narrower than computed values can be told apart by eye: a kelvin, or a thousandth of the
// value. Less than that would fill a picture with rounding.
func (s *Studied) atLeast(lo, hi float64) (float64, float64) {
	least := 0.001 * math.Max(math.Abs(lo), math.Abs(hi))
	if s.Degrees {
		least = 1
	}
	if d := (least - (hi - lo)) / 2; d > 0 {
		return lo - d, hi + d
	}
	return lo, hi
}

// fence draws a limit along a way of points on the paper: a line with short oblique strokes on the side that is not
// allowed, which is the right of the way as it runs (left where turned).
func (c *canvas) fence(way []vertex, turned bool) {
	var rail, strokes polyline
	side := 1.0
	if turned {
		side = -1
	}
	next := 3.0
	for i, p := range way {
		if i == 0 {
			rail.move(p.u, p.v)
			continue
		}
		rail.to(p.u, p.v)
		a := way[i-1]
		s := math.Hypot(p.u-a.u, p.v-a.v)
		for next <= s && s > 0 {
			tx, ty := (p.u-a.u)/s, (p.v-a.v)/s
			x, y := a.u+tx*next, a.v+ty*next
			strokes.move(x, y)
			strokes.to(x-4*tx-4*ty*side, y-4*ty+4*tx*side)
			next += 6
		}
		next -= s
	}
	if d := rail.String(); d != "" {
		c.path(d, "fill", "none", "stroke", ink, "stroke-width", "1")
	}
	if d := strokes.String(); d != "" {
		c.path(d, "fill", "none", "stroke", ink, "stroke-width", "0.6")
	}
}

// halo keeps a text legible over lines.
func halo(pairs ...string) []string {
	return append([]string{"stroke", sheet, "stroke-width", "3", "paint-order", "stroke", "stroke-linejoin", "round"}, pairs...)
}

// hatchBeyond defines the hatching of ground that no variant covers.
func (c *canvas) hatchBeyond() {
	c.raw("<defs>")
	c.pattern("beyond", 7, 7, 0, "M0 7L7 0", "stroke", hair, "stroke-width", "0.7")
	c.raw("</defs>\n")
}

// variant draws the mark of a computed variant: a dot, small and struck through where it misses a constraint, a cross
// where it failed. Size is that of a dot.
func (c *canvas) variant(f Fate, x, y, size float64, colour string) {
	switch f {
	case Meets:
		c.circle(x, y, size, "fill", colour)
	case Misses:
		r := size + 1.9
		c.circle(x, y, r+0.6, "fill", sheet)
		c.circle(x, y, size*0.75, "fill", colour)
		c.line(x-r, y+r, x+r, y-r, "stroke", colour, "stroke-width", "0.9")
	default:
		r := size + 0.6
		c.path("M"+px(x-r)+" "+px(y-r)+"L"+px(x+r)+" "+px(y+r)+"M"+px(x-r)+" "+px(y+r)+"L"+px(x+r)+" "+px(y-r), "fill", "none", "stroke", colour, "stroke-width", "1.1")
	}
}

// fates explains the marks that a picture holds where they are not all alike, in a line from x at y.
func (c *canvas) fates(x, y float64, has [3]bool) {
	if !has[Misses] && !has[Failed] {
		return
	}
	for f, words := range [3]string{"meets the constraints", "misses a constraint", "failed or no value"} {
		if !has[f] {
			continue
		}
		if f == int(Meets) && !has[Misses] {
			words = "computed"
		}
		c.variant(Fate(f), x+4, y-4, 2.4, ink)
		c.text(names, x+13, y, "start", words, "fill", ink2)
		x += widthOf(names, words) + 30
	}
}

// thinned picks one point of each cell of the paper, in their order, so that a cloud of many costs no more ink than can be
// told apart.
func thinned(x, y []float64, cell float64) []int {
	seen := map[[2]int32]bool{} // looked up, never walked
	var out []int
	for i := range x {
		if math.IsNaN(x[i]+y[i]) || math.IsInf(x[i]+y[i], 0) {
			continue
		}
		k := [2]int32{int32(math.Floor(x[i] / cell)), int32(math.Floor(y[i] / cell))}
		if !seen[k] {
			seen[k] = true
			out = append(out, i)
		}
	}
	return out
}
