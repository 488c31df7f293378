package heat

import (
	"context"
	"math"
	"testing"

	"emberbank/block"
	"emberbank/duty"
	"emberbank/material"
	"emberbank/receiver"
)

// marched takes equal steps from 0 to end, whatever the error, and returns the temperatures of the cells.
func marched(t *testing.T, p Problem, start func(m *march), end float64, steps int) []float64 {
	t.Helper()
	m, err := newMarch(&p)
	if err != nil {
		t.Fatal(err)
	}
	defer m.s.team.stop()
	start(m)
	m.readTemperatures()
	m.restart()
	tau := end / float64(steps)
	for range steps {
		if err := m.prepare(tau); err != nil {
			t.Fatal(err)
		}
		m.attempt(tau)
		m.accept(tau, tau, m.t+tau)
	}
	m.readTemperatures()
	return append([]float64(nil), m.s.t0[m.s.pad:m.s.pad+m.b.n]...)
}

// wave sets 300 K + 10 K times the product of one half wave of a cosine along each direction.
func wave(m *march) {
	g := m.b.g
	for c := range m.b.n {
		at := [3]int{}
		at[0], at[1], at[2] = g.Place(c)
		T := 10.0
		for a := range at {
			if n := g.N(block.Axis(a)); n > 1 {
				lines := g.Lines[a]
				T *= math.Cos(math.Pi * (g.Centre(block.Axis(a), at[a]) - lines[0]) / (lines[n] - lines[0]))
			}
		}
		m.s.y0[c] = m.b.enthalpy[m.b.medium[c]].Of(300 + T)
	}
}

func rms(a, b []float64) float64 {
	sum := 0.0
	for i := range a {
		sum += (a[i] - b[i]) * (a[i] - b[i])
	}
	return math.Sqrt(sum / float64(len(a)))
}

// On a uniform grid with adiabatic sides one half wave of a cosine is an eigenvector of the cells' own equations:
// it decays at 2α/d² (1 - cos(π d/L)). What is left is the error in time alone.
func TestErrorFallsWithTheSquareOfTheStep(t *testing.T) {
	const n, length, alpha, end = 16, 0.1, 100 / 2e6, 40.0
	p := cuboid(block.Point{length, 0.01, 0.01}, [3]int{n, 1, 1}, plain(2000, 1000, 100))
	d := length / n
	rate := 2 * alpha / (d * d) * (1 - math.Cos(math.Pi/n))
	exact := make([]float64, n)
	for i := range exact {
		exact[i] = 300 + 10*math.Cos(math.Pi*(float64(i)+0.5)/n)*math.Exp(-rate*end)
	}
	var errs []float64
	for _, steps := range []int{4, 8, 16, 32} {
		errs = append(errs, rms(marched(t, p, wave, end, steps), exact))
	}
	for i := 1; i < len(errs); i++ {
		if o := slopeOf(errs[i-1], errs[i], 2); o < 1.8 {
			t.Errorf("order in time %.3f from errors %.3g", o, errs)
		}
	}
}

// The pane and films by correlation, in the gap and outside, are taken at what is foretold for the step's middle: the
// temperature of a lit block behind glass converges faster than in proportion to the step. The first steps after the start
// know nothing of how faces move; they are short in a run, here they are as long as all.
func TestGlassAndFilmsAreOfHigherOrderThanTheFirst(t *testing.T) {
	p := lit(duty.Fixed(600))
	p.Receiver.Media = append(p.Receiver.Media, plain(2200, 750, 1.4))
	p.Receiver.Window.Emissivity = 0.9
	p.Receiver.Window.Glass = &receiver.Glass{
		Thickness: 0.004, Gap: 0.02, Medium: 1, Transmittance: 0.9, Absorptance: 0.04, Emissivity: 0.85,
		OutsideFilm: receiver.Film{Kind: receiver.FilmOutside},
	}
	back := &p.Receiver.Surfaces[block.Back]
	back.Kind, back.Film, back.Emissivity = receiver.Exchange, receiver.Film{Kind: receiver.FilmOutside}, 0.8
	warm := func(m *march) {
		for c := range m.s.y0 {
			m.s.y0[c] = m.b.enthalpy[0].Of(500)
		}
		m.readTemperatures()
		for i := range m.skin.T {
			m.skin.T[i] = 500
		}
		m.skin.pane.T = 330
	}
	at := func(steps int) []float64 { return marched(t, p, warm, 2000, steps) }
	fine := at(1280)
	coarse, middle := rms(at(80), fine), rms(at(320), fine)
	if o := slopeOf(coarse, middle, 4); o < 1.5 {
		t.Errorf("order in time %.3f (off by %.3g and %.3g K)", o, coarse, middle)
	}
}

