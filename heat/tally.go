package heat

import (
	"math"

	"emberbank/kernel"
	"emberbank/receiver"
)

// tally adds up over cells: what the ledger needs after every step, what a row of the history shows, and what rules
// look at. Cells are taken in lots, plane by plane; sums of lots and planes carry their rounding along, so that the
// books show the scheme's balance, and are added in the order of the planes, so that the number of workers changes
// nothing.
type tally struct {
	b        *body
	s        *solver
	lots     []lot
	planes   []int // lots of plane k: lots[planes[k]:planes[k+1]]
	meltable float64
	has      [5]bool // which roles there are, of what is solid

	y         []float64     // J/kg, the enthalpies in hand
	sums      []sums        // by plane
	heat      []exact       // J, by plane
	high, low []float64     // J/kg, by plane and medium
	fresh     bool          // high and low are those of the last step
	taken     bool          // heat, high and low are those of the candidate step, or of the step that it has become
	curve     kernel.Course // of a row within a step: see rowWithin
	beside    func(k int)   // likewise
	outline   outline
	jobs      struct{ step, row, whole, mean, melted job }
}

// lot is a stretch of cells of one medium and one role within a plane.
type lot struct {
	from, to int32
	medium   int16
	role     receiver.Role
	mass     float64 // kg
}

// sums is what a row shows of the cells.
type sums struct {
	roles  [5]exact // J above 20 °C
	latent exact    // J
	mean   exact    // m³ K, of the block
	melted exact    // J, the latent heat of what is melted in the block
}

func newTally(b *body, s *solver) *tally {
	t := &tally{
		b: b, s: s, planes: make([]int, b.nz+1), sums: make([]sums, b.nz), heat: make([]exact, b.nz),
		high: make([]float64, b.nz*len(b.rec.Media)), low: make([]float64, b.nz*len(b.rec.Media)),
	}
	for k := range b.nz {
		for _, r := range b.runs[b.planeRuns[k]:b.planeRuns[k+1]] {
			for c := r.from; c < r.to; {
				l := lot{from: c, medium: r.medium, role: b.rec.Parts[b.part[c]].Role}
				for c < r.to && b.rec.Parts[b.part[c]].Role == l.role {
					c++
				}
				l.to = c
				for _, m := range b.mass[l.from:l.to] {
					l.mass += m
				}
				t.lots = append(t.lots, l)
				t.has[l.role] = true
			}
		}
		t.planes[k+1] = len(t.lots)
	}
	for _, c := range b.inBlock {
		t.meltable += b.mass[c] * b.rec.Media[b.medium[c]].Latent
	}
	s.tally = t
	t.jobs.step.plane = func(k int) { t.takePlane(k, s.y0) }
	t.jobs.row.plane, t.jobs.whole.plane = t.rowPlane, t.wholePlane
	t.jobs.mean.plane, t.jobs.melted.plane = t.meanPlane, t.meltedPlane
	return t
}

// step returns the heat content of the solid in J above 20 °C and notes the extremes of every medium.
func (t *tally) step() float64 {
	if !t.taken {
		t.s.team.each(&t.jobs.step)
	}
	t.taken, t.fresh = false, true
	var all exact
	for k := range t.heat {
		all.add(t.heat[k].sum)
		all.add(t.heat[k].rest)
	}
	return all.value()
}

// takePlane adds up plane k of the enthalpies all.
func (t *tally) takePlane(k int, all []float64) {
	n := len(t.b.rec.Media)
	high, low := t.high[k*n:(k+1)*n], t.low[k*n:(k+1)*n]
	for i := range high {
		high[i], low[i] = -inf, inf
	}
	var heat exact
	for i := t.planes[k]; i < t.planes[k+1]; i++ {
		l := &t.lots[i]
		y := all[l.from:l.to]
		high[l.medium], low[l.medium] = t.s.loops.Extremes(y, high[l.medium], low[l.medium])
		heat.weigh(t.s.loops, t.b.mass[l.from:l.to], y)
	}
	t.heat[k] = heat
}

// extremes returns the highest and lowest temperature of a medium in K after the last step; it has none where hot
// is below cold.
func (t *tally) extremes(medium int) (hot, cold float64) {
	if !t.fresh {
		t.step()
	}
	n := len(t.b.rec.Media)
	high, low := -inf, inf
	for k := range t.b.nz {
		high, low = math.Max(high, t.high[k*n+medium]), math.Min(low, t.low[k*n+medium])
	}
	if high < low {
		return 0, inf
	}
	e := t.b.enthalpy[medium]
	return e.Temperature(high), e.Temperature(low)
}

// row reads the temperatures of y0 and adds up what a row shows.
func (t *tally) row() {
	t.s.team.each(&t.jobs.whole)
}

// rowWithin is row with y0 first set between the step's start (ya) and end (yb), by the weights of the moment: of its end, of
// the bow over the chord, in s, and the inverse of the step's length, in 1/s. With the slope of the chord, the rate that the
// curve leaves by lies as much above it as the rate that it arrives by lies below, and the curve is a parabola. Where they do
// not agree the smaller counts, and none where they bow to either side: rates at a step's ends hold the fast decay of
// conductances that were found anew, though the enthalpies have hardly felt it. Beside, if it is not nil, is called for each plane
// once its temperatures are known.
func (t *tally) rowWithin(h kernel.Course, beside func(k int)) {
	t.curve, t.beside = h, beside
	if t.outline.of && t.outline.brief {
		for k := range t.b.nz {
			t.rowPlane(k)
		}
		return
	}
	t.s.team.each(&t.jobs.row)
}

func (t *tally) rowPlane(k int) {
	if t.outline.of {
		t.outlineRow(k)
	} else {
		t.withinPlane(k)
		t.addPlane(k)
	}
	if t.beside != nil {
		t.beside(k)
	}
}

