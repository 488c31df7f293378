package uncertainty

import (
	"fmt"
	"math"
)

// Mean returns the arithmetic mean of repeated readings and the component of its uncertainty:
//
//	u = s/√n,  s² = Σ(xᵢ − x̄)²/(n − 1),  ν = n − 1
//
// The readings are taken as independent: readings of a logger in close succession are not, see package balance.
// Source: JCGM 100:2008, 4.2, eqs. 3 to 5.
func Mean(readings []float64) (mean float64, c Component, err error) {
	n := float64(len(readings))
	if n < 2 {
		return 0, c, fmt.Errorf("a mean with its uncertainty needs at least 2 readings, there are %d", len(readings))
	}
	for _, x := range readings {
		mean += x / n
	}
	sum := 0.0
	for _, x := range readings {
		sum += (x - mean) * (x - mean)
	}
	return mean, Component{Name: "repeated readings", U: math.Sqrt(sum / (n - 1) / n), DoF: n - 1}, nil
}

// Simultaneous returns the means of several quantities that were read together, readings[i] being those of quantity
// i, and the correlation of the means, for Model.Correlation:
//
//	r(x̄ᵢ, x̄ⱼ) = Σ(xᵢₖ − x̄ᵢ)(xⱼₖ − x̄ⱼ) / √(Σ(xᵢₖ − x̄ᵢ)² Σ(xⱼₖ − x̄ⱼ)²)
//
// Source: JCGM 100:2008, 5.2.2 eq. 14 and 5.2.3 eq. 17.
func Simultaneous(names []string, readings [][]float64) ([]Quantity, [][]float64, error) {
	if len(names) != len(readings) {
		return nil, nil, fmt.Errorf("%d names stand against %d rows of readings", len(names), len(readings))
	}
	q := make([]Quantity, len(names))
	for i := range names {
		if len(readings[i]) != len(readings[0]) {
			return nil, nil, fmt.Errorf("%q has %d readings and %q has %d: readings taken together come in equal numbers",
				names[0], len(readings[0]), names[i], len(readings[i]))
		}
		mean, c, err := Mean(readings[i])
		if err != nil {
			return nil, nil, fmt.Errorf("%s: %w", names[i], err)
		}
		q[i] = Quantity{Name: names[i], Value: mean, Components: []Component{c}}
	}
	product := func(i, j int) float64 {
		sum := 0.0
		for k := range readings[i] {
			sum += (readings[i][k] - q[i].Value) * (readings[j][k] - q[j].Value)
		}
		return sum
	}
	r := make([][]float64, len(names))
	for i := range r {
		r[i] = make([]float64, len(names))
		for j := range r[i] {
			switch d := math.Sqrt(product(i, i) * product(j, j)); {
			case i == j:
				r[i][j] = 1
			case d > 0:
				r[i][j] = product(i, j) / d
			}
		}
	}
	return q, r, nil
}

// Line is a straight line fitted by ordinary least squares, y = Intercept + Slope (x − Origin).
type Line struct {
	Origin           float64
	Intercept, Slope float64
	UIntercept       float64
	USlope           float64
	Correlation      float64 // of Intercept and Slope
	Scatter          float64 // standard deviation of a single y about the line
	DoF              float64 // n − 2
}

// FitLine fits a line to points whose y are equally uncertain and independent. origin is where the intercept is
// taken; with the mean of x the two parameters are uncorrelated.
// Source: JCGM 100:2008, H.3, eqs. H.13a to H.13g.
func FitLine(x, y []float64, origin float64) (Line, error) {
	n := float64(len(x))
	if len(x) != len(y) || n < 3 {
		return Line{}, fmt.Errorf("a line with its uncertainty needs at least 3 points with x and y, there are %d and %d values", len(x), len(y))
	}
	var sx, sy float64
	for i := range x {
		sx += (x[i] - origin) / n
		sy += y[i] / n
	}
	var sxx, sxy float64
	for i := range x {
		d := x[i] - origin - sx
		sxx += d * d
		sxy += d * (y[i] - sy)
	}
	if !(sxx > 0) {
		return Line{}, fmt.Errorf("a line needs points at different x, all are at %g", x[0])
	}
	l := Line{Origin: origin, Slope: sxy / sxx, DoF: n - 2}
	l.Intercept = sy - l.Slope*sx
	rss := 0.0
	for i := range x {
		e := y[i] - l.At(x[i])
		rss += e * e
	}
	l.Scatter = math.Sqrt(rss / l.DoF)
	l.USlope = l.Scatter / math.Sqrt(sxx)
	l.UIntercept = l.Scatter * math.Sqrt(1/n+sx*sx/sxx)
	l.Correlation = -sx / math.Sqrt(sxx*(1/n+sx*sx/sxx))
	return l, nil
}

// At returns the line's value at x.
func (l *Line) At(x float64) float64 { return l.Intercept + l.Slope*(x-l.Origin) }

// UAt returns the standard uncertainty of the line's value at x. Source: JCGM 100:2008, H.3.4, eq. H.15.
func (l *Line) UAt(x float64) float64 {
	d := x - l.Origin
	return math.Sqrt(l.UIntercept*l.UIntercept + d*d*l.USlope*l.USlope + 2*d*l.UIntercept*l.USlope*l.Correlation)
}
