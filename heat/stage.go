package heat

import (
	"math"
	"slices"
)

// layJobs makes the sweeps that every step runs, so that none is made inside a step.
func (s *solver) layJobs() {
	one := &s.train.crews[0].stages[0]
	s.jobs.one.plane = func(k int) { s.carPlane(k, one) }
	s.jobs.one.left = s.train.left
	s.jobs.discrepancy.plane = func(k int) {
		s.discrepancyPlane(k, s.ya, true)
		s.meltsPlane(k, s.ya)
	}
	s.jobs.blocks.plane, s.jobs.fronts.plane, s.jobs.bound.plane, s.jobs.water.plane = s.blocksPlane, s.frontsPlane, s.boundPlane, s.waterPlane
	s.jobs.slopes.plane = s.slopesPlane
	s.jobs.read.plane = func(k int) { s.endTemperatures(k, s.ya, s.t0) }
	s.jobs.readBack.plane = func(k int) { s.temperatures(k, s.y0, s.t0) }
}

// evaluate computes F for the temperatures t0 into f and the rates into r, with faces solved exactly or as they were expanded.
func (s *solver) evaluate(f, r []float64, exact bool) {
	s.evaluations++
	s.tubes.takeLone()
	s.tubes.measureJoined(s.t0, s.pad)
	c := &s.train.crews[0].stages[0]
	*c = car{sweep: s.sweep, t: s.t0, light: s.light, exact: exact}
	c.sweep.T, c.sweep.Y = s.t0, f
	s.flow()
	s.team.each(&s.jobs.one)
	s.sum(r, s.planeRates)
}

// temperatures reads the temperatures of plane k from the enthalpies y into the padded array t.
func (s *solver) temperatures(k int, y, t []float64) {
	b := s.b
	for i := b.planeRuns[k]; i < b.planeRuns[k+1]; i++ {
		r := &b.runs[i]
		s.hint[i] = b.readings[r.medium].readSum(s.loops, t[s.pad+int(r.from):s.pad+int(r.to)], y[r.from:r.to], s.zeros[:r.to-r.from], s.hint[i])
	}
}

// stageTemperatures sets the temperatures of plane k for the increments d over y0. Where a medium melts they are read
// from its curve; elsewhere they rise from the step's start along the curve's slope at the step's middle, and are read
// when the step ends.
func (s *solver) stageTemperatures(k int, d, t []float64) {
	b := s.b
	for i := s.planeMelting[k]; i < s.planeMelting[k+1]; i++ {
		q := &s.melting[i]
		r := &b.readings[q.medium]
		if q.last-q.first > 1 && s.loops.Read(t[s.pad+int(q.from):s.pad+int(q.to)], s.y0[q.from:q.to], d[q.from:q.to], r.curve) == int(q.to-q.from) {
			continue
		}
		for run := q.first; run < q.last; run++ {
			if o := &b.runs[run]; o.medium == q.medium {
				s.hint[run] = r.readSum(s.loops, t[s.pad+int(o.from):s.pad+int(o.to)], s.y0[o.from:o.to], d[o.from:o.to], s.hint[run])
			}
		}
	}
	for _, q := range s.rising[s.planeRising[k]:s.planeRising[k+1]] {
		s.loops.Rise(t[s.pad+int(q.from):s.pad+int(q.to)], s.base[q.from:q.to], d[q.from:q.to], s.slope[q.from:q.to])
	}
}

// meltingSpan is cells of a plane of which those of one medium, that melts, are read from its curve: of the runs first..last the ones
// of that medium. What lies between them is read along, by one call for many, and rises to what it is afterwards.
type meltingSpan struct {
	span
	first, last int
}

// readAlong is how many cells of others between two runs are read along at the most: to read them takes less time than another call.
const readAlong = 32

// endTemperatures reads all temperatures of plane k for the last stage's increments d, in t on entry, and notes by how
// much those that rose along a slope were off.
func (s *solver) endTemperatures(k int, d, t []float64) {
	b := s.b
	most := 0.0
	for i := b.planeRuns[k]; i < b.planeRuns[k+1]; i++ {
		r := &b.runs[i]
		from, to := int(r.from), int(r.to)
		if b.rec.Media[r.medium].Latent > 0 {
			continue
		}
		out, rose := t[s.pad+from:s.pad+to], s.base[from:to] // the step's start is no longer needed
		copy(rose, out)
		s.hint[i] = b.readings[r.medium].readSum(s.loops, out, s.y0[from:to], d[from:to], s.hint[i])
		if s.thin != nil { // members of parts have theirs already
			for c, w := range s.errorWeight[from:to] {
				if w == 0 {
					out[c] = rose[c]
				}
			}
		}
		most = max(most, s.loops.Apart(out, rose))
	}
	s.offs[k] = most
}

