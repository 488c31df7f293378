package balance

import (
	"fmt"
	"math"

	"emberbank/uncertainty"
	"emberbank/water"
)

// Drying is heat that went missing in the first heat-up above the boiling point of water, and in no later part of the
// record: what new or wet insulation takes to dry.
type Drying struct {
	From, To float64 // s, in which the heat went missing
	Until    float64 // s, the end of that heat-up, or To where that is later
	Heat     float64 // J
	U        float64 // J, standard uncertainty: the fit's scatter with its memory, and the source's factor
	DoF      float64
	Water    float64 // kg that this heat would warm and evaporate
	Plateaus []Plateau
	Deficit  float64 // K, by which the block is colder for it than a run that does not know of it
	Found    bool    // beyond chance
	Sentence string
}

// The numbers that decide; tried on made-up walls with and without water in the tests.
const (
	boils        = 373.15 // K, of water in insulation open to the air
	dryingLevel  = 0.02   // chance of a false alarm that is aimed at, shared out over the courses tried
	dryingShare  = 0.005  // of the heat put in: less is not worth a word
	dryingPoints = 400
	// dryingFreedom is the least number of degrees of freedom of the scatter. Its memory is that of the fit's own error, which
	// is slow, so that the count by the memory would leave two or three; the tests hold the rate of false alarms.
	dryingFreedom = 6
)

// dryingCourses are the courses tried: over which share of the hot time the heat goes missing, evenly or, as behind a
// front that moves inwards, by the root of time.
var dryingCourses = [...]struct{ share, power float64 }{{0.15, 1}, {0.3, 1}, {0.6, 1}, {1, 1}, {0.3, 0.5}, {0.6, 0.5}, {1, 0.5}}

// physical fits y by the columns of a dry wall and by s. Heat stored and losses are not below zero: columns that come
// out so are left out, one after the other. The first column is free, and s the last of those that are kept.
func physical(columns [][]float64, s, y []float64) (*regression, [][]float64, error) {
	kept := append(append([][]float64(nil), columns...), s)
	for {
		r, err := regress(kept, y)
		if err != nil {
			return nil, nil, err
		}
		worst, at := 0.0, -1
		for j := 1; j+1 < len(kept); j++ {
			if z := r.beta[j] / math.Max(r.u[j], 1e-300); r.beta[j] < 0 && z < worst {
				worst, at = z, j
			}
		}
		if at < 0 {
			return r, kept, nil
		}
		kept = append(kept[:at:at], kept[at+1:]...)
	}
}

// drying looks for heat that is missing in the first heat-up and for thermometers in the insulation that stand at the
// boiling point on their first way up. nil: the record tells neither, and why says what it lacks.
func (in *Input) drying(phases []Phase) (*Drying, string) {
	d, why := in.missing(phases)
	plateaus := in.plateaus()
	if len(plateaus) == 0 {
		return d, why
	}
	if d == nil {
		d = &Drying{Heat: math.NaN(), U: math.NaN(), Water: math.NaN(), Deficit: math.NaN()}
	}
	if !d.Found {
		d.From, d.To = plateaus[0].From, plateaus[0].To
		for _, p := range phases {
			if p.Kind == HeatUp && p.From <= d.From && d.From < p.To {
				d.Until = p.To
			}
		}
	}
	d.Found, d.Plateaus = true, plateaus
	for _, p := range plateaus {
		d.From, d.To = math.Min(d.From, p.From), math.Max(d.To, p.To)
	}
	d.Until = math.Max(d.Until, d.To)
	d.say()
	return d, ""
}

