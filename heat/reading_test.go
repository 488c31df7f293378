package heat

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"emberbank/kernel"
	"emberbank/material"
)

// curves are media whose heat capacity is constant, varies, and varies with a melting range and a sharp melting point.
func curves() map[string]*material.Enthalpy {
	curve := func(base float64) material.Curve {
		return material.Curve{T: []float64{250, 600, 1200}, V: []float64{base, 1.4 * base, 1.5 * base}, Min: 250, Max: 1200, Hold: true}
	}
	straight := plain(2000, 900, 2)
	bent := straight
	bent.HeatCapacity = curve(800)
	melting := bent
	melting.Latent, melting.Solidus, melting.Liquidus, melting.HeatCapacityMelted = 1e5, 500, 520, curve(900)
	sharp := melting
	sharp.Liquidus = sharp.Solidus
	return map[string]*material.Enthalpy{
		"constant": material.NewEnthalpy(&straight), "varying": material.NewEnthalpy(&bent),
		"melting over a range": material.NewEnthalpy(&melting), "melting at a point": material.NewEnthalpy(&sharp),
	}
}

func kernels(t testing.TB) []*kernel.Set {
	t.Helper()
	if best := kernel.Best(); best.Name != kernel.Plain().Name {
		return []*kernel.Set{kernel.Plain(), best}
	}
	return []*kernel.Set{kernel.Plain()}
}

// Runs are as short as a thin layer or as long as a plane, and a body at one temperature must stay at one: which loop
// reads a cell must not show, not in the last bit.
func TestACellsTemperatureDoesNotDependOnTheRunItIsReadIn(t *testing.T) {
	for name, e := range curves() {
		r := newReading(e)
		low, high := e.H[0], e.H[len(e.H)-1]
		for _, loops := range kernels(t) {
			var random *rand.Rand
			const n = 300
			// Alike, anywhere on the curve and beyond both ends, and smooth across it.
			for field, of := range map[string]func(c int) float64{
				"one enthalpy": func(int) float64 { return 12345.6 },
				"anywhere":     func(int) float64 { return low - 1e5 + (high-low+2e5)*random.Float64() },
				"near corners": func(int) float64 {
					s := e.Stretches[random.IntN(len(e.Stretches))]
					return s.From + float64(random.IntN(3)-1)*1e-10*math.Abs(s.From)
				},
				"smooth": func(c int) float64 { return low + (high-low)*(0.3+0.2*math.Sin(float64(c)*0.05)) },
			} {
				random = rand.New(rand.NewPCG(11, 12))
				a, b, sum := make([]float64, n), make([]float64, n), make([]float64, n)
				for c := range a {
					h := of(c)
					if b[c] = 1000 * random.NormFloat64(); field == "one enthalpy" {
						b[c] = -20.5
					}
					a[c] = h - b[c]
					sum[c] = a[c] + b[c]
				}
				one, whole, part := make([]float64, n), make([]float64, n), make([]float64, n)
				hint := int32(0)
				for c := range one {
					hint = r.read(one[c:c+1], sum[c:c+1], hint)
					if h := sum[c]; h > low && h < high {
						// The curve itself, by its own interpolation: some roundings of numbers under 2000 K.
						if T := e.Temperature(h); !(math.Abs(one[c]-T) <= 1e-9) {
							t.Fatalf("%s, %s: %v J/kg is read as %v K, not %v", name, field, h, one[c], T)
						}
					}
				}
				agree := func(got []float64, how string) {
					t.Helper()
					for c := range one {
						if math.Float64bits(got[c]) != math.Float64bits(one[c]) {
							t.Fatalf("%s, %s, kernel %s: cell %d alone reads %v, %s %v", name, field, loops.Name, c, one[c], how, got[c])
						}
					}
				}
				r.readSum(loops, whole, a, b, 0)
				agree(whole, "in one run")
				r.read(whole, sum, 0)
				agree(whole, "from one array")
				for run := 1; run < 40; run++ {
					hint := int32(len(r.arcs) - 1)
					for c := 0; c < n; c += run {
						to := min(c+run, n)
						hint = r.readSum(loops, part[c:to], a[c:to], b[c:to], hint)
					}
					agree(part, fmt.Sprintf("in runs of %d", run))
				}
			}
		}
	}
}

