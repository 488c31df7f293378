package yield

import (
	"context"
	"math"
	"testing"

	"emberbank/block"
	"emberbank/duty"
	"emberbank/heat"
	"emberbank/material"
	"emberbank/receiver"
)

const zero = 273.15

// bakery is a block of 18 kg with a window and one circuit, under a sun of six hours, that is asked for heat twice a day.
func bakery() heat.Problem {
	m := material.Medium{Name: "plain", Density: 2700, HeatCapacity: material.Constant(900), HeatCapacityMelted: material.Constant(900)}
	for a := range 3 {
		m.Conductivity[a], m.ConductivityMelted[a] = material.Constant(200), material.Constant(200)
	}
	blk := block.Box{Max: block.Point{0.12, 0.24, 0.24}}
	r := receiver.Receiver{Block: blk, Media: []material.Medium{m}, Parts: []receiver.Part{{Name: "block", Box: blk, Initial: math.NaN()}}}
	for s := block.Front; s <= block.Top; s++ {
		r.Surfaces = append(r.Surfaces, receiver.Surface{Name: s.String(), Kind: receiver.Exchange, Film: receiver.Film{Kind: receiver.FilmFixed, Value: 1}})
	}
	r.Window = &receiver.Window{
		Opening: block.Box{Min: block.Point{0, 0.06, 0.06}, Max: block.Point{0, 0.18, 0.18}}, Absorptance: 0.9, Emissivity: 0.8,
		Film: receiver.Film{Kind: receiver.FilmFixed, Value: 8}, Cover: 0.5,
	}
	for i := range 2 {
		at := block.Point{0.06, 0, 0.08 + 0.08*float64(i)}
		r.Passes = append(r.Passes, receiver.Pass{
			Name: string(rune('1' + i)), Axis: block.Width, At: at, To: 0.24, Outer: 0.012, Inner: 0.01, WallMedium: -1, Spreading: true,
			Contact: receiver.Contact{Value: material.Constant(600)}, Fluid: math.NaN(),
		})
		from, to := at, at
		to[block.Width] = 0.24
		r.Circuits = append(r.Circuits, receiver.Circuit{Name: string(rune('A' + i)), Runs: []receiver.Run{{Kind: receiver.RunPass, Pass: i, From: from, To: to}}})
	}
	d := duty.Duty{
		Ambient:  duty.Fixed(20 + zero),
		Light:    &duty.Light{Power: duty.Signal{T: []float64{0, 8 * 3600, 14 * 3600}, V: []float64{0, 700, 0}, Step: true, Every: 86400}},
		Switches: duty.Switches{Light: true, CoverShut: true, Water: make([]duty.WaterState, 2), FlowShare: []float64{1, 1}},
		Rules: []duty.Rule{{
			Name: "sun", Watch: duty.Watch{What: duty.WatchLight}, Above: true, Threshold: 100, Hysteresis: 50,
			Do: []duty.Action{{What: duty.SetCover, Value: 0}}, Else: []duty.Action{{What: duty.SetCover, Value: 1}},
		}},
		Load: &duty.Load{
			Wanted:   duty.Signal{T: []float64{0, 5 * 3600, 7 * 3600, 15 * 3600, 18 * 3600}, V: []float64{0, 150, 0, 250, 0}, Step: true, Every: 86400},
			Circuits: []int{0, 1}, Min: 0.5 / 3600, Max: 120.0 / 3600, Serves: 60 + zero, Band: 0.1, Rest: 300,
		},
	}
	for range 2 {
		d.Water = append(d.Water, duty.Water{Flow: duty.Fixed(0), Inlet: duty.Fixed(15 + zero), Pressure: duty.Fixed(20e5)})
	}
	p := heat.Problem{Receiver: r, Duty: d, Grid: heat.GridPlan{Counts: [3]int{3, 6, 6}}, Initial: 180 + zero, Until: 2 * 86400}
	for k := range 97 {
		p.Output = append(p.Output, 1800*float64(k))
	}
	return p
}