// missing looks for heat that is missing in the first heat-up above 100 °C. nil: the record cannot tell, and why says
// what it lacks.
//
// The heat that has left the block, E = ∫ P dt − ∫ q dt − (H − H₀), is described by what any dry wall does, whatever it
// is made of:
//
//	E = a + c₀ (T − T₀) + Σ cⱼ (Tⱼ − T₀) + U ∫ (T − Tₐ) dt + V ∫ (T − Tₐ)² dt + D s(t)
//
// T is the block's temperature and Tⱼ follows it with a lag of a fortieth, a twelfth and a quarter of the record: heat
// stored in layers, which comes back. U and V are losses, V those that grow with temperature. D is heat that does not
// come back: s rises from 0 to 1 from the moment at which the block passes 100 °C. Of four courses of s, which differ in
// how long that takes, the one that explains E best counts. The form is our own; drying as a sink at the boiling point
// that stays away the second time is common experience without a source.
func (in *Input) missing(phases []Phase) (d *Drying, why string) {
	if !in.metered() || in.Capacity == nil || len(in.channels(Block)) == 0 {
		return nil, "watts, the block's temperature and its heat capacity are needed"
	}
	t, T := in.History.Time, in.blockMean()
	from, to, end := passing(t, T, phases)
	if from < 0 {
		return nil, "no heat-up passes 100 °C from below"
	}
	gone, given, held, err := in.leaving(T)
	if err != nil {
		return nil, err.Error()
	}
	columns, y, shifts, x := in.wall(T, gone, given, held)
	if len(x) < 40 {
		return nil, "there are too few rows"
	}
	if x[len(x)-1] < t[to]+0.25*(t[to]-t[0]) {
		return nil, "the record ends with the heat-up, and there is nothing to compare it with"
	}
	best := math.Inf(1)
	for _, course := range dryingCourses {
		stop := t[from] + course.share*(t[end]-t[from])
		s := make([]float64, len(x))
		for i, v := range x {
			s[i] = math.Pow(math.Min(1, math.Max(0, (v-t[from])/(stop-t[from]))), course.power)
		}
		r, kept, err := physical(columns, s, y)
		if err != nil {
			continue
		}
		sum := meanSquare(r.residuals)
		if sum >= best {
			continue
		}
		last := len(kept) - 1
		one := &Drying{From: t[from], To: stop, Heat: r.beta[last], U: r.u[last], DoF: math.Max(r.dof, dryingFreedom)}
		scatter := one.U
		for _, e := range shifts { // systematic errors, one for the whole record
			shift, err := regress(kept, e)
			if err != nil {
				continue
			}
			one.U = math.Hypot(one.U, shift.beta[last])
		}
		if scatter > 0 {
			one.DoF *= math.Pow(one.U/scatter, 4)
		}
		best, d = sum, one
	}
	if d == nil {
		return nil, "the record cannot tell missing heat from losses"
	}
	d.Until = math.Max(d.To, t[to])
	d.Water = d.Heat / heatOfDrying(T[0])
	if c := in.Capacity.Heat(T[to]+1) - in.Capacity.Heat(T[to]); c > 0 {
		d.Deficit = d.Heat / c
	}
	level := dryingLevel / float64(len(dryingCourses))
	if !again(phases, t[to]) {
		level /= 10 // nothing but the cooling to compare with, which other walls than those tried may bend
	}
	d.Found = d.Heat > dryingShare*given[to] && d.Heat > uncertainty.CoverageFactor(1-2*level, d.DoF)*d.U
	d.say()
	return d, ""
}

// again tells whether a heat-up begins after t.
func again(phases []Phase, t float64) bool {
	for _, p := range phases {
		if p.Kind == HeatUp && p.From >= t {
			return true
		}
	}
	return false
}

// say makes the sentences.
func (d *Drying) say() {
	half := uncertainty.CoverageFactor(0.95, d.DoF) * d.U
	told := d.Heat > 0 && d.Heat > half
	switch {
	case !d.Found:
		d.Sentence = fmt.Sprintf("No drying shows in the first heat-up above 100"+narrow+"°C: heat missing there and nowhere else is %s (95"+narrow+"%%).", Joules(d.Heat, half))
		return
	case told:
		d.Sentence = fmt.Sprintf("The first heat-up above 100"+narrow+"°C took %s (95"+narrow+"%%) more than the rest of the record explains, from %s to about %s. "+
			"That would dry %s"+narrow+"kg of water out of new or wet insulation; the true amount may be twice that, since insulation that stays at 100"+narrow+"°C also lets less heat through. ",
			Joules(d.Heat, half), clockTime(d.From), clockTime(d.To), plusMinus(d.Water, half*d.Water/d.Heat))
	case !math.IsNaN(d.Heat):
		d.Sentence = fmt.Sprintf("Insulation dries from %s to about %s; the heat that it takes cannot be told from other losses, it is %s (95"+narrow+"%%). ", clockTime(d.From), clockTime(d.To), Joules(d.Heat, half))
	default:
		d.Sentence = fmt.Sprintf("Insulation dries from %s to about %s; how much heat it takes this record does not tell. ", clockTime(d.From), clockTime(d.To))
	}
	for _, p := range d.Plateaus {
		d.Sentence += p.Sentence + " "
	}
	d.Sentence += "No run knows of this heat: leave that stretch out of a match. Steam from drying insulation needs a way out; where it is shut in, pressure rises."
}

// passing finds the row at which the block first passes 100 °C in a heat-up, the last row of that heat-up, and the row at
// which the block is back below 100 °C or is heated up again, or the last. from is -1 where there is none.
func passing(t, T []float64, phases []Phase) (from, to, end int) {
	for k, p := range phases {
		a, b := within(t, p.From, p.To)
		if p.Kind != HeatUp || b-a < 8 || !(quantile(T[a:min(b, a+5)], 0.5) < boils-10) || !(quantile(T[max(a, b-5):b], 0.5) > boils+10) {
			if b > a && quantile(T[a:b], 0.5) > boils+10 {
				return -1, 0, 0 // it was hot before
			}
			continue
		}
		from = a
		for from < b-1 && !(T[from] > boils) {
			from++
		}
		end = len(t) - 1
		for _, q := range phases[k+1:] {
			if q.Kind == HeatUp {
				end, _ = within(t, q.From, q.From)
				break
			}
		}
		for i := b; i < end; i++ {
			if T[i] < boils {
				end = i
				break
			}
		}
		return from, b - 1, min(end, len(t)-1)
	}
	return -1, 0, 0
}

