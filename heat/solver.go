package heat

import (
	"emberbank/block"
	"emberbank/kernel"
	"emberbank/receiver"
)

// rates are the heat flows of one evaluation, in W; their time integrals are carried through the scheme beside
// the enthalpies, with the same weights, so that what the solid gained is what crossed its faces to rounding.
//
// Order: lost by path (window first, then surfaces), absorbed light, electric heat, generated heat, then the
// heat that each slice of tube took.
type rates struct {
	paths, absorbed, electric, generated, slices int // offsets
	n                                            int
	stride                                       int // of the arrays by plane
}

// sources are the steady and switched heat sources in cells.
type source struct {
	cell   int32
	heater int32   // -1: generation
	watts  float64 // W, or the share of the heater's power
}

// solver holds the state of the solid and the scratch of the scheme.
type solver struct {
	b     *body
	net   *network
	skin  *skin
	tubes *tubes
	team  *team
	pad   int

	sources                   []source // sorted by cell
	planeSources              []int
	coarse                    *coarse
	loops                     *kernel.Set
	sweep                     kernel.Sweep  // what all evaluations have in common
	rising                    []span        // stretches of cells whose temperatures rise along slopes within a step, by plane
	melting                   []meltingSpan // by plane
	planeRising, planeMelting []int
	base                      []float64 // K, by cell: at the step's start
	slope                     []float32 // K kg/J, dT/dh at the step's middle
	zeros                     []float64 // as many as a plane has cells
	sloped                    bool      // slopes that never change are set
	offs                      []float64 // K, by plane: how far the slopes were off at the step's end
	hint                      []int32   // by run of cells: the piece of the curve that was last read

	y0, ya, yb, f0, f1 []float64 // J/kg, J/(kg s)
	spare              []float64
	t0, ta             []float64 // K, padded; temperatures of the stage and of the next
	extra              []float64 // W/K, what free faces and tubes add to a cell's row

	r                  rates
	aa, ab, r0, r1, rr []float64 // J, J, J, W, W, W
	planeRates         []float64 // by plane: paths, absorbed, electric, generated
	// Integrals of these, J, of the last two stages, and the rates at the step's start; aa and ab have them only of slices
	// until the step is done.
	planeAA, planeAB, planeR0 []float64
	train                     *train
	tally                     *tally
	touched                   []touched // by plane
	more                      []float64 // W/K, what free faces and tubes add to their rows
	planeTouched              []int
	touchedBy                 struct{ faces, links, lone []int32 } // places in touched of their cells
	errorWeight               []float64                            // m³ kg K/J: volume times the largest dT/dh; 0 for members of implicit parts
	solid                     float64                              // m³
	fresh                     bool                                 // t0 holds the temperatures of y0
	light                     float64                              // W absorbed by the block's face at the stage's time
	heaters                   []float64                            // W
	errs                      []float64                            // by plane
	jobs                      struct{ one, bound, slopes, read, blocks, discrepancy, readBack, fronts, water job }
	evaluations               int

	thin    *thin     // nil: every link is explicit
	streams []*stream // by circuit
	now     bool      // rates of the moment are wanted: the water as it stands
	elapsed float64   // s, from the last step's start to the moment that a row shows
	at      float64   // share of the step that has passed at the stage in hand
	tau     float64   // s, of the step in hand: the water is stepped implicitly over it; 0: at steady flow
}

// flow sets the heat that every slice of tube takes at the present temperatures.
func (s *solver) flow() {
	switch {
	case s.now:
		for _, w := range s.streams {
			w.stand(s.tubes, s.elapsed)
		}
	case len(s.streams) > 1 && s.boils(): // dear enough to be shared among threads
		s.team.each(&s.jobs.water)
	default:
		for _, w := range s.streams {
			w.sweep(s.tubes, s.tau, s.at)
		}
	}
	for _, i := range s.tubes.fixed {
		sl := &s.tubes.slices[i]
		if !s.now && sl.last-sl.first == 1 {
			continue // lone
		}
		sl.fluid = s.b.rec.Passes[sl.pass].Fluid
		sl.heat = sl.u * (sl.mean - sl.fluid)
		s.tubes.settle(int(i))
	}
}

// boils tells whether any circuit's water does.
func (s *solver) boils() bool {
	for _, w := range s.streams {
		if w.boils {
			return true
		}
	}
	return false
}

// waterPlane sweeps the k-th part of the circuits, as many parts as there are planes.
func (s *solver) waterPlane(k int) {
	n := len(s.streams)
	for i := k * n / s.b.nz; i < (k+1)*n/s.b.nz; i++ {
		s.streams[i].sweep(s.tubes, s.tau, s.at)
	}
}