func run(t *testing.T, p heat.Problem) (*Report, *heat.Result) {
	t.Helper()
	r, err := heat.Run(context.Background(), p)
	if err != nil {
		t.Fatal(err)
	}
	y := Of(&p, r)
	if y == nil {
		t.Fatal("a run with a load has no report")
	}
	return y, r
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s is %.12g, want %.12g within %.3g", what, got, want, tol)
	}
}

// The report's sums are the ledger's, to rounding.
func TestSumsAreTheLedgers(t *testing.T) {
	y, r := run(t, bakery())
	l, a := &r.Ledger, r.Account
	scale := l.Absorbed + math.Abs(l.Carried) + l.Lost
	tol := 1e-11 * scale
	near(t, "the heat delivered", y.Delivered, l.Carried, tol)
	near(t, "the load's heat and what was let out", y.Served.Heat+y.Served.Let, l.Carried, tol)
	near(t, "the heat whose entropy was counted", a.Water.Heat, y.Served.Heat, tol)
	near(t, "the losses by window and others", a.Shining.Window+a.Else.Window+a.Shining.Others+a.Else.Others, l.Lost, tol)
	sum := 0.0
	for _, s := range y.ByPath {
		sum += s.Amount
	}
	near(t, "the losses by path", sum, y.Lost, tol)
	near(t, "what came in", y.Absorbed+y.Electric, y.Delivered+y.Lost+y.Stored, 1e-9*scale)
	near(t, "the light absorbed", l.Absorbed, 0.9*y.Light, 1e-9*scale)
	near(t, "the time", a.Shining.Seconds+a.Else.Seconds, 2*86400, 1e-6)
	near(t, "the light offered", y.Offered, 2*6*3600*700, 1e-6*scale)
	near(t, "the light that came in", y.Light, y.Offered, 1e-6*scale)
	near(t, "the hours asked for", y.Served.Asked, 2*5*3600, 1e-6)
	near(t, "the heat wanted", y.Served.Wanted, 2*(2*150+3*250)*3600, 1e-6*scale)
	if share := y.Served.Met / y.Served.Wanted; share < 0.97 || share > 1 {
		t.Errorf("of a load that can always be met %g is met", share)
	}
	t.Logf("first law %.3f, second law %.3f, charges %.2f, drains %.2f, mean %.1f °C, beside %.3f", y.First, y.Second, y.Charges, y.Drains, y.Cycle.Mean-zero, y.Beside.MetShare())
}

// The second law holds: entropy is made, none is lost, in water, solids, air and light together; and the exergy of what is
// stored is that of a lump, whose heat capacity is constant.
func TestSecondLawHolds(t *testing.T) {
	p := bakery()
	y, r := run(t, p)
	a := r.Account
	made := a.Water.Entropy + a.Stored.Entropy + y.Lost/y.Air - y.Light*4/3/Sun
	if !(made > 0) {
		t.Errorf("%g J/K of entropy are made", made)
	}
	if !(y.Second > 0 && y.Second < y.First && y.First < 1) {
		t.Errorf("efficiencies of %g and %g", y.First, y.Second)
	}
	mean := r.History.Column("block mean").Values
	from, to := mean[0], mean[len(mean)-1]
	volume := 0.12*0.24*0.24 - 2*0.24*math.Pi/4*0.012*0.012
	mcp := 2700 * 900 * volume
	want := mcp * (to - from - y.Air*math.Log(to/from))
	near(t, "the exergy stored", y.Exergy.Stored, want, 0.01*math.Abs(want)+2e-4*mcp)
	near(t, "what serves at the start", y.Begins, mcp*(180-60), 1e-6*mcp*120)
}

// Cold water that is made hot takes its heat up at the logarithmic mean of its ends' temperatures, as its heat capacity hardly
// changes.
func TestHeatIsTakenUpAtItsMeanTemperature(t *testing.T) {
	p := bakery()
	p.Duty.Load.Wanted = duty.Fixed(200)
	p.Until, p.Output = 7200, nil
	for k := range 73 {
		p.Output = append(p.Output, 100*float64(k))
	}
	y, r := run(t, p)
	heat, entropy := 0.0, 0.0
	for i, T := range r.History.Column("circuit A outlet").Values {
		if q := r.History.Column("load delivered").Values[i]; i > 0 {
			heat += q
			entropy += q * math.Log(T/(15+zero)) / (T - 15 - zero)
		}
	}
	near(t, "the mean temperature at which water took up its heat", y.Cycle.Mean, heat/entropy, 1)
}

