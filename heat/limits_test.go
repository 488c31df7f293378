package heat

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"emberbank/block"
	"emberbank/duty"
	"emberbank/film"
	"emberbank/material"
	"emberbank/receiver"
)

func TestNoPassesIsAValidReceiver(t *testing.T) {
	p := lit(duty.Fixed(500))
	p.cool(block.Back, 10, 20+zero, 0.5)
	p.every(50, 200)
	r := solve(t, p)
	closes(t, r)
	if last(values(t, r, "heat to passes")) != 0 || r.Ledger.ToPasses != 0 {
		t.Errorf("heat goes to passes that are not there")
	}
}

// Thirty passes of one lumped block take thirty times what one of them takes.
func TestThirtyPassesShareTheHeat(t *testing.T) {
	p := cuboid(block.Point{0.3, 0.1, 0.25}, [3]int{12, 2, 10}, plain(2000, 1000, 1e5))
	p.Initial = 60 + zero
	for i := range 30 {
		q := p.tube(fmt.Sprint(i+1), block.Width, block.Point{0.025 + 0.05*float64(i%6), 0, 0.025 + 0.05*float64(i/6)})
		q.FilmFixed, q.Contact.None = 1000, true
		p.circuit(0.05, 20+zero, 5e5, through(&p, i, i%2 == 1))
	}
	p.Until, p.Output = 20, []float64{0, 20}
	r := solve(t, p)
	closes(t, r)
	mean, q := last(values(t, r, "block mean")), last(values(t, r, "heat to passes"))
	ua := 1000 * math.Pi * 0.010 * 0.1
	one := 0.05 * 4181 * -math.Expm1(-ua/(0.05*4181)) * (mean - 20 - zero)
	closeTo(t, "heat of thirty passes, W", q, 30*one, 0.01*30*one) // the water's heat capacity varies by 0.1 %, and trails by 0.2 s
}

// k → very large: the block is of one temperature and cools as a lump: C dT/dt = -h A (T - Ta).
func TestVeryLargeConductivityGivesALump(t *testing.T) {
	p := cuboid(block.Point{0.1, 0.1, 0.1}, [3]int{5, 5, 5}, plain(2000, 1000, 1e6))
	p.Initial = 120 + zero
	for s := block.Front; s <= block.Top; s++ {
		p.cool(s, 50, 20+zero, 0)
	}
	p.Until, p.Output, p.FieldTimes = 300, []float64{0, 300}, []float64{300}
	r := solve(t, p)
	closes(t, r)
	want := 20 + zero + 100*math.Exp(-50*0.06*300/2000)
	for _, T := range r.Fields[0].Temperature {
		closeTo(t, "every cell", T, want, 0.05) // the step's tolerance
	}
}

// Emissivity 1 between a lump and black surroundings: C dT/dt = -σ A (T⁴ - Ts⁴), solved here by small steps; emissivity
// 0 loses nothing.
func TestEmissivityZeroAndOne(t *testing.T) {
	for _, eps := range []float64{0, 1} {
		p := cuboid(block.Point{0.1, 0.1, 0.1}, [3]int{3, 3, 3}, plain(2000, 1000, 1e5))
		p.Initial = 800
		for s := block.Front; s <= block.Top; s++ {
			p.cool(s, 0, 300, eps)
		}
		p.Until, p.Output = 500, []float64{0, 500}
		r := solve(t, p)
		closes(t, r)
		T := 800.0
		for range 50000 {
			T -= 0.01 / 2000 * eps * film.StefanBoltzmann * 0.06 * (p4(T) - p4(300))
		}
		closeTo(t, "block mean", last(values(t, r, "block mean")), T, 0.2) // some steps' tolerance of 0.05 K each
	}
}

func TestAmbientHotterThanTheBlockHeatsIt(t *testing.T) {
	p := cuboid(block.Point{0.1, 0.1, 0.1}, [3]int{4, 4, 4}, plain(2000, 1000, 100))
	p.Duty.Ambient, p.Duty.Tilt = duty.Fixed(400), duty.Fixed(0.7)
	for s := range p.Receiver.Surfaces {
		f := &p.Receiver.Surfaces[s]
		f.Kind, f.Film, f.Emissivity = receiver.Exchange, receiver.Film{Kind: receiver.FilmOutside}, 0.8
	}
	p.every(100, 2000)
	r := solve(t, p)
	closes(t, r)
	mean := values(t, r, "block mean")
	for i := 1; i < len(mean); i++ {
		if !(mean[i] > mean[i-1] && mean[i] < 400) {
			t.Fatalf("block mean goes from %g to %g K in air of 400 K", mean[i-1], mean[i])
		}
	}
	if !(r.Ledger.Lost < 0) {
		t.Errorf("lost %g J, should be below zero", r.Ledger.Lost)
	}
}