// leaving returns by row the heat that has left the block other than to the water, and the heat put in.
func (in *Input) leaving(T []float64) (gone, given, held []float64, err error) {
	t, P := in.History.Time, in.sourcePower()
	n := len(t)
	q := make([]float64, n)
	for _, of := range in.circuits() {
		if i := in.find(ToWater, of); i >= 0 {
			for k, v := range in.values(i) {
				q[k] += v
			}
			continue
		}
		if in.find(Flow, of) < 0 {
			continue
		}
		_, w, err := in.water(newModel(), of, t[0], t[n-1])
		if err != nil {
			continue
		}
		for k, r := 0, 0; k < len(w.t); k++ {
			for r < n && t[r] < w.t[k] {
				r++
			}
			if r < n && t[r] == w.t[k] {
				q[r] += w.flow[k] * w.rise[k]
			}
		}
	}
	gone, given, held = make([]float64, n), make([]float64, n), make([]float64, n)
	lastP, lastT := 0.0, T[0]
	if math.IsNaN(lastT) {
		return nil, nil, nil, fmt.Errorf("the first row lacks the block's temperature")
	}
	water, start := 0.0, in.Capacity.Heat(T[0])
	for k := range t {
		p := P[k]
		if math.IsNaN(p) {
			p = lastP
		}
		if k > 0 {
			dt := t[k] - t[k-1]
			given[k] = given[k-1] + dt*(p+lastP)/2
			water += dt * (finiteOr(q[k], 0) + finiteOr(q[k-1], 0)) / 2
		}
		if !math.IsNaN(T[k]) {
			lastT = T[k]
		}
		lastP = p
		held[k] = in.Capacity.Heat(lastT) - start
		gone[k] = given[k] - water - held[k]
	}
	return gone, given, held, nil
}

func finiteOr(v, other float64) float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return other
	}
	return v
}

// wall returns the columns of the dry wall, the heat that has left, what a standard uncertainty of the source's factors
// moves it by, and the times, thinned by means.
func (in *Input) wall(T, gone, given, held []float64) (columns [][]float64, y []float64, shifts [][]float64, x []float64) {
	t := in.History.Time
	n := len(t)
	amb := in.channels(Ambient)
	raw := make([][]float64, 7)
	for j := range raw {
		raw[j] = make([]float64, n)
	}
	span := t[n-1] - t[0]
	lags := [3]float64{span / 40, span / 12, span / 4}
	var behind [3]float64
	lastT, lastA := T[0], T[0]
	if len(amb) > 0 && !math.IsNaN(in.values(amb[0])[0]) {
		lastA = in.values(amb[0])[0]
	}
	for k := range t {
		Tk, Ak := T[k], lastA
		if len(amb) > 0 {
			Ak = finiteOr(in.values(amb[0])[k], lastA)
		}
		if math.IsNaN(Tk) {
			Tk = lastT
		}
		raw[0][k] = 1
		raw[1][k] = Tk - T[0]
		if k > 0 {
			dt := t[k] - t[k-1]
			a, b := lastT-lastA, Tk-Ak
			raw[2][k] = raw[2][k-1] + dt*(a+b)/2
			raw[3][k] = raw[3][k-1] + dt*(a*a+b*b)/2
			for j, lag := range lags {
				mid := (lastT+Tk)/2 - T[0]
				behind[j] = mid + (behind[j]-mid)*math.Exp(-dt/lag)
			}
		}
		for j := range lags {
			raw[4+j][k] = behind[j]
		}
		lastT, lastA = Tk, Ak
	}
	x, y = thinned(t, gone, dryingPoints)
	for j := range raw {
		_, c := thinned(t, raw[j], dryingPoints)
		columns = append(columns, c)
	}
	_, source := thinned(t, given, dryingPoints)
	_, stored := thinned(t, held, dryingPoints)
	u, c := in.factorError(), 0.0
	for i := range in.Capacity.Errors {
		c = math.Hypot(c, in.Capacity.Errors[i].Constant)
	}
	for i := range source {
		source[i] *= u
		stored[i] *= c
	}
	if u > 0 {
		shifts = append(shifts, source)
	}
	if c > 0 {
		shifts = append(shifts, stored)
	}
	return columns, y, shifts, x
}

// factorError returns the relative standard uncertainty of the heat put in, all sources taken as one.
func (in *Input) factorError() float64 {
	u := 0.0
	for _, i := range in.channels(Source) {
		c, v := &in.Channels[i], 0.0
		for k := range c.FactorErrors {
			v = math.Hypot(v, c.FactorErrors[k].Constant)
		}
		usual := quantile(in.values(i), 0.98)
		for k := range c.Errors {
			if usual > 0 {
				v = math.Hypot(v, c.Errors[k].At(usual)/usual)
			}
		}
		u = math.Max(u, v)
	}
	return u
}

// heatOfDrying is the heat in J/kg that water takes from a temperature to dry steam at the atmosphere's pressure.
func heatOfDrying(T float64) float64 {
	steam, err := water.SaturatedVapour(atmosphere)
	if err != nil {
		return 2.6e6
	}
	liquid, err := water.AtPT(atmosphere, math.Min(math.Max(T, 274), 372))
	if err != nil {
		return 2.6e6
	}
	return steam.H - liquid.H
}