// With conductivity, a film and radiation the steps' own convergence shows the order: each halving brings the result
// nearer to the next by a factor of four. Where the number of stages falls, from many to two, the error's constant rises
// on the way from 1/18 to 1/6, so the slope is taken where it does not: at long steps and at the shortest.
func TestOrderInTimeHoldsWithVaryingConductivityFilmsAndRadiation(t *testing.T) {
	m := plain(2000, 1000, 0)
	for a := range 3 {
		m.Conductivity[a] = slanting(200, 40, 500, 160)
	}
	p := cuboid(block.Point{0.1, 0.01, 0.01}, [3]int{12, 1, 1}, m)
	p.cool(block.Back, 300, 400, 0.9)
	difference := func(steps int) float64 {
		return rms(marched(t, p, wave, 40, steps), marched(t, p, wave, 40, 2*steps))
	}
	coarse, fine := difference(8), difference(32)
	if o := slopeOf(coarse, fine, 4); o < 1.8 {
		t.Errorf("order in time %.3f (differences %.3g, %.3g K)", o, coarse, fine)
	}
	if o := slopeOf(difference(128), difference(256), 2); o < 1.8 {
		t.Errorf("order in time %.3f at the shortest steps", o)
	}
}

// grids are ways to cut a length into n cells.
var grids = []struct {
	name string
	at   func(s float64, i, n int) float64
}{
	{"uniform", func(s float64, _, _ int) float64 { return s }},
	{"graded 1 to 7", func(s float64, _, _ int) float64 { return math.Expm1(2*s) / math.Expm1(2) }},
	{"every second cell twice as wide", func(s float64, i, n int) float64 { // n even
		return (float64(i) + float64(i/2)) / (1.5 * float64(n))
	}},
}

func cut(length float64, n int, at func(s float64, i, n int) float64) []float64 {
	lines := make([]float64, n+1)
	for i := range lines {
		lines[i] = length * at(float64(i)/float64(n), i, n)
	}
	lines[n] = length
	return lines
}

// A plate that cools through a film, against its series.
// Source: Carslaw & Jaeger, Conduction of Heat in Solids, 2nd ed. 1959, art. 3.11: with ζ tan ζ = Bi the modes are
// cos(ζ(1-x/L)), their weights 4 sin ζ / (2ζ + sin 2ζ), their rates ζ² α/L².
func TestErrorFallsWithTheSquareOfTheCellSize(t *testing.T) {
	const length, k, h, end = 0.1, 100.0, 2000.0, 60.0
	alpha, bi := k/2e6, h*length/k
	type mode struct{ zeta, weight float64 }
	var modes []mode
	for n := range 12 {
		lo, hi := math.Pi*float64(n)+1e-12, math.Pi*(float64(n)+0.5)-1e-12
		for range 200 {
			if mid := 0.5 * (lo + hi); mid*math.Tan(mid) < bi {
				lo = mid
			} else {
				hi = mid
			}
		}
		modes = append(modes, mode{lo, 4 * math.Sin(lo) / (2*lo + math.Sin(2*lo)) * math.Exp(-lo*lo*alpha*end/(length*length))})
	}
	mean := func(x0, x1 float64) float64 { // over a cell
		s := 0.0
		for _, m := range modes {
			f := func(x float64) float64 { return -length / m.zeta * math.Sin(m.zeta*(1-x/length)) }
			s += m.weight * (f(x1) - f(x0)) / (x1 - x0)
		}
		return 300 + 100*s
	}
	for _, g := range grids {
		var errs []float64
		for _, n := range []int{8, 16, 32} {
			p := cuboid(block.Point{length, 0.01, 0.01}, [3]int{1, 1, 1}, plain(2000, 1000, k))
			p.Grid = GridPlan{Lines: [3][]float64{cut(length, n, g.at), {0, 0.01}, {0, 0.01}}}
			p.cool(block.Front, h, 300, 0)
			p.Initial, p.Until, p.Output, p.FieldTimes, p.Tolerance = 400, end, []float64{0}, []float64{end}, 1e-5
			r := solve(t, p)
			closes(t, r)
			sum := 0.0
			for i, T := range r.Fields[0].Temperature {
				x0, x1 := r.Grid.Lines[0][i], r.Grid.Lines[0][i+1]
				sum += math.Pow(T-mean(x0, x1), 2) * (x1 - x0) / length
			}
			errs = append(errs, math.Sqrt(sum))
		}
		for i := 1; i < len(errs); i++ {
			if o := slopeOf(errs[i-1], errs[i], 2); o < 1.8 {
				t.Errorf("%s: order in space %.3f from errors %.3g K", g.name, o, errs)
			}
		}
	}
}

