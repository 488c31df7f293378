package figure

import (
	"fmt"
	"math"
	"strings"
)

// Known is one parameter as a match knows it, in the unit in which it is shown.
type Known struct {
	Name, Unit         string
	Value, SD          float64
	Freedom            float64 // degrees of freedom of SD; 0: endless
	Lower, Upper       float64 // 95 % interval
	Profiled           bool    // the interval follows the likelihood, not SD
	BoundLow, BoundTop float64

	least float64 // the smallest degrees of freedom of all that are drawn: sets the axis
}

// Corner draws what a match knows of its parameters and of each pair: on the diagonal each one's density and interval,
// below it the ellipses that hold 68 and 95 % of a pair, so that parameters that hang together show as a slant.
func Corner(title string, known []Known, correlation [][]float64) []byte {
	n := len(known)
	known = append([]Known(nil), known...)
	least := 0.0
	for _, k := range known {
		least = freedomOf(Known{Freedom: least}, k)
	}
	for i := range known {
		known[i].least = least
	}
	const left, gap, below = 74.0, 10.0, 20.0
	side := math.Min(200, math.Max(108, (historyWidth-left-150)/float64(max(n, 1))-gap))
	size := float64(n)*(side+gap) - gap
	c := newCanvas(math.Max(left+size+150, 640), 0, title, fmt.Sprintf("What is known of %d parameters and of each pair", n))
	says := "Tint on the diagonal: each one's 95" + thin + "% interval; line: its density, with the estimate."
	for _, k := range known {
		if k.Profiled {
			says += " Where the tint is not even about the estimate it follows the likelihood; density and ellipses are the straight picture."
			break
		}
	}
	if n > 1 {
		says += " Ellipses hold 95 and 68" + thin + "% of what is known of a pair together; the number is its correlation."
	}
	top := c.head(title, says) + 12
	for row := range n {
		for col := range row + 1 {
			x, y := left+float64(col)*(side+gap), top+float64(row)*(side+gap)
			c.rect(x, y, side, side, "fill", "none", "stroke", hair, "stroke-width", "1")
			upright(c, known[col], x, y, side)
			if row == col {
				alone(c, known[row], x, y, side)
			} else {
				pair(c, known[col], known[row], correlation[row][col], x, y, side)
			}
		}
	}
	foot := top + size + below
	for i, k := range known {
		x, y := left+float64(i)*(side+gap), top+float64(i)*(side+gap)
		lo, hi := reach(k)
		for _, v := range nice(lo, hi, side) {
			at := (v.at - lo) / (hi - lo) * side
			c.text(numbers, x+at, top+size+14, "middle", v.text)
			if i > 0 {
				c.text(numbers, left-6, y+side-at+4, "end", v.text)
			}
		}
		label := wrap(names, named(k), side+gap-4)
		foot = math.Max(foot, c.lines(names, x+side/2, top+size+32, 14, "middle", label))
		about(c, k, x+side+10, y+14)
	}
	c.h = foot + 4
	return c.bytes()
}

func named(k Known) string {
	if k.Unit == "" || k.Unit == "1" {
		return k.Name
	}
	return k.Name + " [" + strings.ReplaceAll(k.Unit, " ", "\u00a0") + "]" // the unit stays whole
}

// about says beside the diagonal what is known of a parameter alone.
func about(c *canvas, k Known, x, y float64) {
	half := (k.Upper - k.Lower) / 2
	last := LastDigit(half)
	show := func(v float64) string { return toDigit(v, last) }
	room := c.w - x - 6
	y = c.lines(captions, x, y, 16, "start", wrap(captions, k.Name, room))
	if half > 0 && !math.IsInf(half, 0) {
		unit := ""
		if k.Unit != "" && k.Unit != "1" {
			unit = thin + k.Unit
		}
		y = c.lines(numbers, x, y, 14, "start", wrap(numbers, show(k.Value)+unit, room))
		c.lines(numbers, x, y, 14, "start", wrap(numbers, show(k.Lower)+" to "+show(k.Upper), room))
	} else {
		c.lines(names, x, y, 14, "start", wrap(names, "not determined", room))
	}
}

// tick is a number on an axis.
type tick struct {
	at   float64
	text string
}

// nice returns ticks for an axis of so many px: at least two where that is possible, and none that run into one another
// or into the next cell's.
func nice(lo, hi, px float64) []tick {
	var best []tick
	for n := 1; n <= 12; n++ {
		step := niceStep(hi-lo, n)
		var out []tick
		free := -6.0 // px from which on there is room
		fits := true
		for v := math.Ceil(lo/step-1e-9) * step; v <= hi+1e-9*step; v += step {
			s := Number(math.Round(v/step)*step, decimalsOf(step))
			at, w := (v-lo)/(hi-lo)*px, widthOf(numbers, s)
			if at < 8 || at > px-8 || at-w/2 < -6 || at+w/2 > px+6 {
				continue
			}
			fits = fits && at-w/2 >= free
			free = at + w/2 + 6
			out = append(out, tick{v, s})
		}
		if !fits && len(best) < 2 { // those at the ends alone
			out, fits = []tick{out[0], out[len(out)-1]}, true
		}
		if fits && len(out) > len(best) {
			best = out
		}
		if len(best) >= 2 && (len(best) >= 4 || !fits) {
			break
		}
	}
	return best
}

