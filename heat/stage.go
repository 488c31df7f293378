package heat

import (
	"emberbank/block"
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

	sources      []source // sorted by cell
	planeSources []int

	y0, ya, yb, f0, f1 []float64 // J/kg, J/(kg s)
	spare              []float64
	t0, ta             []float64 // K, padded; temperatures of the stage and of the next
	extra              []float64 // W/K, what free faces and tubes add to a cell's row

	r                      rates
	a0, aa, ab, r0, r1, rr []float64 // J, J, J, W, W, W
	planeRates             []float64 // by plane: paths, absorbed, electric, generated
	light                  float64   // W absorbed by the block's face at the stage's time
	heaters                []float64 // W
	errs, weights          []float64 // by plane
	evaluations            int

	streams []*stream // by circuit
	now     bool      // rates of the moment are wanted: the water as it stands
	elapsed float64   // s, from the last step's start to the moment that a row shows
	tau     float64   // s, of the step in hand: the water is stepped implicitly over it; 0: at steady flow
}

// flow sets the heat that every slice of tube takes at the present temperatures.
func (s *solver) flow() {
	for _, w := range s.streams {
		if s.now {
			w.stand(s.tubes, s.elapsed)
		} else {
			w.sweep(s.tubes, s.tau)
		}
	}
	for _, i := range s.tubes.fixed {
		sl := &s.tubes.slices[i]
		sl.fluid = s.b.rec.Passes[sl.pass].Fluid
		sl.heat = sl.u * (sl.mean - sl.fluid)
		sl.settle()
	}
}

