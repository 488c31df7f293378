package answer

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Flattening asks whether a response has come to a plateau at the upper end of its axis. Zero values: as stated.
type Flattening struct {
	Margin     float64 // how much a plateau may still change, in the unit of the response; 0: Share of its span
	Share      float64 // of the span of the response over the axis; 0: 0.02
	Confidence float64 // of each one-sided statement; 0: 0.95
	Ratio      float64 // a plateau is judged over this ratio of the axis at least; 0: 1.5
	Points     int     // and over so many points at least, three or more; 0: 3
}

// Verdict is what is claimed of a plateau.
type Verdict int

const (
	Undecided     Verdict = iota // the uncertainty is too large, or the range too short, to tell
	Flattened                    // a plateau is shown
	StillChanging                // the response is shown to change beyond the margin at the end of the range
	Approaching                  // flat within the margin at the end, but its trend leads beyond it
)

func (v Verdict) String() string {
	return [...]string{"undecided", "plateau", "still changing", "not there yet"}[v]
}

// Plateau is the answer. Claims hold with Flattening.Confidence.
type Plateau struct {
	Verdict Verdict
	Margin  float64 // in the unit of the response, as used
	Span    float64 // of the response over the axis
	// From is where the plateau begins at the latest, and Value ± U its mean and standard uncertainty: for Flattened.
	From     float64
	Value, U float64
	// Above: a plateau begins above this place, because the response is shown to change by more than the margin from
	// here to the end; NaN where nothing is shown.
	Above float64
	// The tail that is judged first: its ends, and the largest of the changes that are tried, with its standard uncertainty.
	TailFrom, TailTo float64
	Change, ChangeU  float64
	// Factor is how far the uncertainty from computing would have to fall for the tail to be shown flat, 0 to 1; 1: it
	// is small enough; 0: nothing that computing can do would show it.
	Factor float64
	// Exponential and Power are what two trends suggest beyond the range; nil where one does not describe the response's upper part.
	Exponential, Power *Trend
	NoTrend            string // why both are nil, in words
	Why                string // what stands against a claim, in words; "" for Flattened
}

func (f Flattening) filled() (Flattening, error) {
	fill := func(v *float64, to float64) {
		if *v == 0 {
			*v = to
		}
	}
	fill(&f.Share, 0.02)
	fill(&f.Confidence, 0.95)
	fill(&f.Ratio, 1.5)
	if f.Points == 0 {
		f.Points = 3
	}
	switch {
	case !(f.Margin >= 0) || !finite(f.Margin):
		return f, fmt.Errorf("the margin of a plateau is at least 0, not %g", f.Margin)
	case !(f.Share > 0 && f.Share < 1):
		return f, fmt.Errorf("the margin as a share of the span is between 0 and 1, not %g", f.Share)
	case !(f.Confidence > 0.5 && f.Confidence < 1):
		return f, fmt.Errorf("the confidence is between 0.5 and 1, not %g", f.Confidence)
	case !(f.Ratio > 1) || !finite(f.Ratio):
		return f, fmt.Errorf("a plateau is judged over a ratio above 1 of the axis, not %g", f.Ratio)
	case f.Points < 3:
		return f, fmt.Errorf("a plateau is judged over at least three points, not %d", f.Points)
	}
	return f, nil
}

// Plateau judges the response.
//
// Equivalence is tested on the shortest tail that has Points points over Ratio: every change that is tried within it
// must lie within the margin δ by two one-sided tests,
//
//	|Σ wᵢ yᵢ| + z √(wᵀ Σ w) < δ,
//
// z the normal quantile of the confidence. Tried are the straight line over ln x through the tail from end to end, and
// the differences between the means of its thirds; all must pass, so that no allowance for trying several is due.
// Where the points scatter about the line by more than they should, all uncertainties are raised in proportion.
// The tail is then made longer point by point for as long as it passes. Second, the change that is still to come must
// lie within the margin too, by each trend that describes the response's upper part.
//
// Source: D. J. Schuirmann, J. Pharmacokinet. Biopharm. 15 (1987) 657-680 (two one-sided tests); R. L. Berger, J. C. Hsu,
// Statist. Sci. 11 (1996) 283-319 (all must pass); R. T. Birge, Phys. Rev. 40 (1932) 207-227 (scatter). The trends' part and the
// numbers 0.02, 1.5 and 3 are our own choice; docs/numerics/studies.md gives the rates of false and missed claims.
func (f Flattening) Plateau(r Response) (Plateau, error) {
	f, err := f.filled()
	if err == nil {
		err = r.check()
	}
	if err != nil {
		return Plateau{}, fmt.Errorf("judging a plateau: %w", err)
	}
	n := len(r.X)
	if n < 2 {
		return Plateau{}, fmt.Errorf("judging a plateau: a response needs at least two points, not %d", n)
	}
	z := distuv.UnitNormal.Quantile(f.Confidence)
	low, high := ends(r.Y)
	p := Plateau{Margin: f.Margin, Span: r.Y[high] - r.Y[low], Above: math.NaN(), From: math.NaN(), TailTo: r.X[n-1]}
	shapeless := false
	if p.Margin == 0 {
		p.Margin = f.Share * p.Span
		shapeless = p.Span <= 3*r.difference(low, high).sd()
	}
	for k := range n - 1 {
		c := r.difference(k, n-1)
		if math.Abs(c.value)-z*c.sd() <= p.Margin {
			break
		}
		p.Above = r.X[k]
	}
	p.trends(r, z)

	first := r.tail(f)
	if first < 0 {
		p.TailFrom = r.X[0]
		p.Why = fmt.Sprintf("a plateau is judged over at least %d points above zero over a ratio of %.3g of the axis, and the range has no such end", f.Points, f.Ratio)
		return p, nil
	}
	p.TailFrom = r.X[first]
	t := r.flat(first, z, p.Margin)
	p.Change, p.ChangeU, p.Factor = t.worst.value, t.worst.sd(), t.factor
	switch {
	case shapeless:
		p.Why = "the response varies by no more than its uncertainty, so that its span sets no margin: give one"
	case t.pass && p.toCome() > p.Margin:
		p.Verdict = Approaching
		p.Why = "the end of the range is flat within the margin, but the trend has more than the margin still to come"
	case t.pass:
		p.Verdict = Flattened
		for first > 0 && r.X[first-1] > 0 && r.flat(first-1, z, p.Margin).pass {
			first--
		}
		p.From = r.X[first]
		mean := r.contrast(block(n, first, n))
		p.Value, p.U = mean.value, mean.sd()
	case math.Abs(t.line.value)-z*t.line.sd() > p.Margin:
		p.Verdict = StillChanging
		p.Why = "the response still changes by more than the margin at the end of the range"
	case math.Abs(t.worst.value) >= p.Margin:
		p.Why = "the response seems to change by more than the margin at the end of the range, and its uncertainty leaves that open"
	default:
		p.Why = "the response may be flat at the end of the range, but its uncertainty is too large to show it"
	}
	return p, nil
}

