package balance

import (
	"errors"
	"fmt"
	"math"
	"sort"
	"strings"

	"emberbank/uncertainty"
)

// Curve is one trial's quantity over time or over block temperature.
type Curve struct {
	Name string
	X, Y []float64 // of equal length; pairs with a NaN are left out
	// Errors are systematic: they move the whole curve. Those of one Group are the same number in every curve that has
	// them, and so fall out of the difference.
	Errors []uncertainty.Component // in the unit of Y
}

// Axes says what curves show, for sentences.
type Axes struct {
	What  string // such as "the cooling curves"
	Unit  string // of differences of Y, such as "K"
	XUnit string // such as "s"; "K" prints X as a temperature
	XFrom string // what X counts from, such as "after the start"; may be empty
	// Absolute says that Y is a temperature in K, not one above ambient.
	Absolute bool
}

// Piece is the mean difference of two curves over a part of their common range.
type Piece struct {
	From, To   float64 // in the unit of X
	Difference float64 // mean of the second minus the first
	U          float64 // its standard uncertainty, with the memory of the noise and the systematic errors
	DoF        float64
	Half       float64 // what the one-sided test of 95 % adds: the mean difference here is less than |Difference| + Half
}

// Agreement is the answer to "same or different?" for two curves.
type Agreement struct {
	A, B     string
	From, To float64 // common range of X
	Points   int
	Worth    float64 // how many independent points these are worth
	Memory   float64 // first autocorrelation of the noise of the difference
	Pieces   []Piece
	X, D     []float64 // where the two are compared, and the second minus the first there
	// Bound is the smallest x for which "the mean difference is less than x in every piece" is shown at 95 %: by two
	// one-sided tests in each piece, of which all must succeed. Single points may differ by more.
	Bound float64
	// Least is the largest y for which "the mean difference is more than y in some piece" is shown at 95 %; 0: the curves
	// are not told apart by these data.
	Least    float64
	Where    float64 // X, middle of the piece that sets Bound
	Sentence string
}

// pieces is into how many parts the common range is cut, at most.
const pieces = 8

// Compare compares curves pair by pair, in their order. The last agreement's words cover two curves; Worst sums up
// more. Pairs that cannot be compared are told in the error, beside the agreements of the others.
//
// Equivalence: in each piece two one-sided t tests (Schuirmann, J. Pharmacokin. Biopharm. 15 (1987) 657-680, from
// memory); since all must succeed, no level is shared out between them (intersection-union, Berger, Technometrics 24
// (1982) 295-300, from memory). Difference: two-sided t tests, the level shared out between pieces and pairs
// (Bonferroni). The noise is what a smooth trend leaves of the difference (see trend), with its memory at several
// distances (see levels). The rates of false claims are held by tests on made-up noise, fast over slow among it.
func Compare(curves []Curve, axes Axes) ([]Agreement, error) {
	if len(curves) < 2 {
		return nil, fmt.Errorf("a comparison needs at least two curves, there are %d", len(curves))
	}
	pairs := len(curves) * (len(curves) - 1) / 2
	var out []Agreement
	var lacking []error
	for i := range curves {
		for j := i + 1; j < len(curves); j++ {
			a, err := compare(&curves[i], &curves[j], axes, pairs)
			if err != nil {
				lacking = append(lacking, fmt.Errorf("%s of %s and %s: %w", axes.What, curves[i].Name, curves[j].Name, err))
				continue
			}
			out = append(out, *a)
		}
	}
	return out, errors.Join(lacking...)
}

// Worst returns the largest bound and the largest least difference of several agreements, with a sentence.
func Worst(all []Agreement, axes Axes) (bound, least float64, sentence string) {
	cut := 1
	for i := range all {
		bound, least, cut = math.Max(bound, all[i].Bound), math.Max(least, all[i].Least), max(cut, len(all[i].Pieces))
	}
	over := "over the common range of each pair"
	if cut > 1 {
		over = "over each piece of each pair's common range"
	}
	return bound, least, verdict(bound, least, axes, over)
}

// verdict says what is bounded: means over pieces, not points.
func verdict(bound, least float64, axes Axes, over string) string {
	s := fmt.Sprintf("%s agree within %s"+narrow+"%s with 95"+narrow+"%% confidence in their means %s", upper(axes.What), AtMost(bound), axes.Unit, over)
	if least > 0 {
		return s + fmt.Sprintf(", and they do differ: somewhere by at least %s"+narrow+"%s in the mean. Single readings may lie farther apart.", AtLeast(least), axes.Unit)
	}
	return s + "; they are not told apart by these data. Single readings may lie farther apart."
}

// over says over what the means of an agreement are taken.
func (a *Agreement) over(axes *Axes) string {
	if n := len(a.Pieces); n > 1 {
		return fmt.Sprintf("over each of %d pieces of their common range, %s", n, axes.stretch(a.From, a.To))
	}
	return "over their common range, " + axes.stretch(a.From, a.To)
}

