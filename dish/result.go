package dish

import "math"

// Result is what a cast says. Powers are in m²: over the beam irradiance; fluxes are in suns. Errors are standard errors of
// the casting alone.
type Result struct {
	Map  Map
	Ends []Ended // by End: the whole beam that meets the pieces of the dish
	// Whole is the dish's aperture with nothing missing, Gaps what of it holds no mirror: gaps, and pieces that are not there.
	Whole, Gaps   float64    // m²
	Mirror        float64    // m², of the pieces that are there, square to the axis
	Reflected     Amount     // m², what mirrors throw back
	Window        Amount     // m², what meets the window
	Intercept     Amount     // 1: Window over Reflected
	Mean          Amount     // 1: mean flux over the window
	Peak          Amount     // 1: largest flux of a bin of the map within the window, the bin found by half of the rays and read by the others
	PeakAt        [2]float64 // m
	Centre        [2]float64 // m, of what meets the map
	WindowAngles  []float64  // shares of the power in the window by angle of incidence, in equal bins from 0 to 90 deg
	Round, Scaled Curve
	Rays          int64
	RimAngle      float64 // rad

	half [2]float64 // m, half the map's extent
}

// Amount is a number with its standard error from the casting.
type Amount struct{ Value, Error float64 }

// Ended is what of the beam ends in one way.
type Ended struct {
	End   End
	Power Amount // m²
	// Rays that end so. A ray that a mirror throws back ends where it goes to; the mirror's part of it is power alone.
	Rays int64
}

// Curve is what windows of other sizes about the same centre would catch: round ones by their diameter, or such as are like
// the window (with its proportions, or square where it is round) by their width.
type Curve struct {
	Size      []float64 // m, rising from 0
	Intercept []Amount  // 1, of what the mirrors throw back
	Area      []float64 // m²
}

// each is a number of every scrambling.
type each [scramblings]float64

// mean is their mean with its standard error.
func (x *each) mean() Amount {
	sum, square := 0.0, 0.0
	for _, v := range x {
		sum += v
	}
	mean := sum / scramblings
	for _, v := range x {
		square += (v - mean) * (v - mean)
	}
	return Amount{mean, math.Sqrt(square / (scramblings - 1) / scramblings)}
}

// over is their mean over that of others, with the error of the two together: by how much each is off from the share of its
// other.
func (x *each) over(y *each) Amount {
	whole := y.mean().Value
	if whole == 0 {
		return Amount{}
	}
	share := x.mean().Value / whole
	var off each
	for i := range off {
		off[i] = (x[i] - share*y[i]) / whole
	}
	return Amount{share, off.mean().Error}
}

// of reads a number of every scrambling, times a factor.
func (w *work) of(factor float64, read func(t *tally) float64) *each {
	var x each
	for i := range x {
		x[i] = factor * read(&w.tallies[i])
	}
	return &x
}

// power is the mean of what is counted, m².
func (w *work) power(read func(t *tally) float64) Amount {
	return w.of(1/float64(w.units), read).mean()
}

func reflected(t *tally) float64 {
	return t.end[StoppedByArms] + t.end[Away] + t.end[Spilled] + t.end[InWindow]
}

func onPlane(t *tally) float64 { return t.end[Spilled] + t.end[InWindow] }

func inWindow(t *tally) float64 { return t.end[InWindow] }

// result reads what was counted so far.
func (w *work) result(d *Dish) *Result {
	c := w.c
	r := &Result{
		Whole: d.Aperture(), RimAngle: d.RimAngle(), Reflected: w.power(reflected), Window: w.power(inWindow),
		Intercept: w.of(1, inWindow).over(w.of(1, reflected)), half: c.half,
	}
	for i := range c.pieces {
		r.Mirror += c.pieces[i].area
		r.Rays += int64(c.pieces[i].rays) * w.units * scramblings
	}
	r.Gaps = r.Whole - r.Mirror
	for e := range ends {
		a := Ended{End: e, Power: w.power(func(t *tally) float64 { return t.end[e] })}
		for i := range w.tallies {
			a.Rays += w.tallies[i].rays[e]
		}
		r.Ends = append(r.Ends, a)
	}
	area := c.window.Area()
	r.Mean = Amount{r.Window.Value / area, r.Window.Error / area}
	w.fillMap(r)
	w.fillPeak(r)
	r.WindowAngles = w.angles(func(t *tally) *[angleBins]float64 { return &t.windowAt })
	r.Round = w.curve(1/c.perRadius*2, func(t *tally) *[sizeBins]float64 { return &t.round }, func(s float64) float64 { return math.Pi / 4 * s * s })
	shape := c.window.Height / c.window.Width
	r.Scaled = w.curve(c.window.Width/c.perShare, func(t *tally) *[sizeBins]float64 { return &t.scaled }, func(s float64) float64 { return s * s * shape })
	return r
}

