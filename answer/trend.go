package answer

import "math"

// Trend is what a curve through the upper part of a response suggests beyond the range.
type Trend struct {
	Kind        string  // "exponential" or "power law"
	Limit       float64 // where the curve ends
	Low, High   float64 // of the limit, by the likelihood's profile at the confidence asked for; infinite: open
	ToCome      float64 // limit − curve at the end of the range
	ToComeMost  float64 // the largest |ToCome| in the profile; infinite: open
	theta, a, b float64
	shape       func(theta, x float64) float64
}

// At returns the curve at a place x > 0.
func (t *Trend) At(x float64) float64 { return t.a + t.b*t.shape(t.theta, x) }

// Reach returns the smallest end of the range, up to a thousand times the present one, from which the curve changes by
// less than share of the margin over the last ratio and has less than the margin still to come; false: none.
func (t *Trend) Reach(from, margin, ratio, share float64) (float64, bool) {
	for x := from; x <= 1000*from; x *= 1.02 {
		if math.Abs(t.At(x)-t.At(x/ratio)) < share*margin && math.Abs(t.Limit-t.At(x)) < margin {
			return x, true
		}
	}
	return math.Inf(1), false
}

// trends fits both curves to the upper part of the response: from the point on at which it has come half way from its
// furthest value to its last, and at least five points.
//
//	y = a + b e^(−x/λ)     y = a + b x^(−p)
//
// A curve that does not describe its points says nothing. The uncertainties of the points are taken as independent, and raised
// where the points scatter by more; none counts as less than a tenth of the margin, for neither curve is the response itself,
// and some points that are known better than the curve can follow would draw it off the rest.
func (p *Plateau) trends(r Response, z float64) {
	n := len(r.X)
	low, high := ends(r.Y)
	far := low
	if math.Abs(r.Y[high]-r.Y[n-1]) > math.Abs(r.Y[low]-r.Y[n-1]) {
		far = high
	}
	k := far
	for k < n-1 && math.Abs(r.Y[k]-r.Y[n-1]) > 0.5*math.Abs(r.Y[far]-r.Y[n-1]) {
		k++
	}
	k = min(k, n-5)
	for k >= 0 && k < n && r.X[k] <= 0 {
		k++
	}
	if k < 0 || n-k < 5 {
		p.NoTrend = "there are too few points to suggest a trend"
		return
	}
	q := trendings{r: r, z: z, margin: p.Margin}
	end := r.X[n-1]
	p.Exponential = q.describing(k, "exponential", func(lambda, x float64) float64 { return math.Exp((end - x) / lambda) }, end/40, 40*end)
	p.Power = q.describing(k, "power law", func(q, x float64) float64 { return math.Pow(x/end, -q) }, 20, 0.02)
	if p.Exponential == nil && p.Power == nil {
		p.NoTrend = "neither a declining exponential nor a power law describes the upper part of the response"
	}
}

// trendings is what trends are fitted to, and how closely.
type trendings struct {
	r         Response
	z, margin float64
}

// describing is the curve through the points from k on; nil where it does not describe them.
func (q trendings) describing(k int, kind string, shape func(theta, x float64) float64, fast, slow float64) *Trend {
	if t := q.of(k, kind, shape, fast, slow); t != nil && q.describes(t, k) {
		return t
	}
	return nil
}

// describes tells whether a curve passes every point from k on within a quarter of the margin and what its uncertainty allows,
// and has its limit ahead: not behind the last value, as the curve goes.
func (q trendings) describes(t *Trend, k int) bool {
	for i := k; i < len(q.r.X); i++ {
		if !(math.Abs(q.r.Y[i]-t.At(q.r.X[i])) <= 0.25*q.margin+q.allowed(i)) {
			return false
		}
	}
	last := len(q.r.X) - 1
	ahead := math.Copysign(1, t.ToCome) * (t.Limit - q.r.Y[last])
	return ahead >= -q.allowed(last)
}

// allowed is by how much a point may lie beside the truth; of points that are taken as exact, by rounding.
func (q trendings) allowed(i int) float64 {
	if q.r.U == nil {
		return 1e-6 * q.margin
	}
	return max(q.z*q.r.U[i], 1e-6*q.margin)
}

