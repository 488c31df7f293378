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

const zero = 273.15 // K, of 0 °C

// plain is a medium with constant properties that does not melt.
func plain(rho, cp, k float64) material.Medium {
	m := material.Medium{
		Name: "plain", Density: rho, HeatCapacity: material.Constant(cp),
		HeatCapacityMelted: material.Constant(cp),
	}
	for a := range 3 {
		m.Conductivity[a], m.ConductivityMelted[a] = material.Constant(k), material.Constant(k)
	}
	return m
}

// slanting is a conductivity that runs straight from k0 at T0 to k1 at T1 (K) and stays constant beyond.
func slanting(T0, k0, T1, k1 float64) material.Curve {
	return material.Curve{T: []float64{T0, T1}, V: []float64{k0, k1}, Min: T0, Max: T1, Hold: true}
}

// cuboid is an adiabatic block of one medium on a uniform grid, at 20 °C in air of 20 °C.
func cuboid(size block.Point, counts [3]int, m material.Medium) Problem {
	blk := block.Box{Max: size}
	r := receiver.Receiver{
		Name: "cuboid", Block: blk, Media: []material.Medium{m},
		Parts: []receiver.Part{{Name: "block", Box: blk, Initial: math.NaN()}},
	}
	for s := block.Front; s <= block.Top; s++ {
		r.Surfaces = append(r.Surfaces, receiver.Surface{Name: s.String()})
	}
	return Problem{
		Receiver: r, Duty: duty.Duty{Ambient: duty.Fixed(20 + zero)}, Initial: 20 + zero,
		Grid: GridPlan{Counts: counts},
	}
}

// hold fixes a side's temperature in K.
func (p *Problem) hold(s block.Side, T float64) {
	p.Receiver.Surfaces[s].Kind, p.Receiver.Surfaces[s].Temperature = receiver.FixedTemperature, T
}

// cool gives a side a fixed film in W/(m² K) to air at T in K, and an emissivity.
func (p *Problem) cool(s block.Side, h, T, eps float64) {
	f := &p.Receiver.Surfaces[s]
	f.Kind, f.Film, f.Emissivity, f.Ambient = receiver.Exchange, receiver.Film{Kind: receiver.FilmFixed, Value: h}, eps, &T
}

// every sets output times from 0 to the end.
func (p *Problem) every(dt, end float64) {
	p.Until, p.Output = end, nil
	for i := 0; float64(i)*dt <= end*(1+1e-12); i++ {
		p.Output = append(p.Output, float64(i)*dt)
	}
}

// tube is a pass of one circuit: 12 × 1 mm, contact 400 W/(m² K), spreading counted, straight through the block.
func (p *Problem) tube(name string, axis block.Axis, at block.Point) *receiver.Pass {
	b := p.Receiver.Block
	p.Receiver.Passes = append(p.Receiver.Passes, receiver.Pass{
		Name: name, Axis: axis, At: at, From: b.Min[axis],
		To: b.Max[axis], Outer: 0.012, Inner: 0.010, WallMedium: -1, Spreading: true,
		Contact: receiver.Contact{Value: material.Constant(400)}, Fluid: math.NaN(),
	})
	return &p.Receiver.Passes[len(p.Receiver.Passes)-1]
}

// through returns the run along a pass, backwards where asked.
func through(p *Problem, pass int, backwards bool) receiver.Run {
	t := &p.Receiver.Passes[pass]
	r := receiver.Run{Kind: receiver.RunPass, Pass: pass, From: t.At, To: t.At}
	r.From[t.Axis], r.To[t.Axis] = t.From, t.To
	if backwards {
		r.From, r.To = r.To, r.From
	}
	return r
}

// circuit joins runs to a circuit with water of a given flow (kg/s), inlet (K) and pressure (Pa), flowing.
func (p *Problem) circuit(flow, inlet, pressure float64, runs ...receiver.Run) {
	n := len(p.Receiver.Circuits)
	p.Receiver.Circuits = append(p.Receiver.Circuits, receiver.Circuit{Name: string(rune('A' + n)), Runs: runs})
	p.Duty.Water = append(p.Duty.Water, duty.Water{Flow: duty.Fixed(flow), Inlet: duty.Fixed(inlet), Pressure: duty.Fixed(pressure)})
	p.Duty.Switches.Water = append(p.Duty.Switches.Water, duty.Flowing)
}

func solve(t testing.TB, p Problem) *Result {
	t.Helper()
	r, err := Run(context.Background(), p)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// values returns a column of a result's history.
func values(t testing.TB, r *Result, name string) []float64 {
	t.Helper()
	c := r.History.Column(name)
	if c == nil {
		t.Fatalf("the history has no column %q", name)
	}
	return c.Values
}

func last(v []float64) float64 { return v[len(v)-1] }

// closes checks that the ledger closes to rounding: at the end 1e-10 of the energy exchanged, and at every step 1e-8 of
// it; where next to nothing is exchanged, 1e-12 of the heat content: a sum over cells is good to about 1e-15 of itself,
// and flows that cancel in a good conductor to about the same share of each.
func closes(t testing.TB, r *Result) {
	t.Helper()
	l := &r.Ledger
	moved := math.Abs(l.Absorbed) + math.Abs(l.Glass) + math.Abs(l.Electric) + math.Abs(l.Generated) +
		math.Abs(l.ToPasses) + math.Abs(l.Carried)
	for _, s := range append(append([]Share(nil), l.StoredBy...), l.ByPath...) {
		moved += math.Abs(s.Amount)
	}
	content := math.Abs(last(values(t, r, "stored")))
	if !(math.Abs(l.Residual) <= 1e-10*moved+1e-12*content) {
		t.Errorf("the ledger leaves %.3g J at the end, with %.3g J exchanged", l.Residual, moved)
	}
	most := 1e-8
	if moved < 1e-3*content {
		most = 1e-6
	}
	if !(r.Residual <= most) {
		t.Errorf("the ledger leaves %.3g of the energy exchanged", r.Residual)
	}
}

func closeTo(t testing.TB, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s is %.10g, want %.10g within %.3g", what, got, want, tol)
	}
}

// slopeOf returns the observed order between two errors whose sizes differ by ratio.
func slopeOf(coarse, fine, ratio float64) float64 { return math.Log(coarse/fine) / math.Log(ratio) }