// A composite with no filler is its matrix; with latent heat of zero nothing melts.
func TestNoFillerAndNoLatentHeatMeltNothing(t *testing.T) {
	a := melting(2000, 100, 80, 1000, 1000, 0, 400)
	b := plain(2000, 1000, 100)
	run := func(m material.Medium) *Result {
		p := cuboid(block.Point{0.1, 0.1, 0.1}, [3]int{4, 4, 4}, m)
		p.hold(block.Front, 600)
		p.every(20, 100)
		return solve(t, p)
	}
	x, y := run(a), run(b)
	if !sameBits(values(t, x, "block mean"), values(t, y, "block mean")) || last(values(t, x, "melted")) != 0 || x.Ledger.Latent != 0 {
		t.Errorf("a medium without latent heat is not one that never melts")
	}
}

// A melting range that shrinks comes to what one temperature gives.
func TestMeltRangeOfZeroIsTheLimitOfNarrowOnes(t *testing.T) {
	run := func(width float64) float64 {
		m := melting(2900, 60, 60, 850, 850, 45000, 692.677)
		m.Solidus, m.Liquidus = 692.677-width/2, 692.677+width/2
		p := bar(0.1, 40, m, 730, 690)
		p.Until, p.Output = 300, []float64{0, 300}
		r := solve(t, p)
		closes(t, r)
		return r.Ledger.Stored
	}
	zero := run(0)
	far, near := math.Abs(run(8)/zero-1), math.Abs(run(1)/zero-1)
	if !(near < 0.01 && near < far) {
		t.Errorf("against a range of 0 the heat taken up differs by %.3g with 8 K and %.3g with 1 K", far, near)
	}
}

func TestOneCellPerLayerGivesTheResistancesInSeries(t *testing.T) {
	p := cuboid(block.Point{0.1, 0.1, 0.1}, [3]int{}, plain(2000, 1000, 100))
	p.Receiver.Media = append(p.Receiver.Media, plain(200, 1000, 0.05))
	p.Receiver.Parts = append(p.Receiver.Parts, receiver.Part{
		Name: "back", Role: receiver.RoleInsulation, Medium: 1, Initial: math.NaN(),
		Box: block.Box{Min: block.Point{0.1, 0, 0}, Max: block.Point{0.15, 0.1, 0.1}},
	})
	p.Grid.Lines = [3][]float64{{0, 0.1, 0.15}, {0, 0.1}, {0, 0.1}}
	p.hold(block.Front, 400)
	p.cool(block.Back, 10, 300, 0)
	p.Steady = true
	r := solve(t, p)
	const resistance = 0.1/100 + 1.0 + 1.0/10 // K m²/W: block, 50 mm at 0.05 W/(m K), film
	want := 100 / resistance * 0.01
	closeTo(t, "heat through, W", last(values(t, r, "lost back")), want, 1e-7*want) // conductances are kept in single precision
}

// Passes in the cells at the block's corners, where they touch two layers of insulation.
func TestPassesInCornerCellsCloseTheLedger(t *testing.T) {
	p := cuboid(block.Point{0.1, 0.1, 0.1}, [3]int{9, 4, 9}, plain(2000, 1000, 100))
	p.Receiver.Media = append(p.Receiver.Media, plain(200, 1000, 0.05))
	for _, b := range []block.Box{
		{Min: block.Point{0.1, 0, 0}, Max: block.Point{0.14, 0.1, 0.1}},
		{Min: block.Point{0, 0, -0.04}, Max: block.Point{0.14, 0.1, 0}},
	} {
		p.Receiver.Parts = append(p.Receiver.Parts, receiver.Part{Name: "layer", Role: receiver.RoleInsulation, Medium: 1, Box: b, Initial: math.NaN()})
	}
	p.Initial = 150 + zero
	for i, at := range []block.Point{{0.0075, 0, 0.0075}, {0.0925, 0, 0.0075}, {0.0075, 0, 0.0925}, {0.0925, 0, 0.0925}} {
		p.tube(fmt.Sprint(i+1), block.Width, at)
		p.circuit(0.01, 20+zero, 10e5, through(&p, i, false))
	}
	p.every(20, 100)
	r := solve(t, p)
	closes(t, r)
	for i := range 4 {
		if q := last(values(t, r, fmt.Sprint("pass ", i+1, " heat"))); !(q > 50) {
			t.Errorf("pass %d takes only %g W", i+1, q)
		}
	}
}