// Three dimensions, conductivity that depends on direction, graded cells: the product of three half waves decays
// at π²/(ρ c) Σ k/L².
func TestOrderInSpaceHoldsInThreeDimensions(t *testing.T) {
	med := plain(2000, 1000, 0)
	k, size := [3]float64{120, 60, 30}, block.Point{0.12, 0.1, 0.08}
	rate := 0.0
	for a := range 3 {
		med.Conductivity[a] = material.Constant(k[a])
		rate += math.Pi * math.Pi * k[a] / (2e6 * size[a] * size[a])
	}
	const end = 15.0
	for _, g := range grids[:2] {
		var errs []float64
		for _, n := range []int{8, 16} {
			p := cuboid(size, [3]int{1, 1, 1}, med)
			for a := range 3 {
				p.Grid.Lines[a] = cut(size[a], n, g.at)
			}
			p.Grid.Counts = [3]int{}
			p.Until, p.Tolerance, p.Threads = end, 1e-4, 1
			m, err := newMarch(&p)
			if err != nil {
				t.Fatal(err)
			}
			wave(m)
			if _, err := m.run(context.Background()); err != nil {
				t.Fatal(err)
			}
			got := append([]float64(nil), m.s.t0[m.s.pad:m.s.pad+m.b.n]...)
			wave(m)
			exact := make([]float64, m.b.n)
			for c := range exact {
				exact[c] = 300 + (m.b.enthalpy[0].Temperature(m.s.y0[c])-300)*math.Exp(-rate*end)
			}
			errs = append(errs, rms(got, exact))
			m.s.team.stop()
		}
		if o := slopeOf(errs[0], errs[1], 2); o < 1.8 {
			t.Errorf("%s: order in space %.3f from errors %.3g K", g.name, o, errs)
		}
	}
}