// Area returns the window's area, m².
func (w *Window) Area() float64 {
	if w.Round {
		return math.Pi / 4 * w.Width * w.Width
	}
	return w.Width * w.Height
}

func (w *work) angles(of func(t *tally) *[angleBins]float64) []float64 {
	out := make([]float64, angleBins)
	total := 0.0
	for i := range w.tallies {
		for k, x := range of(&w.tallies[i]) {
			out[k] += x
			total += x
		}
	}
	for k := range out {
		if total > 0 {
			out[k] /= total
		}
	}
	return out
}

func (w *work) fillMap(r *Result) {
	c, m := w.c, &r.Map
	for a, list := range [2]*[]float64{&m.Width, &m.Height} {
		for i := range c.bins[a] {
			*list = append(*list, (float64(i)+0.5)/c.perBin-c.half[a])
		}
	}
	p := w.power(onPlane)
	m.Power, m.PowerError = p.Value, p.Error
	m.Angles = w.angles(func(t *tally) *[angleBins]float64 { return &t.angles })
	m.Flux, m.Error = make([]float64, c.bins[0]*c.bins[1]), make([]float64, c.bins[0]*c.bins[1])
	bins := c.perBin * c.perBin // for each m²
	for n := range m.Flux {
		a := w.power(func(t *tally) float64 { return t.flux[n] })
		m.Flux[n], m.Error[n] = a.Value*bins, a.Error*bins
	}
	for a := range r.Centre {
		r.Centre[a] = w.of(1, func(t *tally) float64 { return t.centre[a] }).over(w.of(1, func(t *tally) float64 { return t.onMap })).Value
	}
}

// fillPeak looks for the brightest place within the window by the even scramblings and reads its bin by the odd ones, and the other
// way round: a largest number that is read where it was found is too large by what chance adds.
func (w *work) fillPeak(r *Result) {
	c := w.c
	bins := c.perBin * c.perBin / float64(w.units)
	var read each
	for half := range 2 {
		best, at := -1.0, 0
		for n := range r.Map.Flux {
			x, y := r.Map.Width[n%c.bins[0]]-c.window.Centre[0], r.Map.Height[n/c.bins[0]]-c.window.Centre[1]
			if math.Abs(x) > c.window.Width/2 || math.Abs(y) > c.window.Height/2 || c.window.Round && math.Hypot(x, y) > c.window.Width/2 {
				continue
			}
			sum := w.around(n, half)
			if sum > best {
				best, at = sum, n
			}
		}
		for i := 1 - half; i < scramblings; i += 2 {
			read[i] = w.tallies[i].flux[at] * bins
		}
		r.PeakAt[0] += r.Map.Width[at%c.bins[0]] / 2
		r.PeakAt[1] += r.Map.Height[at/c.bins[0]] / 2
	}
	r.Peak = read.mean()
}

// around is the light of a bin and of its eight neighbours, of every second scrambling: enough rays to tell where it is brightest.
func (w *work) around(n, first int) float64 {
	nx, ny := w.c.bins[0], w.c.bins[1]
	sum, cells := 0.0, 0.0
	for j := max(0, n/nx-1); j <= min(ny-1, n/nx+1); j++ {
		for i := max(0, n%nx-1); i <= min(nx-1, n%nx+1); i++ {
			for k := first; k < scramblings; k += 2 {
				sum += w.tallies[k].flux[i+j*nx]
			}
			cells++
		}
	}
	return sum / cells
}

// curvePoints is how many sizes a curve holds.
const curvePoints = 128

func (w *work) curve(perBin float64, of func(t *tally) *[sizeBins]float64, area func(size float64) float64) Curve {
	var below each
	whole := w.of(1, reflected)
	var out Curve
	for k := range sizeBins + 1 {
		if k%(sizeBins/curvePoints) == 0 {
			size := float64(k) * perBin
			out.Size, out.Area = append(out.Size, size), append(out.Area, area(size))
			out.Intercept = append(out.Intercept, below.over(whole))
		}
		for i := range w.tallies {
			if k < sizeBins {
				below[i] += of(&w.tallies[i])[k]
			}
		}
	}
	return out
}

// errors returns the standard errors of the power in the window and of the flux at the peak, each over its value; +Inf where
// nothing was caught.
func (r *Result) errors() (power, peak float64) {
	power, peak = math.Inf(1), math.Inf(1)
	if r.Window.Value > 0 {
		power = r.Window.Error / r.Window.Value
	}
	if r.Peak.Value > 0 {
		peak = r.Peak.Error / r.Peak.Value
	}
	return power, peak
}