// layRising splits every plane into the stretches where temperatures rise along slopes, air between them counted in,
// and the runs of media that melt.
func (s *solver) layRising() {
	b := s.b
	s.base, s.slope, s.offs = b.shelf.doubles(b.n), b.shelf.singles(b.n), make([]float64, b.nz)
	s.planeRising, s.planeMelting = make([]int, b.nz+1), make([]int, b.nz+1)
	for k := range b.nz {
		at := int32(k * s.pad)
		add := func(to int32) {
			if to > at {
				s.rising = append(s.rising, span{from: at, to: to})
			}
		}
		for i := b.planeRuns[k]; i < b.planeRuns[k+1]; i++ {
			if r := &b.runs[i]; b.rec.Media[r.medium].Latent > 0 {
				add(r.from)
				at = r.to
				s.addMelting(k, i)
			}
		}
		add(int32((k + 1) * s.pad))
		s.planeRising[k+1], s.planeMelting[k+1] = len(s.rising), len(s.melting)
	}
}

// addMelting adds run i of plane k to what is read from a curve.
func (s *solver) addMelting(k, i int) {
	r := s.b.runs[i]
	if n := len(s.melting); n > s.planeMelting[k] {
		last := &s.melting[n-1]
		if last.medium == r.medium && r.from-last.to <= readAlong && s.b.readings[r.medium].curve != nil {
			last.to, last.last = r.to, i+1
			return
		}
	}
	s.melting = append(s.melting, meltingSpan{r, i, i + 1})
}

// slopesPlane sets the slopes of plane k at the enthalpies foretold for the step's middle.
func (s *solver) slopesPlane(k int) {
	b := s.b
	for i := b.planeRuns[k]; i < b.planeRuns[k+1]; i++ {
		r := &b.runs[i]
		if b.rec.Media[r.medium].Latent > 0 || s.sloped && b.readings[r.medium].straight() {
			continue
		}
		b.readings[r.medium].slopes(s.slope[r.from:r.to], s.y0[r.from:r.to], s.f1[r.from:r.to], 0.5*s.tau)
	}
}

// rises sets the slopes for the coming step.
func (s *solver) rises() {
	s.team.each(&s.jobs.slopes)
	s.sloped = true
}

// mismatch returns by how much, in K, temperatures that rose along slopes were off at the step's end.
func (s *solver) mismatch() float64 { return slices.Max(s.offs) }

// give adds what sources in plane k give.
func (s *solver) give(k int, weight float64, y, r []float64) {
	for i := s.planeSources[k]; i < s.planeSources[k+1]; i++ {
		src := &s.sources[i]
		q := src.watts
		if src.heater >= 0 {
			q *= s.heaters[src.heater]
			r[s.r.electric] += q
		} else {
			r[s.r.generated] += q
		}
		y[src.cell] += weight * float64(s.b.minv[src.cell]) * q
	}
}

// drawn adds what links of joined slices draw from plane k.
func (s *solver) drawn(k int, t []float64, weight float64, y []float64) {
	for _, li := range s.tubes.byPlane[s.tubes.planeLinks[k]:s.tubes.planeLinks[k+1]] {
		l := &s.tubes.links[li]
		q := s.tubes.draw(l, t[l.cell])
		y[l.cell] -= weight * float64(s.b.minv[l.cell]) * q
	}
}

// sum adds the rates by plane in the planes' order and the slices' heat into r.
func (s *solver) sum(r, byPlane []float64) {
	s.sumPlanes(r, byPlane)
	for i := range s.tubes.slices {
		r[s.r.slices+i] = s.tubes.slices[i].heat
	}
}

// sumPlanes adds up what is kept by plane, in the planes' order.
func (s *solver) sumPlanes(r, byPlane []float64) {
	r = r[:s.r.slices]
	clear(r)
	for k := range s.b.nz {
		for i, v := range byPlane[k*s.r.stride:][:len(r)] {
			r[i] += v
		}
	}
}

// frontsPlane keeps the largest change of the melted share of any cell of plane k that melts at one temperature.
func (s *solver) frontsPlane(k int) {
	b := s.b
	most := 0.0
	for _, r := range b.runs[b.planeRuns[k]:b.planeRuns[k+1]] {
		if !s.net.tables[r.medium].sharp {
			continue
		}
		e := b.enthalpy[r.medium]
		for c := r.from; c < r.to; c++ {
			if d := math.Abs(e.Melted(s.ya[c]) - e.Melted(s.y0[c])); d > most {
				most = d
			}
		}
	}
	s.errs[k] = most
}