// upright draws a cell's lines at the ticks of its horizontal axis.
func upright(c *canvas, k Known, x, y, side float64) {
	lo, hi := reach(k)
	for _, v := range nice(lo, hi, side) {
		at := x + (v.at-lo)/(hi-lo)*side
		c.line(at, y, at, y+side, "stroke", hair, "stroke-width", "0.6")
	}
}

// reach is what a parameter's axis spans: its interval, or the ellipse that holds 95 % of a pair, and some room to each
// side.
func reach(k Known) (lo, hi float64) {
	half := math.Max(math.Max(k.Upper-k.Value, k.Value-k.Lower), holding(0.95, k.least)*k.SD) * 1.15
	if !(half > 0) || math.IsInf(half, 0) {
		half = math.Max(math.Abs(k.Value), 1)
	}
	return k.Value - half, k.Value + half
}

// holding returns how many standard deviations the ellipse of a pair reaches to each side, so that it holds a share of
// what is known of the pair:
//
//	r = √(ν ((1 − share)^(−2/ν) − 1)),   ν endless: r = √(−2 ln(1 − share))
//
// ν are the degrees of freedom of the standard deviations, 0 for endless. r²/2 is the quantile of the F distribution
// with 2 and ν degrees of freedom, whose tail is (1 + 2f/ν)^(−ν/2). (From memory; a test holds it to a library's
// quantiles.)
func holding(share, freedom float64) float64 {
	if !(freedom > 0) || freedom > 1e6 {
		return math.Sqrt(-2 * math.Log(1-share))
	}
	return math.Sqrt(freedom * (math.Pow(1-share, -2/freedom) - 1))
}

// freedomOf is that of a pair: the smaller one, on the safe side.
func freedomOf(a, b Known) float64 {
	switch {
	case !(a.Freedom > 0):
		return b.Freedom
	case !(b.Freedom > 0):
		return a.Freedom
	}
	return math.Min(a.Freedom, b.Freedom)
}

func alone(c *canvas, k Known, x, y, side float64) {
	lo, hi := reach(k)
	at := func(v float64) float64 { return x + side*(v-lo)/(hi-lo) }
	var p polyline
	for i := range 81 {
		v := lo + (hi-lo)*float64(i)/80
		z := (v - k.Value) / math.Max(k.SD, 1e-300)
		density := math.Exp(-z * z / 2)
		if k.Freedom > 0 { // Student's
			density = math.Pow(1+z*z/k.Freedom, -(k.Freedom+1)/2)
		}
		h := y + side - 0.8*side*density
		if i == 0 {
			p.move(at(v), h)
		} else {
			p.to(at(v), h)
		}
	}
	from, to := math.Max(at(k.Lower), x), math.Min(at(k.Upper), x+side)
	if to > from {
		c.rect(from, y+0.2*side, to-from, 0.8*side, "fill", veil)
	}
	c.path(p.String(), "fill", "none", "stroke", ink, "stroke-width", "1.4")
	c.line(at(k.Value), y+0.2*side, at(k.Value), y+side, "stroke", ink, "stroke-width", "0.8")
}

func pair(c *canvas, a, b Known, r, x, y, side float64) {
	aLo, aHi := reach(a)
	bLo, bHi := reach(b)
	r = math.Max(-1, math.Min(1, r))
	for _, e := range []struct {
		share float64
		fill  string
	}{{0.95, veil}, {0.68, "none"}} {
		size := holding(e.share, freedomOf(a, b))
		var p polyline
		for i := range 72 {
			t := 2 * math.Pi * float64(i) / 72
			u := math.Cos(t)
			v := r*u + math.Sqrt(1-r*r)*math.Sin(t)
			px, py := x+side*(a.Value+size*a.SD*u-aLo)/(aHi-aLo), y+side*(1-(b.Value+size*b.SD*v-bLo)/(bHi-bLo))
			px, py = math.Min(math.Max(px, x), x+side), math.Min(math.Max(py, y), y+side)
			if i == 0 {
				p.move(px, py)
			} else {
				p.to(px, py)
			}
		}
		p.close()
		c.path(p.String(), "fill", e.fill, "stroke", ink, "stroke-width", "1")
	}
	for _, v := range nice(bLo, bHi, side) { // across the tint, so that values can be read
		at := y + side*(1-(v.at-bLo)/(bHi-bLo))
		c.line(x, at, x+4, at, "stroke", line, "stroke-width", "0.8")
	}
	at, anchor := x+side-4, "end"
	if r > 0 { // in the corner that the ellipse leaves free
		at, anchor = x+5, "start"
	}
	c.text(numbers, at, y+13, anchor, Number(r, 2), "stroke", sheet, "stroke-width", "3", "paint-order", "stroke")
}
