package answer

import (
	"math"
	"math/rand/v2"
)

// madeUp is a response whose truth is known.
type madeUp struct {
	kind    string
	r       Response
	over    float64   // what moves in the last ratio of 1.5 or is still to come, over the margin
	truth   []float64 // the response at each point without errors
	plateau bool      // the last ratio of 1.5 changes by at most the margin, and so does all that lies beyond
}

// shapes rise from about 0 to their limit; x runs to 1, and d is drawn from 0..1 for each. The last ones have no limit,
// or reach it late, or move on after having been flat.
var shapes = []struct {
	kind  string
	at    func(x, d float64) float64
	limit func(d float64) float64
}{
	{"exponential", func(x, d float64) float64 { return 1 - math.Exp(-x*rate(d, 2, 25)) }, one},
	{"power law", func(x, d float64) float64 { return 1 - math.Pow(x/0.02+1, -rate(d, 0.3, 4)) }, one},
	{"quotient", func(x, d float64) float64 { n := rate(d, 1, 8); return 1 / (1 + math.Pow(0.25/x, n)) }, one},
	{"hyperbolic tangent", func(x, d float64) float64 { return math.Tanh(x * rate(d, 0.8, 9)) }, one},
	{"corner", func(x, d float64) float64 { return min(x/rate(d, 0.15, 1.3), 1) }, one},
	{"late step", func(x, d float64) float64 { return 1 / (1 + math.Exp(-(x-rate(d, 0.2, 1.2))/0.06)) }, one},
	{"logarithm", func(x, d float64) float64 { return math.Log(1 + x*rate(d, 3, 300)) }, never},
	{"root", func(x, d float64) float64 { return math.Pow(x, rate(d, 0.05, 1)) }, never},
	{"slow exponential", func(x, d float64) float64 { return 1 - math.Exp(-x*rate(d, 0.2, 4)) }, one},
	{"second rise", func(x, d float64) float64 {
		return 1 - math.Exp(-12*x) + 0.3/(1+math.Exp(-(x-rate(d, 0.7, 1.1))/0.05))
	}, func(float64) float64 { return 1.3 }},
	{"optimum", func(x, d float64) float64 { c := rate(d, 0.5, 1.2); return 1 - math.Pow((x-c)/c, 2) }, never},
}

func one(float64) float64          { return 1 }
func never(float64) float64        { return math.Inf(1) }
func rate(d, a, b float64) float64 { return a * math.Pow(b/a, d) }

// draw makes one response up: a shape, 6 to 24 points at equal steps or ratios, an error of computing that neighbours
// share in part, and two uncertain inputs, one that stretches the response and one that stretches the axis.
// The default margin of 2 % of the true span tells truth from falsehood.
func draw(r *rand.Rand) madeUp {
	s := shapes[r.IntN(len(shapes))]
	d := r.Float64()
	n := 6 + r.IntN(19)
	ratio := rate(r.Float64(), 5, 40)
	even := r.IntN(2) == 0
	sign := float64(1 - 2*r.IntN(2))
	m := madeUp{kind: s.kind, r: Response{X: make([]float64, n), Y: make([]float64, n), U: make([]float64, n)}}
	end := rate(r.Float64(), 0.05, 20) // the axis' unit is anybody's
	for i := range m.r.X {
		t := float64(i) / float64(n-1)
		m.r.X[i] = 1/ratio + (1-1/ratio)*t
		if !even {
			m.r.X[i] = math.Pow(ratio, t-1)
		}
	}
	least, most := math.Inf(1), math.Inf(-1)
	for _, x := range m.r.X {
		least, most = min(least, s.at(x, d)), max(most, s.at(x, d))
	}
	span := most - least
	margin := 0.02 * span
	tailLow, tailHigh := math.Inf(1), math.Inf(-1)
	for i := range 101 {
		y := s.at((1+0.5*float64(i)/100)/1.5, d)
		tailLow, tailHigh = min(tailLow, y), max(tailHigh, y)
	}
	m.over = max(tailHigh-tailLow, math.Abs(s.limit(d)-s.at(1, d))) / margin
	m.plateau = m.over <= 1
	u := span * rate(r.Float64(), 0.0005, 0.008)
	rho := 0.95 * r.Float64()
	stretch, along := 0.03*r.Float64(), 0.05*r.Float64()
	m.r.Neighbour = rho
	if r.IntN(2) == 0 {
		m.r.Neighbour = Unknown
	}
	m.r.Inputs = [][]float64{make([]float64, n), make([]float64, n)}
	ds, da := stretch*r.NormFloat64(), along*r.NormFloat64()
	e := r.NormFloat64()
	scale := sign * rate(r.Float64(), 0.01, 1000)
	for i, x := range m.r.X {
		m.r.U[i] = u * math.Abs(scale)
		y := s.at(x, d)
		m.r.Inputs[0][i] = stretch * y * scale
		m.r.Inputs[1][i] = (s.at(x*(1+along), d) - y) * scale
		m.r.Y[i] = scale * (s.at(x*(1+da), d)*(1+ds) + u*e)
		e = rho*e + math.Sqrt(1-rho*rho)*r.NormFloat64()
		m.r.X[i] = x * end
		m.truth = append(m.truth, scale*y)
	}
	return m
}

// drawn returns so many responses with a plateau, or without.
func drawn(seed uint64, count int, plateau bool) []madeUp {
	r := rand.New(rand.NewPCG(seed, 20))
	var out []madeUp
	for len(out) < count {
		if m := draw(r); m.plateau == plateau {
			out = append(out, m)
		}
	}
	return out
}