func newSolver(p *Problem, b *body, net *network, sk *skin, tb *tubes) *solver {
	s := &solver{b: b, net: net, skin: sk, tubes: tb, team: newTeam(p.Threads, b.nz), pad: b.nx * b.ny}
	for _, v := range []*[]float64{&s.y0, &s.ya, &s.yb, &s.f0, &s.f1, &s.spare, &s.extra} {
		*v = make([]float64, b.n)
	}
	s.t0, s.ta = make([]float64, b.n+2*s.pad), make([]float64, b.n+2*s.pad)
	paths := 1 + len(b.rec.Surfaces)
	s.r = rates{paths: 0, absorbed: paths, electric: paths + 1, generated: paths + 2, slices: paths + 3}
	s.r.n = s.r.slices + len(tb.slices)
	for _, v := range []*[]float64{&s.a0, &s.aa, &s.ab, &s.r0, &s.r1, &s.rr} {
		*v = make([]float64, s.r.n)
	}
	s.planeRates = make([]float64, b.nz*s.r.slices)
	s.errs, s.weights = make([]float64, b.nz), make([]float64, b.nz)
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

// mix is how one stage is put together:
//
//	y = c0 y0 + mu ya + nu yb + mt F(T) + gt f0
type mix struct{ c0, mu, nu, mt, gt float64 }

// evaluate computes F for the temperatures t0 into f and the rates into r.
func (s *solver) evaluate(f, r []float64) {
	s.evaluations++
	s.tubes.measure(s.t0, s.pad)
	s.flow()
	s.team.run(func(k0, k1 int) {
		for k := k0; k < k1; k++ {
			s.net.plane(k, s.t0, f)
			s.others(k, f, 1)
		}
	})
	s.sum(r)
}

// stage computes one stage into y (which may be yb) and the temperatures of the next stage into ta.
func (s *solver) stage(m mix, ya, y []float64) {
	s.evaluations++
	s.tubes.measure(s.t0, s.pad)
	s.flow()
	s.team.run(func(k0, k1 int) {
		for k := k0; k < k1; k++ {
			s.net.planeStage(k, s.t0, m, s.y0, ya, s.f0, y)
			s.others(k, y, m.mt)
			s.temperatures(k, y, s.ta)
		}
	})
	s.sum(s.rr)
	s.t0, s.ta = s.ta, s.t0
}

// temperatures reads the temperatures of plane k from the enthalpies y into the padded array t.
func (s *solver) temperatures(k int, y, t []float64) {
	b := s.b
	for _, r := range b.runs[b.planeRuns[k]:b.planeRuns[k+1]] {
		b.readings[r.medium].read(t[s.pad+int(r.from):s.pad+int(r.to)], y[r.from:r.to])
	}
}

// plane computes F of plane k in J/(kg s) from conduction alone. It is planeStage without its sums: a stage of zero
// weights would read arrays that a refused step may have left with NaN.
func (n *network) plane(k int, t, f []float64) {
	b := n.b
	nx, plane := b.nx, b.nx*b.ny
	for j := range b.ny {
		c := k*plane + j*nx
		p := n.pad + c
		out := f[c : c+nx]
		w := b.minv[c : c+nx][:len(out)]
		tc := t[p : p+nx][:len(out)]
		txm, txp := t[p-1 : p-1+nx][:len(out)], t[p+1 : p+1+nx][:len(out)]
		tym, typ := t[p-nx : p][:len(out)], t[p+nx : p+2*nx][:len(out)]
		tzm, tzp := t[p-plane : p-plane+nx][:len(out)], t[p+plane : p+plane+nx][:len(out)]
		gxm, gxp := n.gx[p-1 : p-1+nx][:len(out)], n.gx[p : p+nx][:len(out)]
		gym, gyp := n.gy[p-nx : p][:len(out)], n.gy[p : p+nx][:len(out)]
		gzm, gzp := n.gz[p-plane : p-plane+nx][:len(out)], n.gz[p : p+nx][:len(out)]
		for i := range out {
			x := tc[i]
			out[i] = w[i] * (gxm[i]*(txm[i]-x) + gxp[i]*(txp[i]-x) +
				gym[i]*(tym[i]-x) + gyp[i]*(typ[i]-x) +
				gzm[i]*(tzm[i]-x) + gzp[i]*(tzp[i]-x))
		}
	}
}

// planeStage computes one stage of plane k from conduction alone; y holds y of two stages before on entry.
func (n *network) planeStage(k int, t []float64, m mix, y0, ya, f0, y []float64) {
	b := n.b
	nx, plane := b.nx, b.nx*b.ny
	for j := range b.ny {
		c := k*plane + j*nx
		p := n.pad + c
		out := y[c : c+nx]
		z0, za, fz := y0[c : c+nx][:len(out)], ya[c : c+nx][:len(out)], f0[c : c+nx][:len(out)]
		w := b.minv[c : c+nx][:len(out)]
		tc := t[p : p+nx][:len(out)]
		txm, txp := t[p-1 : p-1+nx][:len(out)], t[p+1 : p+1+nx][:len(out)]
		tym, typ := t[p-nx : p][:len(out)], t[p+nx : p+2*nx][:len(out)]
		tzm, tzp := t[p-plane : p-plane+nx][:len(out)], t[p+plane : p+plane+nx][:len(out)]
		gxm, gxp := n.gx[p-1 : p-1+nx][:len(out)], n.gx[p : p+nx][:len(out)]
		gym, gyp := n.gy[p-nx : p][:len(out)], n.gy[p : p+nx][:len(out)]
		gzm, gzp := n.gz[p-plane : p-plane+nx][:len(out)], n.gz[p : p+nx][:len(out)]
		for i := range out {
			x := tc[i]
			q := gxm[i]*(txm[i]-x) + gxp[i]*(txp[i]-x) +
				gym[i]*(tym[i]-x) + gyp[i]*(typ[i]-x) +
				gzm[i]*(tzm[i]-x) + gzp[i]*(tzp[i]-x)
			out[i] = m.c0*z0[i] + m.mu*za[i] + m.nu*out[i] + m.mt*(w[i]*q) + m.gt*fz[i]
		}
	}
}

// others adds what comes over free faces, from sources and from tubes to plane k of y, weighted by weight, and
// keeps the plane's rates.
func (s *solver) others(k int, y []float64, weight float64) {
	b := s.b
	r := s.planeRates[k*s.r.slices : (k+1)*s.r.slices]
	for i := range r {
		r[i] = 0
	}
	for i := b.planeFaces[k]; i < b.planeFaces[k+1]; i++ {
		f := &b.faces[i]
		light := f.share * s.light
		in, lost := s.skin.flux(i, s.t0[s.pad+int(f.cell)], light)
		y[f.cell] += weight * b.minv[f.cell] * in
		r[b.patches[f.patch].path] += lost
		r[s.r.absorbed] += light
	}
	for i := s.planeSources[k]; i < s.planeSources[k+1]; i++ {
		src := &s.sources[i]
		q := src.watts
		if src.heater >= 0 {
			q *= s.heaters[src.heater]
			r[s.r.electric] += q
		} else {
			r[s.r.generated] += q
		}
		y[src.cell] += weight * b.minv[src.cell] * q
	}
	for _, li := range s.tubes.byPlane[s.tubes.planeLinks[k]:s.tubes.planeLinks[k+1]] {
		l := &s.tubes.links[li]
		q := s.tubes.draw(l, s.t0[s.pad+int(l.cell)])
		y[l.cell] -= weight * b.minv[l.cell] * q
	}
}

// sum adds the planes' rates in their order and the slices' heat into r.
func (s *solver) sum(r []float64) {
	for i := range s.r.slices {
		r[i] = 0
	}
	for k := range s.b.nz {
		for i := range s.r.slices {
			r[i] += s.planeRates[k*s.r.slices+i]
		}
	}
	for i := range s.tubes.slices {
		r[s.r.slices+i] = s.tubes.slices[i].heat
	}
}

// combine does for the integrals what a stage does for the enthalpies.
func combine(m mix, a0, aa, r, r0, out []float64) {
	for i := range out {
		out[i] = m.c0*a0[i] + m.mu*aa[i] + m.nu*out[i] + m.mt*r[i] + m.gt*r0[i]
	}
}