// stretch prints a part of the axis of X.
func (a *Axes) stretch(from, to float64) string {
	return strings.TrimSpace(a.place(from) + " to " + a.place(to) + " " + a.XFrom)
}

// place prints a place on the axis of X.
func (a *Axes) place(x float64) string {
	switch a.XUnit {
	case "K":
		return fmt.Sprintf("%.0f"+narrow+"°C", x-273.15)
	case "s":
		return hours(x)
	}
	return strings.TrimSpace(digits3(x) + narrow + a.XUnit)
}

// mend says how a common range comes to hold more rows.
func (a *Axes) mend() string {
	if a.XUnit == "s" {
		return "by a longer stretch in common or a shorter logging interval"
	}
	return "by more of the range in common or a shorter logging interval"
}

func upper(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' {
		return s
	}
	return string(s[0]-'a'+'A') + s[1:]
}

// AtMost and AtLeast print a bound with two significant digits, rounded to the safe side.
func AtMost(v float64) string { return safe(v, math.Ceil) }

// AtLeast is AtMost rounded down.
func AtLeast(v float64) string { return safe(v, math.Floor) }

func safe(v float64, round func(float64) float64) string {
	switch {
	case math.IsInf(v, 1):
		return "∞"
	case !(v > 0):
		return "0"
	}
	e := int(math.Floor(math.Log10(v))) - 1
	r := round(v/math.Pow10(e)-1e-9*float64(sign(round))) * math.Pow10(e)
	return signed(r, max(0, -e))
}

// sign is 1 for rounding up and -1 for rounding down.
func sign(round func(float64) float64) int {
	if round(0.5) == 1 {
		return 1
	}
	return -1
}

func compare(a, b *Curve, axes Axes, pairs int) (*Agreement, error) {
	xa, ya, err := a.rising()
	if err != nil {
		return nil, err
	}
	xb, yb, err := b.rising()
	if err != nil {
		return nil, err
	}
	low, high := math.Max(xa[0], xb[0]), math.Min(xa[len(xa)-1], xb[len(xb)-1])
	if !(high > low) {
		return nil, fmt.Errorf("they have no range in common: one goes from %s to %s, the other from %s to %s",
			axes.place(xa[0]), axes.place(xa[len(xa)-1]), axes.place(xb[0]), axes.place(xb[len(xb)-1]))
	}
	count := func(x []float64) int { i, j := within(x, low, high); return j - i }
	at1, x := xa, xa
	if count(xb) < count(at1) {
		x = xb
	}
	var xs, d []float64
	for _, p := range x {
		if v := at(xb, yb, p) - at(xa, ya, p); !math.IsNaN(v) {
			xs, d = append(xs, p), append(d, v)
		}
	}
	n := len(d)
	const least = 24
	if n < least {
		return nil, fmt.Errorf("only %d rows lie in their common range %s; at least %d are needed, %s", n, axes.stretch(low, high), least, axes.mend())
	}
	columns := legendre(xs, trend(xs, d))
	r, err := regress(columns, d)
	if err != nil {
		return nil, err
	}
	out := &Agreement{A: a.Name, B: b.Name, From: low, To: high, Points: n, X: xs, D: d}
	sd, rho, dof := levels(r.residuals, len(columns), func(d float64) float64 { return t95(d, 1) })
	// Pieces hold three or more lengths of the noise's memory each, so that their means are worth a test.
	length := sd * sd / math.Max(1e-300, meanSquare(r.residuals))
	cut := max(1, int(math.Min(pieces, float64(n)/(3*math.Max(1, length)))))
	common := systematic(a, b)
	for k := range cut {
		from, to := k*n/cut, (k+1)*n/cut
		u := sd / math.Sqrt(float64(to-from))
		p := Piece{From: xs[from], To: xs[to-1], Difference: mean(d[from:to]), U: math.Hypot(u, common), DoF: dof}
		if u > 0 {
			p.DoF = dof * math.Pow(p.U/u, 4)
		}
		p.Half = t95(p.DoF, 1) * p.U
		out.Pieces = append(out.Pieces, p)
		bound := math.Abs(p.Difference) + p.Half
		if bound > out.Bound {
			out.Bound, out.Where = bound, (p.From+p.To)/2
		}
		out.Least = math.Max(out.Least, math.Abs(p.Difference)-t95(p.DoF, 2*cut*pairs)*p.U)
	}
	out.Memory, out.Worth = rho, float64(n)/math.Max(1, length)
	out.Sentence = fmt.Sprintf("%s The widest gap is around %s.", verdict(out.Bound, out.Least, axes, out.over(&axes)), axes.place(out.Where))
	if out.Worth < fewWorth {
		out.Sentence = fmt.Sprintf("%s The noise remembers so long that these rows are worth %.0f independent ones: the 95"+narrow+"%% are not assured.", out.Sentence, math.Max(1, out.Worth))
	}
	return out, nil
}

// fewWorth is how many independent rows a comparison should have: below, false claims came up to one in twelve instead
// of one in twenty (tests on noise of other kinds).
const fewWorth = 8

