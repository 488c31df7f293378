package optics

import (
	"fmt"
	"math"
	"slices"

	"emberbank/duty"
)

// shape is a flux map with peak 1 that can be integrated exactly over rectangles.
type shape interface {
	integral(r Rect) float64 // m²
}

func shapeOf(m duty.Map, opening Rect) (shape, error) {
	switch m.Kind {
	case duty.Uniform:
		return uniform{}, nil
	case duty.Gaussian:
		for a, s := range m.Sigma {
			if !(s > 0) {
				return nil, fmt.Errorf("sigma along %s is %g m, must be above 0", [...]string{"width", "height"}[a], s)
			}
		}
		if !(m.Floor >= 0 && m.Floor < 1) {
			return nil, fmt.Errorf("the floor's share of the power is %g, must be 0 or above and below 1", m.Floor)
		}
		g := gaussian{m.Centre, m.Sigma}
		if m.Floor == 0 {
			return g, nil
		}
		return floored{g, m.Floor / (1 - m.Floor) * g.integral(opening) / opening.area()}, nil
	case duty.Table:
		return newTable(m)
	}
	return nil, fmt.Errorf("map of unknown kind %d", m.Kind)
}

type uniform struct{}

func (uniform) integral(r Rect) float64 { return r.area() }

// gaussian is exp(-x²/(2σ²)) in each direction about its centre; its integral over a rectangle is a product of
// two differences of error functions.
type gaussian struct{ centre, sigma [2]float64 }

func (g gaussian) integral(r Rect) float64 {
	v := 1.0
	for a := range g.centre {
		scale := g.sigma[a] * math.Sqrt2
		v *= scale * math.Sqrt(math.Pi) / 2 * erfBetween((r.Min[a]-g.centre[a])/scale, (r.Max[a]-g.centre[a])/scale)
	}
	return v
}

// floored is a Gaussian over an even floor, such as lamps with a reflector throw: what comes straight from the source beside
// what the reflector gathers. Its peak is 1.
type floored struct {
	spot  gaussian
	level float64 // of the floor, over the Gaussian's peak
}

func (f floored) integral(r Rect) float64 {
	return (f.spot.integral(r) + f.level*r.area()) / (1 + f.level)
}

// erfBetween is erf(b) - erf(a) for a < b, without loss of digits in the tails.
func erfBetween(a, b float64) float64 {
	switch {
	case a > 0.5:
		return math.Erfc(a) - math.Erfc(b)
	case b < -0.5:
		return math.Erfc(-b) - math.Erfc(-a)
	}
	return math.Erf(b) - math.Erf(a)
}

// table is bilinear between its points and constant beyond them.
type table struct {
	x, y []float64
	v    []float64 // at x[i], y[j]: v[i+j*len(x)]
}

func newTable(m duty.Map) (shape, error) {
	nx, ny := len(m.TableWidth), len(m.TableHeight)
	if nx == 0 || ny == 0 || len(m.Table) != nx*ny {
		return nil, fmt.Errorf("map table: %d values for %d widths and %d heights", len(m.Table), nx, ny)
	}
	for _, axis := range []struct {
		name string
		at   []float64
	}{{"widths", m.TableWidth}, {"heights", m.TableHeight}} {
		for i, x := range axis.at {
			if math.IsNaN(x) || math.IsInf(x, 0) || i > 0 && x <= axis.at[i-1] {
				return nil, fmt.Errorf("map table: the %s must rise; number %d is %g m", axis.name, i+1, x)
			}
		}
	}
	for i, v := range m.Table {
		if !(v >= 0) || math.IsInf(v, 0) {
			return nil, fmt.Errorf("map table: value %d is %g, must be 0 or above", i+1, v)
		}
	}
	peak := slices.Max(m.Table)
	if peak == 0 {
		return nil, fmt.Errorf("map table: all values are 0")
	}
	t := &table{x: m.TableWidth, y: m.TableHeight, v: make([]float64, len(m.Table))}
	for i, v := range m.Table {
		t.v[i] = v / peak
	}
	return t, nil
}

// integral is exact: over a stretch on which the table is linear in one direction, the integral is the length
// times the value at the middle; so over a rectangle within one mesh it is the area times the value at the
// centre.
func (t *table) integral(r Rect) float64 {
	xs, ys := pieces(t.x, r.Min[0], r.Max[0]), pieces(t.y, r.Min[1], r.Max[1])
	sum := 0.0
	for j := 0; j+1 < len(ys); j++ {
		for i := 0; i+1 < len(xs); i++ {
			sum += (xs[i+1] - xs[i]) * (ys[j+1] - ys[j]) * t.at(0.5*(xs[i]+xs[i+1]), 0.5*(ys[j]+ys[j+1]))
		}
	}
	return sum
}

// pieces is the stretch from lo to hi, cut at the knots within it.
func pieces(knots []float64, lo, hi float64) []float64 {
	out := []float64{lo}
	for _, x := range knots {
		if x > lo && x < hi {
			out = append(out, x)
		}
	}
	return append(out, hi)
}

func (t *table) at(x, y float64) float64 {
	i, p := locate(t.x, x)
	j, q := locate(t.y, y)
	n := len(t.x)
	i2, j2 := min(i+1, n-1), min(j+1, len(t.y)-1)
	low := (1-p)*t.v[i+j*n] + p*t.v[i2+j*n]
	high := (1-p)*t.v[i+j2*n] + p*t.v[i2+j2*n]
	return (1-q)*low + q*high
}

// locate returns the knot at or before x and the fraction of the way to the next.
func locate(knots []float64, x float64) (i int, f float64) {
	if x <= knots[0] {
		return 0, 0
	}
	i, _ = slices.BinarySearch(knots, x)
	if i == len(knots) {
		return len(knots) - 1, 0
	}
	return i - 1, (x - knots[i-1]) / (knots[i] - knots[i-1])
}