// The books of the store beside the receiver close, and a colder tank does no worse.
func TestStoreBesideKeepsItsBooks(t *testing.T) {
	p := bakery()
	y, _ := run(t, p)
	b := y.Beside
	if b == nil {
		t.Fatal(y.NotBeside)
	}
	scale := b.Light
	near(t, "what came to the tank and what left it", b.Begins+b.Collected, b.Met+b.TankLost+b.Spilled+b.Ends, 1e-9*scale)
	near(t, "what the receiver took in", b.Absorbed, b.ReceiverLost+b.Collected, 1e-9*scale)
	near(t, "the light offered", b.Light, y.Offered, 1e-6*scale)
	near(t, "the load", b.Wanted, y.Served.Wanted, 0.01*y.Served.Wanted)
	if !(b.MetShare() >= 0 && b.MetShare() <= 1) {
		t.Errorf("%g of the load is met", b.MetShare())
	}
}

// A duty that does not state its ambient is reported on like one at 20 °C, which then holds.
func TestAmbientThatIsNotStatedIsThatOfTheMarch(t *testing.T) {
	p := bakery()
	stated, _ := run(t, p)
	p.Duty.Ambient = duty.Signal{}
	y, _ := run(t, p)
	near(t, "the ambient's mean", y.Air, 20+zero, 1e-9)
	near(t, "what the store beside gives", y.Beside.Met, stated.Beside.Met, 1e-9*stated.Beside.Met)
	near(t, "the efficiency by the second law", y.Second, stated.Second, 1e-9)
}

// By hand: 500 W for ten hours into a receiver that loses 2 W/K at 100 K above the air, a tank that loses 0.5 W/K at 80 K.
func TestStoreBesideByHand(t *testing.T) {
	p := heat.Problem{Duty: duty.Duty{
		Ambient: duty.Fixed(20 + zero),
		Light:   &duty.Light{Power: duty.Signal{T: []float64{0, 36000}, V: []float64{1000, 0}, Step: true}},
		Load:    &duty.Load{Wanted: duty.Signal{T: []float64{0, 36000}, V: []float64{0, 100}, Step: true}, Circuits: []int{0}},
	}}
	b := Beside{Tank: 100 + zero, Receiver: 120 + zero, Capacity: 1e9, Window: 1.5, Sides: 0.5, Begins: 1e6}
	b.play(&p, 72000, 0.5, 1000*36000, 1)
	near(t, "absorbed", b.Absorbed, 500*36000, 1)
	near(t, "lost by the receiver", b.ReceiverLost, 200*36000, 1)
	near(t, "lost by the tank", b.TankLost, 40*72000, 1)
	near(t, "met", b.Met, 100*36000, 1)
	near(t, "left", b.Ends, 1e6+300*36000-40*72000-100*36000, 10)
}

// One charge is one full equivalent, and drains are what is left of it between the first row and the last.
func TestOneChargeIsOneAndDrainsBalanceIt(t *testing.T) {
	p := bakery()
	p.Duty.Load.Wanted = duty.Fixed(0)
	p.Until = 86400
	p.Output = p.Output[:49]
	y, r := run(t, p)
	near(t, "charges", y.Charges, 1, 1e-9)
	stored := r.History.Column("stored").Values
	near(t, "drains", y.Drains, y.Charges-(stored[len(stored)-1]-stored[0])/y.Swing, 1e-9)
	if !(y.Drains > 0.3 && y.Drains < 1.3) {
		t.Errorf("%g drains", y.Drains)
	}
	if y.Delivered != 0 || y.Cycle.Work != 0 || y.Cycle.Mean == y.Cycle.Mean {
		t.Errorf("nothing was wanted, but %g J are delivered", y.Delivered)
	}
}