func newSolver(p *Problem, b *body, net *network, sk *skin, tb *tubes) *solver {
	s := &solver{b: b, net: net, skin: sk, tubes: tb, team: newTeam(p.Threads, b.nz), pad: b.nx * b.ny}
	for _, v := range []*[]float64{&s.y0, &s.ya, &s.yb, &s.f0, &s.f1, &s.spare, &s.extra} {
		*v = b.shelf.doubles(b.n)
	}
	s.t0, s.ta = b.shelf.doubles(b.n+2*s.pad), b.shelf.doubles(b.n+2*s.pad)
	paths := 1 + len(b.rec.Surfaces)
	s.r = rates{paths: 0, absorbed: paths, electric: paths + 1, generated: paths + 2, slices: paths + 3}
	s.r.n = s.r.slices + len(tb.slices)
	for _, v := range []*[]float64{&s.aa, &s.ab, &s.r0, &s.r1, &s.rr} {
		*v = make([]float64, s.r.n)
	}
	const lines = len(line{}) / 8 // of two planes no numbers lie on one cache line, where two threads would write in turns
	s.r.stride = (s.r.slices + lines - 1) / lines * lines
	for _, v := range []*[]float64{&s.planeRates, &s.planeAA, &s.planeAB, &s.planeR0} {
		*v = make([]float64, b.nz*s.r.stride)
	}
	s.train = newTrain(s)
	s.errs = make([]float64, b.nz)
	s.hint = make([]int32, len(b.runs))
	if s.loops = p.Kernel; s.loops == nil {
		s.loops = kernel.Best()
	}
	s.errorWeight = b.shelf.doubles(b.n)
	s.sweep = kernel.Sweep{Gx: net.gx, Gy: net.gy, Gz: net.gz, W: b.minv, Row: b.nx, Plane: b.nx * b.ny}
	s.layTouched()
	s.layRising()
	s.coarse = newCoarse(b, net)
	s.coarse.ranges = layRanges(s)
	s.weigh()
	s.zeros = make([]float64, s.pad)
	net.loops, net.zeros = s.loops, s.zeros
	s.layJobs()
	s.heaters = make([]float64, len(b.rec.Heaters))
	s.placeSources()
	return s
}

// placeSources spreads generation and the heaters' power over cells.
func (s *solver) placeSources() {
	b := s.b
	byCell := make([][]source, b.nz)
	for h := range b.rec.Heaters {
		for _, c := range b.heaterCells(&b.rec.Heaters[h]) {
			k := int(c.cell) / (b.nx * b.ny)
			byCell[k] = append(byCell[k], source{c.cell, int32(h), c.watts})
		}
	}
	for c := range b.n {
		if b.medium[c] < 0 {
			continue
		}
		if q := b.rec.Parts[b.part[c]].Generation; q != 0 {
			k := c / (b.nx * b.ny)
			byCell[k] = append(byCell[k], source{int32(c), -1, q * b.volume[c]})
		}
	}
	s.planeSources = make([]int, b.nz+1)
	for k := range b.nz {
		s.sources = append(s.sources, byCell[k]...)
		s.planeSources[k+1] = len(s.sources)
	}
}

// heaterCells shares a heater's power over the cells that its line runs through, by length.
func (b *body) heaterCells(h *receiver.Heater) []source {
	g := b.g
	var at [3]int
	for a := range 3 {
		at[a] = max(0, g.Find(block.Axis(a), h.At[a]))
	}
	var out []source
	total := 0.0
	for i := range g.N(h.Axis) {
		from, to := max(h.From, g.Lines[h.Axis][i]), min(h.To, g.Lines[h.Axis][i+1])
		if to-from < 1e-9 {
			continue
		}
		at[h.Axis] = i
		c := g.Index(at[0], at[1], at[2])
		if b.medium[c] < 0 {
			continue
		}
		out = append(out, source{cell: int32(c), watts: to - from})
		total += to - from
	}
	for i := range out {
		out[i].watts /= total
	}
	return out
}

// weigh sets how much each cell counts in the step's error: members of implicit parts count with their parts.
func (s *solver) weigh() {
	b, q := s.b, s.coarse
	s.solid = 0
	for _, r := range b.runs {
		for c := r.from; c < r.to; c++ {
			s.errorWeight[c] = b.volume[c] * s.net.ratio[r.medium]
			s.solid += b.volume[c]
		}
	}
	if s.thin != nil {
		for _, c := range s.thin.cells {
			s.errorWeight[c] = 0
		}
	}
	clear(q.volume)
	for k := range b.nz {
		for j := range b.ny {
			row := q.volume[(q.k[k]*q.ny+q.j[j])*q.nx:][:q.nx]
			from := (k*b.ny + j) * b.nx
			for i, w := range s.errorWeight[from : from+b.nx] {
				if w > 0 {
					row[q.i[i]] += b.volume[from+i]
				}
			}
		}
	}
}