// BenchmarkReadSum reads a plane of smooth temperatures that lies in runs of one medium.
func BenchmarkReadSum(b *testing.B) {
	for _, name := range []string{"constant", "varying"} {
		e := curves()[name]
		r := newReading(e)
		for _, loops := range kernels(b) {
			for _, run := range []int{3, 4, 6, 8, 10, 12, 16, 24, 32, 960} {
				b.Run(fmt.Sprintf("capacity=%s/kernel=%s/run=%d", name, loops.Name, run), func(b *testing.B) {
					const cells = 960
					x, y, T := make([]float64, cells), make([]float64, cells), make([]float64, cells)
					for c := range x {
						x[c] = 3e5 + 2e5*math.Sin(float64(c)*0.05)
					}
					hint := int32(0)
					for b.Loop() {
						for c := 0; c+run <= cells; c += run {
							hint = r.readSum(loops, T[c:c+run], x[c:c+run], y[c:c+run], hint)
						}
					}
					b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(cells/run*run), "ns/cell")
				})
			}
		}
	}
}

// read is readSum of one summand, cell by cell.
func (r *reading) read(out, in []float64, hint int32) int32 {
	for c, h := range in {
		out[c] = r.at(h)
		hint = r.find(h)
	}
	return hint
}

// In a plane whose rows cross the block and what lies beside it, cells that melt have the temperatures of their own curve and the
// others rise along their slopes, to the last bit, though short stretches are read with what lies between them: also where that is
// on no curve.
func TestStretchesReadAlongAreReadEachByItself(t *testing.T) {
	drawn, along := 0, 0
	one := func(q *rapid.T) {
		p := drawRig(q, options{melting: true})
		layersToo := rapid.Bool().Draw(q, "layers melt too")
		for i := range p.Receiver.Media {
			if m := &p.Receiver.Media[i]; m.Latent == 0 && (i == 0 || layersToo) {
				m.Latent, m.Solidus, m.Liquidus = 5e4, 400, 410
				m.HeatCapacityMelted, m.ConductivityMelted = m.HeatCapacity, m.Conductivity
			}
		}
		m, err := newMarch(&p)
		if err != nil {
			q.Skip(err)
		}
		defer m.s.team.stop()
		s, b := m.s, m.b
		drawn++
		for i := range s.melting {
			if s.melting[i].last-s.melting[i].first > 1 {
				along++
			}
		}
		random := rand.New(rand.NewPCG(rapid.Uint64().Draw(q, "seed"), 1))
		for c := range s.y0 {
			s.y0[c], s.ya[c] = 4e5*random.Float64(), 1e4*random.NormFloat64()
			s.base[c], s.slope[c] = 300+random.Float64(), float32(random.Float64())
		}
		for _, off := range []bool{false, true} {
			for c := range s.y0 {
				if off && (b.medium[c] < 0 || b.rec.Media[b.medium[c]].Latent == 0) {
					s.y0[c] = 1e12
				}
			}
			for i := range s.ta {
				s.ta[i] = math.NaN()
			}
			for k := range b.nz {
				s.stageTemperatures(k, s.ya, s.ta)
				judgePlane(q, s, k)
			}
		}
	}
	rapid.Check(t, func(q *rapid.T) { // two, so that some surely have such stretches
		one(q)
		one(q)
	})
	if drawn > 20 && along == 0 {
		t.Errorf("of %d rigs none had a stretch that is read along: the draws tell nothing", drawn)
	}
}

// judgePlane holds the temperatures of plane k to the cells' own curves and slopes, and those of planes after it to being no numbers yet.
func judgePlane(q *rapid.T, s *solver, k int) {
	b := s.b
	for c := k * s.pad; c < b.n; c++ {
		m, got := b.medium[c], s.ta[s.pad+c]
		if c >= (k+1)*s.pad {
			if !math.IsNaN(got) {
				q.Fatalf("plane %d sets cell %d of another", k, c)
			}
			continue
		}
		want := s.base[c] + float64(float64(s.slope[c])*s.ya[c])
		if m >= 0 && b.rec.Media[m].Latent > 0 {
			want = b.readings[m].at(s.y0[c] + s.ya[c])
		}
		if got != want {
			q.Fatalf("cell %d of medium %d is at %.17g, wanted %.17g", c, m, got, want)
		}
	}
}