// legendre returns the columns of the Legendre polynomials up to a degree over x scaled to −1..1.
func legendre(x []float64, degree int) [][]float64 {
	n := len(x)
	c := [][]float64{ones(n)}
	for j := 1; j <= degree; j++ {
		v := make([]float64, n)
		for i := range v {
			s := 2*(x[i]-x[0])/(x[n-1]-x[0]) - 1
			v[i] = s
			if j > 1 {
				v[i] = (float64(2*j-1)*s*c[j-1][i] - float64(j-1)*c[j-2][i]) / float64(j)
			}
		}
		c = append(c, v)
	}
	return c
}

// trend picks the degree of the polynomial that takes the difference itself away, so that what is left is noise. It
// looks at means of neighbours, some sixty of them, in which fast noise no longer hides slow noise, and takes the
// degree whose residuals an autoregression explains best for its cost: Schwarz's criterion with four times its penalty, so
// that slow noise is rather taken for noise than for a difference.
// Source of the criterion: Schwarz, Annals of Statistics 6 (1978) 461-464 (from memory); the factor was found by
// trial, see the tests.
func trend(x, d []float64) int {
	stride := max(1, len(d)/60)
	var xs, ds []float64
	for i := 0; i+stride <= len(d); i += stride {
		xs, ds = append(xs, mean(x[i:i+stride])), append(ds, mean(d[i:i+stride]))
	}
	n := float64(len(ds))
	best, least := 1, math.Inf(1)
	for degree := 1; degree <= 6 && degree+6 < len(ds); degree++ {
		r, err := regress(legendre(xs, degree), ds)
		if err != nil {
			break
		}
		sum := 0.0
		for i := 1; i < len(ds); i++ {
			sum += sq(r.residuals[i] - r.memory*r.residuals[i-1])
		}
		if score := n*math.Log(sum/n+1e-300) + 4*float64(degree)*math.Log(n); score < least {
			best, least = degree, score
		}
	}
	return best
}

// t95 is the one-sided quantile of Student's t at 1 − 0.05/share.
func t95(dof float64, share int) float64 {
	return uncertainty.CoverageFactor(1-0.1/float64(share), dof)
}

// systematic returns the standard uncertainty of the difference from errors of the whole curves.
func systematic(a, b *Curve) float64 {
	q := uncertainty.Quantity{Components: append([]uncertainty.Component(nil), b.Errors...)}
	for _, c := range a.Errors {
		if c.Group == "" {
			c.Group = "own of the first curve, " + c.Name
		}
		c.U = -c.U
		q.Components = append(q.Components, c)
	}
	return q.U()
}

// rising returns the curve with X strictly rising. Where X is noisy, as a measured temperature is, points are put
// together until it rises.
func (c *Curve) rising() (x, y []float64, err error) {
	if len(c.X) != len(c.Y) {
		return nil, nil, fmt.Errorf("%s has %d values over %d places", c.Name, len(c.Y), len(c.X))
	}
	type point struct{ x, y float64 }
	var all []point
	for i := range c.X {
		if !math.IsNaN(c.X[i]) && !math.IsNaN(c.Y[i]) {
			all = append(all, point{c.X[i], c.Y[i]})
		}
	}
	n := len(all)
	if n < 2 {
		return nil, nil, fmt.Errorf("%s has fewer than two points", c.Name)
	}
	if all[n-1].x < all[0].x {
		for i, j := 0, n-1; i < j; i, j = i+1, j-1 {
			all[i], all[j] = all[j], all[i]
		}
	}
	for stride := 1; stride <= n/2; stride *= 2 { // means of neighbours in time, until noise does not turn x back
		x, y = x[:0], y[:0]
		ok := true
		for i := 0; i+stride <= n && ok; i += stride {
			sx, sy := 0.0, 0.0
			for _, p := range all[i : i+stride] {
				sx, sy = sx+p.x, sy+p.y
			}
			x, y = append(x, sx/float64(stride)), append(y, sy/float64(stride))
			ok = len(x) < 2 || x[len(x)-1] > x[len(x)-2]
		}
		if ok && len(x) >= 24 {
			return x, y, nil
		}
		if len(x) < 24 && ok {
			break
		}
	}
	sort.SliceStable(all, func(i, j int) bool { return all[i].x < all[j].x })
	x, y = x[:0], y[:0]
	most := max(24, n/8) // so noisy that only order in x helps: means of equal numbers of points
	for k := range most {
		from, to := k*n/most, (k+1)*n/most
		if to <= from {
			continue
		}
		sx, sy := 0.0, 0.0
		for _, p := range all[from:to] {
			sx, sy = sx+p.x, sy+p.y
		}
		m := float64(to - from)
		if len(x) == 0 || sx/m > x[len(x)-1] {
			x, y = append(x, sx/m), append(y, sy/m)
		}
	}
	if len(x) < 2 {
		return nil, nil, fmt.Errorf("%s does not move along its axis", c.Name)
	}
	return x, y, nil
}

func meanSquare(v []float64) float64 {
	s := 0.0
	for _, x := range v {
		s += x * x
	}
	return s / float64(len(v))
}