// withinPlane sets the enthalpies and temperatures of plane k at the row's moment.
func (t *tally) withinPlane(k int) {
	s := t.s
	plane := t.b.nx * t.b.ny
	from, to := k*plane, (k+1)*plane
	s.loops.Within(s.y0[from:to], s.ya[from:to], s.yb[from:to], s.f0[from:to], s.f1[from:to], t.curve)
	s.temperatures(k, s.y0, s.t0)
}

func (t *tally) wholePlane(k int) {
	t.s.temperatures(k, t.s.y0, t.s.t0)
	t.addPlane(k)
}

// addPlane adds up plane k at the enthalpies y0 and their temperatures.
func (t *tally) addPlane(k int) {
	sum := &t.sums[k]
	*sum = sums{}
	for i := t.planes[k]; i < t.planes[k+1]; i++ {
		t.addLot(&t.lots[i], sum)
	}
}

// addLot adds up a lot at the enthalpies y0 and their temperatures.
func (t *tally) addLot(l *lot, sum *sums) {
	b, s := t.b, t.s
	mass, y := b.mass[l.from:l.to], s.y0[l.from:l.to]
	sum.roles[l.role].weigh(s.loops, mass, y)
	if l.role == receiver.RoleBlock {
		sum.mean.weigh(s.loops, b.volume[l.from:l.to], s.t0[s.pad+int(l.from):s.pad+int(l.to)])
	}
	if latent := b.rec.Media[l.medium].Latent; latent > 0 {
		e := b.enthalpy[l.medium]
		m := latent * t.melt(l, y)
		sum.latent.add(m)
		if l.role == receiver.RoleBlock {
			sum.melted.add(m)
		}
		if at20 := e.Melted(0); at20 > 0 {
			for _, v := range mass {
				sum.latent.add(-latent * v * at20)
			}
		}
	}
}

// blockMean returns the mean temperature of the block in K as the last row has it.
func (t *tally) blockMean() float64 {
	var all exact
	for k := range t.sums {
		all.add(t.sums[k].mean.value())
	}
	return all.value() / t.b.blockVol
}

// melted returns the melted share of what can melt in the block, by latent heat, as the last row has it.
func (t *tally) melted() float64 {
	if t.meltable == 0 {
		return 0
	}
	var all exact
	for k := range t.sums {
		all.add(t.sums[k].melted.value())
	}
	return math.Min(1, all.value()/t.meltable)
}

// meanOf returns the mean temperature of the block at the enthalpies y, in K. It takes the solver's ta for scratch.
func (t *tally) meanOf(y []float64) float64 {
	t.y = y
	t.s.team.each(&t.jobs.mean)
	return t.blockMean()
}

func (t *tally) meanPlane(k int) {
	b, s := t.b, t.s
	s.temperatures(k, t.y, s.ta)
	sum := &t.sums[k]
	sum.mean = exact{}
	for i := t.planes[k]; i < t.planes[k+1]; i++ {
		if l := &t.lots[i]; l.role == receiver.RoleBlock {
			sum.mean.weigh(s.loops, b.volume[l.from:l.to], s.ta[s.pad+int(l.from):s.pad+int(l.to)])
		}
	}
}

// meltedOf returns the melted share at the enthalpies y.
func (t *tally) meltedOf(y []float64) float64 {
	t.y = y
	t.s.team.each(&t.jobs.melted)
	return t.melted()
}

func (t *tally) meltedPlane(k int) {
	b := t.b
	sum := &t.sums[k]
	sum.melted = exact{}
	for i := t.planes[k]; i < t.planes[k+1]; i++ {
		l := &t.lots[i]
		if latent := b.rec.Media[l.medium].Latent; latent > 0 && l.role == receiver.RoleBlock {
			sum.melted.add(latent * t.melt(l, t.y[l.from:l.to]))
		}
	}
}

// hottestOf returns the highest temperature in the block at the enthalpies y, in K: temperature rises with enthalpy,
// so that one look-up a lot is enough.
func (t *tally) hottestOf(y []float64) float64 {
	most := 0.0
	for i := range t.lots {
		l := &t.lots[i]
		if l.role != receiver.RoleBlock {
			continue
		}
		high := -inf
		high, _ = t.s.loops.Extremes(y[l.from:l.to], high, inf)
		most = math.Max(most, t.b.enthalpy[l.medium].Temperature(high))
	}
	return most
}

// content returns the heat content as the last row has it.
func (t *tally) content() content {
	var c content
	var latent exact
	var roles [len(c.roles)]exact
	for k := range t.sums {
		s := &t.sums[k]
		latent.add(s.latent.value())
		for i := range roles {
			roles[i].add(s.roles[i].value())
		}
	}
	c.latent = latent.value()
	for i := range roles {
		c.roles[i] = roles[i].value()
	}
	return c
}

// melt returns the mass of what is melted of a lot at the enthalpies y, in kg.
func (t *tally) melt(l *lot, y []float64) float64 {
	e := t.b.enthalpy[l.medium]
	switch high, low := t.s.loops.Extremes(y, -inf, inf); {
	case high <= e.Hs:
		return 0
	case low >= e.Hl:
		return l.mass
	}
	return melt(t.b.mass[l.from:l.to], y, e.Hs, e.Hl)
}

// melt returns the mass of what is melted, in kg, for media that melt from hs to hl (J/kg).
func melt(mass, y []float64, hs, hl float64) float64 {
	mass = mass[:len(y)]
	sum, scale := 0.0, 1/(hl-hs)
	for i, v := range y {
		if v <= hs {
			continue
		}
		if v >= hl {
			sum += mass[i]
		} else {
			sum += mass[i] * ((v - hs) * scale)
		}
	}
	return sum
}