func TestShutCoverWithoutConductanceLosesNothing(t *testing.T) {
	p := lit(duty.Fixed(500))
	p.Receiver.Window.Emissivity, p.Receiver.Window.Film = 0.9, receiver.Film{Kind: receiver.FilmFixed, Value: 20}
	p.Initial = 500
	p.Duty.Switches.CoverShut = true
	p.every(50, 200)
	r := solve(t, p)
	closes(t, r)
	closeTo(t, "stored, J", r.Ledger.Stored, 0, 1e-6)
	closeTo(t, "lost, J", r.Ledger.Lost, 0, 1e-6)
	p.Receiver.Window.Cover = 3
	r = solve(t, p)
	want := 3 * 0.01 * (500 - 20 - zero) * 200
	closeTo(t, "lost through a cover of 3 W/(m² K), J", r.Ledger.Lost, want, 0.01*want) // the block cools by 0.6 K of 207
}

func TestOpenWindowLosesByFilmAndRadiation(t *testing.T) {
	p := lit(duty.Fixed(0))
	sky := 250.0
	p.Receiver.Window.Emissivity, p.Receiver.Window.Film, p.Receiver.Window.Surrounds = 0.9, receiver.Film{Kind: receiver.FilmFixed, Value: 20}, &sky
	p.Initial = 500
	p.Until, p.Output = 0.1, []float64{0}
	r := solve(t, p)
	want := 0.01 * (20*(500-20-zero) + 0.9*film.StefanBoltzmann*(p4(500)-p4(250)))
	closeTo(t, "lost at the window, W", values(t, r, "lost window")[0], want, 1e-3*want)
}

func TestCancelledRunGivesWhatIsDoneAndSaysSo(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	p := lit(duty.Fixed(500))
	p.cool(block.Back, 10, 20+zero, 0)
	p.every(1, 1000)
	p.Duty.Ambient = duty.Signal{T: []float64{0, 100, 200, 1000}, V: []float64{293, 294, 293, 299}}
	p.Progress = func(x float64) {
		if x >= 100 {
			cancel()
		}
	}
	r, err := Run(ctx, p)
	if !errors.Is(err, context.Canceled) || !strings.Contains(err.Error(), "marching to 1000 s, reached") {
		t.Fatalf("the error is %v", err)
	}
	if r == nil || r.Stopped == "" || r.Ended < 100 || r.Ended >= 1000 || len(r.History.Time) < 50 {
		t.Fatalf("the partial result: %+v", r)
	}
	l := r.Ledger
	closeTo(t, "the ledger's gap, J", l.Absorbed-l.Lost-l.Stored, 0, 1e-8*l.Absorbed)
	closeTo(t, "absorbed by the time it stopped, J", l.Absorbed, 500*r.Ended, 1e-6*l.Absorbed)
}

func TestMistakesOfTheDutyAreNamed(t *testing.T) {
	flow0 := lumped(1)
	flow0.circuit(0, 20+zero, 5e5, through(&flow0, 0, false))
	flow0.every(10, 10)
	dark := cuboid(block.Point{0.1, 0.1, 0.1}, [3]int{2, 2, 2}, plain(2000, 1000, 100))
	dark.Duty.Light = &duty.Light{Power: duty.Fixed(100)}
	dark.every(10, 10)
	noWater := lumped(1)
	noWater.circuit(0.1, 20+zero, 5e5, through(&noWater, 0, false))
	noWater.Duty.Water = nil
	steam := lumped(1)
	steam.circuit(0.1, 20+zero, 300e5, through(&steam, 0, false))
	steam.every(10, 10)
	stops := lumped(1)
	stops.circuit(0.1, 20+zero, 5e5, through(&stops, 0, false))
	stops.Duty.Water[0].Flow = duty.Signal{T: []float64{0, 5, 5}, V: []float64{0.1, 0.1, 0}}
	stops.every(10, 10)
	for _, c := range []struct {
		p    Problem
		want string
	}{
		{flow0, "circuit A flows at 0 kg/s"},
		{stops, "circuit A flows at 0 kg/s at 5 s"},
		{dark, "the receiver has no window"},
		{noWater, `circuit "A" has no water`},
		{steam, "pressure must be within 1 kPa to 22 MPa"},
	} {
		if _, err := Run(context.Background(), c.p); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("the error is %v, should say %q", err, c.want)
		}
	}
}