// toCome is the larger of what the trends have still to come.
func (p *Plateau) toCome() float64 {
	sum := 0.0
	for _, t := range []*Trend{p.Exponential, p.Power} {
		if t != nil {
			sum = max(sum, math.Abs(t.ToCome))
		}
	}
	return sum
}

// tail returns the first point of the shortest tail that may be judged, or −1.
func (r Response) tail(f Flattening) int {
	n := len(r.X)
	for k := n - f.Points; k >= 0 && r.X[k] > 0; k-- {
		if r.X[n-1]/r.X[k] >= f.Ratio*(1-1e-9) {
			return k
		}
	}
	return -1
}

// flatness is what the tests on one tail gave.
type flatness struct {
	pass   bool
	worst  contrast // the change that fails by most, or passes by least
	line   contrast // the change of the straight line from end to end
	factor float64
}

// flat tests the tail from point k on.
func (r Response) flat(k int, z, margin float64) flatness {
	n := len(r.X)
	m := n - k
	line := make([]float64, n)
	mean, spread := 0.0, 0.0
	for i := k; i < n; i++ {
		mean += math.Log(r.X[i]) / float64(m)
	}
	for i := k; i < n; i++ {
		spread += math.Pow(math.Log(r.X[i])-mean, 2)
	}
	for i := k; i < n; i++ {
		line[i] = (math.Log(r.X[i]) - mean) / spread
	}
	slope := r.contrast(line).value
	weights := [][]float64{scaled(line, math.Log(r.X[n-1]/r.X[k]))}
	cut := [4]int{k, k + m/3, n - m/3, n}
	for a := range 3 {
		for b := a + 1; b < 3; b++ {
			w := block(n, cut[b], cut[b+1])
			for i, v := range block(n, cut[a], cut[a+1]) {
				w[i] -= v
			}
			weights = append(weights, w)
		}
	}
	raise := 1.0
	if r.U != nil {
		average := r.contrast(block(n, k, n)).value
		chi := 0.0
		for i := k; i < n; i++ {
			d := r.Y[i] - average - slope*(math.Log(r.X[i])-mean)
			if r.U[i] > 0 {
				chi += d * d / (r.U[i] * r.U[i])
			}
		}
		raise = max(1, chi/float64(m-2))
	}
	out := flatness{pass: true, factor: 1}
	excess := math.Inf(-1)
	for i, w := range weights {
		c := r.contrast(w)
		c.numeric *= raise
		if i == 0 {
			out.line = c
		}
		if e := math.Abs(c.value) + z*c.sd() - margin; e > excess {
			excess, out.worst = e, c
		}
		out.pass = out.pass && math.Abs(c.value)+z*c.sd() < margin
		room := max(margin-math.Abs(c.value), 0) / z
		if left := room*room - c.carried; c.numeric > 0 {
			out.factor = min(out.factor, math.Sqrt(max(left, 0)/c.numeric))
		} else if left <= 0 {
			out.factor = 0
		}
	}
	return out
}

// block is the weights of a mean over points a to b−1 of n.
func block(n, a, b int) []float64 {
	w := make([]float64, n)
	for i := a; i < b; i++ {
		w[i] = 1 / float64(b-a)
	}
	return w
}

func scaled(w []float64, by float64) []float64 {
	for i := range w {
		w[i] *= by
	}
	return w
}

// ends returns where the smallest and the largest value stand.
func ends(y []float64) (low, high int) {
	for i := range y {
		if y[i] < y[low] {
			low = i
		}
		if y[i] > y[high] {
			high = i
		}
	}
	return low, high
}
