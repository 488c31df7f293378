package figure

import (
	"fmt"
	"math"
)

// Known is one parameter as a match knows it, in the unit in which it is shown.
type Known struct {
	Name, Unit         string
	Value, SD          float64
	Lower, Upper       float64 // 95 % interval
	BoundLow, BoundTop float64
}

// Corner draws what a match knows of its parameters and of each pair: on the diagonal each one's density and interval,
// below it the ellipses that hold 68 and 95 % of a pair, so that parameters that hang together show as a slant.
func Corner(title string, known []Known, correlation [][]float64) []byte {
	n := len(known)
	const left, top, gap = 96.0, 60.0, 10.0
	side := math.Min(200, math.Max(84, (840-left)/float64(max(n, 1))-gap))
	size := float64(n)*(side+gap) - gap
	c := newCanvas(left+size+40, top+size+64, title, fmt.Sprintf("What is known of %d parameters and of each pair", n))
	c.text(sentence, 20, 28, "start", fit(sentence, title, left+size))
	for row := range n {
		for col := range row + 1 {
			x, y := left+float64(col)*(side+gap), top+float64(row)*(side+gap)
			c.rect(x, y, side, side, "fill", "none", "stroke", hair, "stroke-width", "1")
			if row == col {
				alone(c, known[row], x, y, side)
			} else {
				pair(c, known[col], known[row], correlation[row][col], x, y, side)
			}
		}
	}
	for i, k := range known {
		x, y := left+float64(i)*(side+gap), top+size
		name := k.Name
		if k.Unit != "" && k.Unit != "1" {
			name += " [" + k.Unit + "]"
		}
		lo, hi := reach(k)
		c.text(numbers, x, y+14, "start", fmt.Sprintf("%.4g", lo))
		c.text(numbers, x+side, y+14, "end", fmt.Sprintf("%.4g", hi))
		c.text(names, x+side/2, y+32, "middle", fit(names, name, side+gap))
		if i > 0 {
			at := top + float64(i)*(side+gap)
			c.text(numbers, left-6, at+side, "end", fmt.Sprintf("%.4g", lo))
			c.text(numbers, left-6, at+10, "end", fmt.Sprintf("%.4g", hi))
		}
	}
	return c.bytes()
}

// reach is what a parameter's axis spans: its interval and a half of it to each side.
func reach(k Known) (lo, hi float64) {
	half := math.Max(math.Max(k.Upper-k.Value, k.Value-k.Lower), 3*k.SD) * 1.15
	if !(half > 0) || math.IsInf(half, 0) {
		half = math.Max(math.Abs(k.Value), 1)
	}
	return k.Value - half, k.Value + half
}

func alone(c *canvas, k Known, x, y, side float64) {
	lo, hi := reach(k)
	at := func(v float64) float64 { return x + side*(v-lo)/(hi-lo) }
	var p polyline
	for i := range 81 {
		v := lo + (hi-lo)*float64(i)/80
		z := (v - k.Value) / math.Max(k.SD, 1e-300)
		h := y + side - 0.8*side*math.Exp(-z*z/2)
		if i == 0 {
			p.move(at(v), h)
		} else {
			p.to(at(v), h)
		}
	}
	from, to := math.Max(at(k.Lower), x), math.Min(at(k.Upper), x+side)
	c.rect(from, y+0.2*side, to-from, 0.8*side, "fill", veil)
	c.path(p.String(), "fill", "none", "stroke", ink, "stroke-width", "1.4")
	c.line(at(k.Value), y+0.2*side, at(k.Value), y+side, "stroke", ink, "stroke-width", "0.8")
}

func pair(c *canvas, a, b Known, r, x, y, side float64) {
	aLo, aHi := reach(a)
	bLo, bHi := reach(b)
	r = math.Max(-1, math.Min(1, r))
	for _, e := range []struct {
		size float64
		fill string
	}{{2.4477, veil}, {1.5153, "none"}} { // √(−2 ln 0.05), √(−2 ln 0.32)
		var p polyline
		for i := range 72 {
			t := 2 * math.Pi * float64(i) / 72
			u := math.Cos(t)
			v := r*u + math.Sqrt(1-r*r)*math.Sin(t)
			px, py := x+side*(a.Value+e.size*a.SD*u-aLo)/(aHi-aLo), y+side*(1-(b.Value+e.size*b.SD*v-bLo)/(bHi-bLo))
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
	c.text(numbers, x+side-4, y+13, "end", Number(r, 2))
}