// With k = k0 (1 + b (T - T0)) between two walls Kirchhoff's transform θ = ∫ k dT is straight, and the mean
// conductivity between neighbours carries it exactly on any grid.
// Source: Carslaw & Jaeger, Conduction of Heat in Solids, 2nd ed. 1959, art. 1.6 (VI).
func TestSteadyWallIsExactWithConductivityOverTemperature(t *testing.T) {
	const length, T0, T1, k0, k1 = 0.1, 300.15, 700.15, 80.0, 160.0 // at entries of the tables
	med := plain(2000, 1000, 0)
	for a := range 3 {
		med.Conductivity[a] = slanting(T0, k0, T1, k1)
	}
	b := (k1 - k0) / (T1 - T0)
	exact := func(x float64) float64 {
		theta := x / length * (k0*(T1-T0) + b/2*(T1-T0)*(T1-T0))
		return T0 + (-k0+math.Sqrt(k0*k0+2*b*theta))/b
	}
	flux := 0.5 * (k0 + k1) * (T1 - T0) / length
	for _, g := range grids {
		var errs []float64
		for _, n := range []int{16, 32, 64} {
			p := cuboid(block.Point{length, 0.01, 0.01}, [3]int{1, 1, 1}, med)
			p.Grid = GridPlan{Lines: [3][]float64{cut(length, n, g.at), {0, 0.01}, {0, 0.01}}}
			p.hold(block.Front, T0)
			p.hold(block.Back, T1)
			p.Steady, p.FieldTimes = true, []float64{0}
			r := solve(t, p)
			sum := 0.0
			for i, T := range r.Fields[0].Temperature {
				x0, x1 := r.Grid.Lines[0][i], r.Grid.Lines[0][i+1]
				sum += math.Pow(T-exact(0.5*(x0+x1)), 2) * (x1 - x0) / length
			}
			errs = append(errs, math.Sqrt(sum))
			closeTo(t, g.name+": flux over the exact one", -last(values(t, r, "lost back"))/1e-4/flux, 1, 1e-7) // conductances are kept in single precision
		}
		for i, e := range errs {
			if e > 3e-5 { // K: a single precision's last digit of the span
				t.Errorf("%s: error %.3g K on grid %d", g.name, e, i)
			}
		}
	}
}

// Conductivity 2 in the solid and 1 in the melt, front between 200 and 20 °C at 100 °C: with the transform
// θ = ∫ k dT the heat flux is (1·100 + 2·80)/0.1 W/m², on any grid.
// Source: as above.
func TestSteadyWallWithASharpFrontIsExact(t *testing.T) {
	for _, n := range []int{10, 23, 50, 100} {
		p := bar(0.1, n, melting(2000, 2, 1, 1000, 1000, 100e3, 100+zero), 200+zero, 100+zero)
		p.hold(block.Back, 20+zero)
		p.Steady = true
		r := solve(t, p)
		closeTo(t, "flux, W/m²", last(values(t, r, "lost back"))/1e-4, 2600, 2)
	}
}

// Source: Carslaw & Jaeger, Conduction of Heat in Solids, 2nd ed. 1959, art. 11.2: see
// TestStefanFrontMovesAsTheExactSolution; the heat taken up to time t is 2 k ΔT √(t/(π α)) / erf λ.
func TestFrontAndMeanConvergeAtLeastAtFirstOrderWhereMeltingIsSharp(t *testing.T) {
	const lambda, alpha, end = 0.493927339233, 60 / (2900.0 * 850), 200.0
	var fronts, heats []float64
	for _, n := range []int{20, 40, 80} {
		p := bar(0.12, n, melting(2900, 60, 60, 850, 850, 45000, 692.677), 450+zero, 692.677)
		p.every(0.5, end)
		p.Tolerance = 0.01
		p.Probes = []Probe{{Name: "front", Kind: Front, At: block.Point{0, 0.005, 0.005}, To: block.Point{0.12, 0.005, 0.005}}}
		r := solve(t, p)
		closes(t, r)
		front, stored := values(t, r, "front"), values(t, r, "stored")
		f, q, count := 0.0, 0.0, 0.0
		for i, x := range r.History.Time {
			if x < 20 {
				continue
			}
			f += math.Pow(front[i]-2*lambda*math.Sqrt(alpha*x), 2)
			exact := 2 * 60 * (450 + zero - 692.677) * math.Sqrt(x/(math.Pi*alpha)) / math.Erf(lambda) * 1e-4
			q += math.Pow((stored[i]-stored[0])/exact-1, 2)
			count++
		}
		fronts, heats = append(fronts, math.Sqrt(f/count)), append(heats, math.Sqrt(q/count))
	}
	if o := slopeOf(fronts[0], fronts[2], 4); o < 1 {
		t.Errorf("order of the front %.3f from errors %.3g m", o, fronts)
	}
	if o := slopeOf(heats[0], heats[2], 4); o < 1 {
		t.Errorf("order of the heat taken up %.3f from relative errors %.3g", o, heats)
	}
}