// of scans the curve's own parameter from its fast end to its slow end; for each, a and b are linear. Both shapes
// are 1 at the end of the range, so that b is what the curve has still to lose.
func (q trendings) of(k int, kind string, shape func(theta, x float64) float64, fast, slow float64) *Trend {
	const steps = 160
	r, floor := q.r, 0.1*q.margin
	at := func(s float64) lineFit {
		theta := fast * math.Pow(slow/fast, s/steps)
		f := fitLine(r, k, floor, func(x float64) float64 { return shape(theta, x) })
		f.theta = theta
		return f
	}
	fits := make([]lineFit, steps+1)
	best := 0
	for i := range fits {
		fits[i] = at(float64(i))
		if fits[i].chi < fits[best].chi {
			best = i
		}
	}
	// Between the best one's neighbours the minimum is closed in on; the end of the scan stays the end.
	if math.IsInf(fits[best].chi, 1) {
		return nil
	}
	f, lo, hi := fits[best], float64(best)-1, float64(best)+1
	for range 40 {
		a, b := lo+0.382*(hi-lo), lo+0.618*(hi-lo)
		fa, fb := at(min(max(a, 0), steps)), at(min(max(b, 0), steps))
		if fa.chi <= fb.chi {
			hi = b
		} else {
			lo = a
		}
		for _, g := range []lineFit{fa, fb} {
			if g.chi < f.chi {
				f = g
			}
		}
	}
	fits[best] = f
	t := &Trend{Kind: kind, shape: shape, theta: f.theta, a: f.a, b: f.b, Limit: f.a, ToCome: -f.b, Low: math.Inf(1), High: math.Inf(-1)}
	q.profile(t, k, f, fits)
	return t
}

// profile finds how far limit and rest may lie, over the fits of a scan from fast to slow of which f is the best.
func (q trendings) profile(t *Trend, k int, f lineFit, fits []lineFit) {
	r, scale := q.r, 1.0
	if dof := len(r.X) - k - 3; r.U == nil || f.chi > float64(dof) {
		scale = f.chi / float64(dof)
	}
	last := len(r.X) - 1
	for i, g := range fits {
		room := q.z*q.z*scale - (g.chi - f.chi)
		if room < 0 {
			continue
		}
		da, db := math.Sqrt(room*g.va), math.Sqrt(room*g.vb)
		low, high := g.a-da, g.a+da
		switch { // what lies behind the last value is no limit
		case g.b < 0 && (-g.b > db || g == f):
			low = max(low, r.Y[last]-q.allowed(last))
		case g.b > 0 && (g.b > db || g == f):
			high = min(high, r.Y[last]+q.allowed(last))
		}
		if low <= high {
			t.Low, t.High = min(t.Low, low), max(t.High, high)
		}
		t.ToComeMost = max(t.ToComeMost, math.Abs(g.b)+db)
		if i == len(fits)-1 { // as slow as may be: no end in sight
			t.ToComeMost = math.Inf(1)
			if g.b-db < 0 {
				t.High = math.Inf(1)
			}
			if g.b+db > 0 {
				t.Low = math.Inf(-1)
			}
		}
	}
}

type lineFit struct{ theta, a, b, va, vb, chi float64 }

// fitLine fits y = a + b g(x) to the points from k on, by weighted least squares; no uncertainty counts as less
// than the floor.
func fitLine(r Response, k int, floor float64, g func(float64) float64) lineFit {
	var w, wg, wgg, wy, wgy float64
	weight := func(i int) float64 {
		if r.U == nil {
			return 1
		}
		// A point that is better known than the others by far would rule alone; a millionth of the value is enough.
		u := max(r.U[i], floor, 1e-6*math.Abs(r.Y[i]), 1e-300)
		return 1 / (u * u)
	}
	// Relative to the end's value: the weights may be huge.
	y0 := r.Y[len(r.Y)-1]
	for i := k; i < len(r.X); i++ {
		v, s, y := weight(i), g(r.X[i]), r.Y[i]-y0
		w += v
		wg += v * s
		wgg += v * s * s
		wy += v * y
		wgy += v * s * y
	}
	det := w*wgg - wg*wg
	if !(det > 1e-12*w*wgg) || math.IsInf(det, 0) {
		return lineFit{chi: math.Inf(1)}
	}
	f := lineFit{a: (wgg*wy - wg*wgy) / det, b: (w*wgy - wg*wy) / det, va: wgg / det, vb: w / det}
	for i := k; i < len(r.X); i++ {
		d := r.Y[i] - y0 - f.a - f.b*g(r.X[i])
		f.chi += weight(i) * d * d
	}
	f.a += y0
	return f
}
