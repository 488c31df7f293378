package heat

import (
	"math"
	"strings"
	"testing"

	"emberbank/block"
	"emberbank/duty"
	"emberbank/film"
	"emberbank/receiver"
	"emberbank/water"
)

// lumped is a block that conducts so well that it has one temperature (0.1 m, 2 kg, 2000 J/K), with passes along
// width of 12 × 1 mm whose only resistance is a film of 10 000 W/(m² K) on the inner area: 31.4 W/K each.
func lumped(passes int) Problem {
	p := cuboid(block.Point{0.1, 0.1, 0.1}, [3]int{3, 4, 3}, plain(2000, 1000, 1e5))
	p.Initial = 40 + zero
	for i := range passes {
		x := 0.1 / 6 * float64(1+2*i)
		t := p.tube(string(rune('1'+i)), block.Width, block.Point{x, 0, 0.05})
		t.Contact.None, t.Spreading, t.FilmFixed = true, false, 1e4
	}
	return p
}

const lumpedUA = 1e4 * math.Pi * 0.010 * 0.1 // W/K of one pass

// capacity is what the lumped block holds without its bores, in J/K.
func capacity(passes int) float64 {
	return 2e6 * (1e-3 - float64(passes)*math.Pi/4*0.012*0.012*0.1)
}

// The exact answer of a block of one temperature on one pass: outlet = Tb − (Tb − Tin) e^(−NTU), the block decaying
// with ṁ cp (1 − e^(−NTU)) / C. The water's heat capacity varies by 0.15 % between 20 and 40 °C, and 8 g of water
// stand in the tube beside 2 kg of block: 0.5 % of the drop allows for both.
func TestLumpedBlockOnOnePassDecaysByItsTransferUnits(t *testing.T) {
	for _, flow := range []float64{0.003, 0.01, 0.05, 0.5} {
		p := lumped(1)
		p.circuit(flow, 20+zero, 5e5, through(&p, 0, false))
		p.every(20, 200)
		r := solve(t, p)
		closes(t, r)
		ntu := lumpedUA / (flow * 4181)
		rate := flow * 4181 * -math.Expm1(-ntu) / capacity(1)
		for i, x := range r.History.Time {
			mean := values(t, r, "block mean")[i]
			want := 20 + zero + 20*math.Exp(-rate*x)
			closeTo(t, "block mean", mean, want, 0.1)
			closeTo(t, "outlet", values(t, r, "circuit A outlet")[i], mean-(mean-20-zero)*math.Exp(-ntu), 0.1)
		}
	}
}

func TestVeryLargeFlowLeavesAtTheInletAndATrickleAtTheBlock(t *testing.T) {
	p := lumped(1)
	p.circuit(20, 20+zero, 5e5, through(&p, 0, false))
	p.every(1, 3)
	r := solve(t, p)
	closeTo(t, "outlet at 20 kg/s", values(t, r, "circuit A outlet")[1], 20+zero, 0.02)
	p = lumped(1)
	p.circuit(1e-5, 20+zero, 5e5, through(&p, 0, false))
	p.every(1, 3)
	r = solve(t, p)
	closeTo(t, "outlet at 0.01 g/s", values(t, r, "circuit A outlet")[1], 40+zero, 0.02)
	closes(t, r)
}

func TestHeatPickedUpIsTheRiseOfEnthalpyToRounding(t *testing.T) {
	p := cuboid(block.Point{0.1, 0.1, 0.1}, [3]int{5, 5, 5}, plain(2000, 1000, 100))
	p.Initial = 90 + zero
	p.tube("1", block.Width, block.Point{0.05, 0, 0.03})
	p.tube("2", block.Width, block.Point{0.05, 0, 0.07})
	p.circuit(0.02, 20+zero, 5e5, through(&p, 0, false), through(&p, 1, true))
	p.every(10, 200)
	r := solve(t, p)
	closes(t, r)
	l := r.Ledger
	inTubes := 0.0
	for _, s := range l.StoredBy {
		if s.Name == "water in the tubes" {
			inTubes = s.Amount
		}
	}
	closeTo(t, "carried off and kept by the water, J", l.Carried+inTubes, l.ToPasses, 1e-10*l.ToPasses)

	p.Steady = true
	p.cool(block.Front, 200, 90+zero, 0)
	r = solve(t, p)
	iso, err := water.NewIsobar(5e5)
	if err != nil {
		t.Fatal(err)
	}
	out := last(values(t, r, "circuit A outlet"))
	q := last(values(t, r, "heat to passes"))
	// The outlet is read back through the table's temperature, good to 1e-8 K of a rise of some K.
	closeTo(t, "ṁ Δh at the steady state", 0.02*(iso.Enthalpy(out)-iso.Enthalpy(20+zero)), q, 1e-7*q)
	closeTo(t, "carried off", r.Ledger.Carried, q, 1e-9*q)
}

// A warmer inlet enters at 10 s a tube whose wall lets nothing through. Its front leaves after mass / flow: the
// middle of the arrival within 8 %, its first moment within 2 %: slices are well mixed and the water is stepped by
// the implicit Euler method, which smears a front but keeps its moment.
func TestColdFrontArrivesAfterMassOverFlow(t *testing.T) {
	const flow = 2e-4
	p := cuboid(block.Point{0.1, 0.4, 0.1}, [3]int{3, 40, 3}, plain(2000, 1000, 100))
	tube := p.tube("1", block.Width, block.Point{0.05, 0, 0.05})
	tube.FilmFixed, tube.Contact.None = 1e-6, true
	p.circuit(flow, 20+zero, 5e5, through(&p, 0, false))
	p.Duty.Water[0].Inlet = duty.Signal{T: []float64{0, 10, 10}, V: []float64{20 + zero, 20 + zero, 40 + zero}}
	p.every(1, 600)
	r := solve(t, p)
	closes(t, r)
	transit := math.Pi / 4 * 0.010 * 0.010 * 0.4 * 998.4 / flow
	half, moment := math.NaN(), 0.0
	for i, T := range values(t, r, "circuit A outlet") {
		x := (T - 20 - zero) / 20
		if at := r.History.Time[i] - 10; at < 0.5*transit && x > 0.01 {
			t.Fatalf("%.3g of the front has arrived after %.3g of the transit time", x, at/transit)
		}
		if math.IsNaN(half) && x >= 0.5 {
			half = r.History.Time[i] - 10
		}
		if r.History.Time[i] > 10 {
			moment += 1 - x
		}
	}
	closeTo(t, "arrival of half the front, s", half, transit, 0.08*transit)
	closeTo(t, "mean arrival, s", moment, transit, 0.02*transit)
	// The water now in the tube is 20 K warmer: 31.4 cm³ at 992 kg/m³ and 4179 J/(kg K), less what 998 kg/m³ held
	// at 20 °C, where the content is zero.
	for _, s := range r.Ledger.StoredBy {
		if s.Name == "water in the tubes" {
			closeTo(t, "heat kept by the water, J", s.Amount, math.Pi/4*1e-4*0.4*992.4*4180*20, 0.01*s.Amount)
		}
	}
}

func TestSwitchingWaterConservesEnergy(t *testing.T) {
	p := cuboid(block.Point{0.1, 0.1, 0.1}, [3]int{4, 5, 4}, plain(2000, 1000, 100))
	p.Initial = 85 + zero
	p.tube("1", block.Width, block.Point{0.05, 0, 0.05})
	p.circuit(0.02, 15+zero, 5e5, through(&p, 0, false))
	for _, start := range []duty.WaterState{duty.Drained, duty.Flowing, duty.Closed} {
		p.Duty.Switches.Water[0] = start
		p.Duty.Events = nil
		for i, s := range []duty.WaterState{duty.Flowing, duty.Closed, duty.Flowing, duty.Drained, duty.Closed, duty.Drained, duty.Flowing} {
			p.Duty.Events = append(p.Duty.Events, duty.Event{
				At: 20 * float64(i+1), Name: "switch",
				Do: []duty.Action{{What: duty.SetWater, Value: float64(s)}},
			})
		}
		p.every(5, 180)
		r := solve(t, p)
		closes(t, r)
		q := values(t, r, "heat to passes")
		for i, x := range r.History.Time {
			if drained := x >= 80 && x < 100 || x >= 120 && x < 140; drained && q[i] != 0 {
				t.Errorf("a drained pass takes %g W at %g s", q[i], x)
			}
			if x >= 25 && x < 40 && !(q[i] > 60) {
				t.Errorf("a flowing pass takes only %g W at %g s", q[i], x)
			}
			if x >= 50 && x < 60 && !(q[i] > 0 && q[i] < q[7]) {
				t.Errorf("water at rest takes %g W at %g s", q[i], x)
			}
		}
	}
}

func TestPressureThatChangesLeavesNoGapInTheLedger(t *testing.T) {
	p := cuboid(block.Point{0.1, 0.1, 0.1}, [3]int{4, 4, 4}, plain(2000, 1000, 100))
	p.Initial = 85 + zero
	p.tube("1", block.Width, block.Point{0.05, 0, 0.05})
	p.circuit(0.01, 20+zero, 5e5, through(&p, 0, false))
	p.Duty.Water[0].Pressure = duty.Signal{T: []float64{0, 50, 100, 100}, V: []float64{5e5, 5e5, 40e5, 2e5}}
	p.every(5, 150)
	closes(t, solve(t, p))
}

// twoBranches has a circuit of one pass and one of two passes, on one pump.
func twoBranches() Problem {
	p := cuboid(block.Point{0.1, 0.1, 0.1}, [3]int{6, 4, 4}, plain(2000, 1000, 100))
	p.Initial = 60 + zero
	for i, x := range []float64{0.02, 0.05, 0.08} {
		p.tube(string(rune('1'+i)), block.Width, block.Point{x, 0, 0.05})
	}
	p.circuit(0, 20+zero, 5e5, through(&p, 0, false))
	p.circuit(0, 20+zero, 5e5, through(&p, 1, false), through(&p, 2, true))
	p.Duty.Water[0].Flow, p.Duty.Water[1].Flow = duty.Signal{}, duty.Signal{}
	p.Duty.Pumps = []duty.Pump{{Flow: duty.Fixed(0.1), Circuits: []int{0, 1}}}
	return p
}

func TestCircuitsOnOnePumpShareByEqualPressureDrop(t *testing.T) {
	p := twoBranches()
	p.every(5, 50)
	r := solve(t, p)
	closes(t, r)
	for i := range r.History.Time {
		a, b := values(t, r, "circuit A flow")[i], values(t, r, "circuit B flow")[i]
		closeTo(t, "sum of the flows", a+b, 0.1, 1e-12)
		da, db := values(t, r, "circuit A pressure drop")[i], values(t, r, "circuit B pressure drop")[i]
		closeTo(t, "pressure drop of A over B", da/db, 1, 1e-4) // divided to 1e-5 for the step before
		if !(a > 1.3*b && a < 1.6*b) {                          // twice the length: 2^(1/1.75) to 2^(1/2) less flow
			t.Errorf("flows %g and %g kg/s: the short circuit should get about 1.45 times the long one's", a, b)
		}
	}
}

func TestShutCircuitLeavesThePumpsFlowToTheOther(t *testing.T) {
	p := twoBranches()
	p.Duty.Events = []duty.Event{{At: 20, Name: "shut B", Do: []duty.Action{{What: duty.SetWater, Index: 1, Value: float64(duty.Drained)}}}}
	p.every(5, 40)
	r := solve(t, p)
	closes(t, r)
	closeTo(t, "flow of A", last(values(t, r, "circuit A flow")), 0.1, 1e-12)
	closeTo(t, "flow of B", last(values(t, r, "circuit B flow")), 0, 0)
}

// The control finds the flow at which the steady outlet is the one asked for, with films and contact as they are
// at that flow. The recorded outlet trails by the transit time of a few seconds, in which the block cools a little.
func TestThrottleHoldsTheOutlet(t *testing.T) {
	p := cuboid(block.Point{0.1, 0.2, 0.1}, [3]int{4, 8, 4}, plain(2000, 1000, 100))
	p.Initial = 160 + zero
	p.tube("1", block.Width, block.Point{0.05, 0, 0.05})
	p.circuit(0, 20+zero, 20e5, through(&p, 0, false))
	p.Duty.Water[0].Flow = duty.Signal{}
	p.Duty.Throttle = []duty.Control{{Circuit: 0, Value: 60 + zero, Min: 0.0005, Max: 0.2}}
	p.every(10, 800)
	r := solve(t, p)
	closes(t, r)
	flow, out := values(t, r, "circuit A flow"), values(t, r, "circuit A outlet")
	held := false
	for i, x := range r.History.Time {
		if flow[i] < 0.0005*(1-1e-9) || flow[i] > 0.2 {
			t.Fatalf("flow %g kg/s at %g s leaves the limits", flow[i], x)
		}
		if x >= 30 && flow[i] > 0.0006 {
			held = true
			closeTo(t, "held outlet, K", out[i], 60+zero, 0.7)
		}
	}
	if !held || !(last(flow) < flow[3]) {
		t.Errorf("the flow should start above and fall as the block cools: %g then %g kg/s", flow[3], last(flow))
	}
}

func TestThrottleSaysWhenItCannotHold(t *testing.T) {
	for _, c := range []struct {
		outlet float64
		flow   float64
		say    string
	}{{21 + zero, 0.01, "hotter than asked"}, {90 + zero, 0.002, "cooler than asked"}} {
		p := lumped(1)
		p.circuit(0, 20+zero, 5e5, through(&p, 0, false))
		p.Duty.Water[0].Flow = duty.Signal{}
		p.Duty.Throttle = []duty.Control{{Circuit: 0, Value: c.outlet, Min: 0.002, Max: 0.01}}
		p.every(5, 10)
		r := solve(t, p)
		closeTo(t, "flow", last(values(t, r, "circuit A flow")), c.flow, 1e-12)
		if !strings.Contains(strings.Join(r.Warnings, "\n"), c.say) {
			t.Errorf("no warning says that the outlet is %s: %q", c.say, r.Warnings)
		}
	}
}

func TestWaterThatBoilsGoesOnWithAWarning(t *testing.T) {
	p := cuboid(block.Point{0.1, 0.2, 0.1}, [3]int{4, 8, 4}, plain(2000, 1000, 100))
	p.Initial = 320 + zero
	p.tube("1", block.Width, block.Point{0.05, 0, 0.05})
	p.circuit(0.0005, 20+zero, 2e5, through(&p, 0, false))
	p.every(10, 300)
	r := solve(t, p)
	closes(t, r)
	if !strings.Contains(strings.Join(r.Warnings, "\n"), "boils") {
		t.Errorf("no warning says that the water boils: %q", r.Warnings)
	}
	most := 0.0
	for _, c := range r.History.Columns {
		for i, v := range c.Values {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("%s is %g at %g s", c.Name, v, r.History.Time[i])
			}
		}
	}
	for _, x := range values(t, r, "circuit A quality") {
		most = math.Max(most, x)
	}
	if !(most > 0.05) {
		t.Errorf("the outlet's quality reaches only %.3g", most)
	}
}

func TestPassesInSeriesAndInParallelMatchTheirTransferUnits(t *testing.T) {
	const flow = 0.01
	ntu := lumpedUA / (flow * 4181)
	// The water takes 0.8 s through a pass, in which the block cools by 0.2 K: the outlet trails by part of that.
	s := lumped(2)
	s.circuit(flow, 20+zero, 5e5, through(&s, 0, false), through(&s, 1, true))
	s.every(5, 20)
	r := solve(t, s)
	closes(t, r)
	mean := last(values(t, r, "block mean"))
	closeTo(t, "outlet of two passes in series", last(values(t, r, "circuit A outlet")), mean-(mean-20-zero)*math.Exp(-2*ntu), 0.15)
	first, second := last(values(t, r, "pass 1 heat")), last(values(t, r, "pass 2 heat"))
	closeTo(t, "heat of the first over the second", first/second, math.Exp(ntu), 0.02*math.Exp(ntu))

	q := lumped(2)
	q.circuit(flow, 20+zero, 5e5, through(&q, 0, false))
	q.circuit(flow, 20+zero, 5e5, through(&q, 1, false))
	q.every(5, 20)
	r = solve(t, q)
	closes(t, r)
	mean = last(values(t, r, "block mean"))
	closeTo(t, "outlet of one of two in parallel", last(values(t, r, "circuit A outlet")), mean-(mean-20-zero)*math.Exp(-ntu), 0.1)
	closeTo(t, "heat of one over the other", last(values(t, r, "pass 1 heat"))/last(values(t, r, "pass 2 heat")), 1, 1e-3)
}

// led is a slab of insulation 0.1 m thick along depth, hot at its back, through which a lead of a tube runs to a
// short pass in a block behind.
func led(wall int) Problem {
	p := cuboid(block.Point{0.04, 0.1, 0.1}, [3]int{14, 5, 5}, plain(2000, 1000, 200))
	p.Receiver.Media = append(p.Receiver.Media, plain(200, 1000, 0.05), plain(8000, 500, 300))
	p.Receiver.Parts = append(p.Receiver.Parts, receiver.Part{
		Name: "insulation front", Role: receiver.RoleInsulation,
		Box: block.Box{Min: block.Point{-0.1, 0, 0}, Max: block.Point{0, 0.1, 0.1}}, Medium: 1, Initial: math.NaN(),
	})
	t := p.tube("1", block.Depth, block.Point{0, 0.05, 0.05})
	t.WallMedium, t.FilmFixed = wall, 2000
	p.hold(block.Back, 100+zero)
	lead := receiver.Run{Kind: receiver.RunLead, Pass: 0, From: block.Point{0, 0.05, 0.05}, To: block.Point{-0.1, 0.05, 0.05}}
	p.circuit(0.01, 20+zero, 5e5, through(&p, 0, true), lead)
	return p
}

// A drained lead conducts beside the insulation: k A of its wall over the thickness. The insulation gives up the
// bore's column of cells, 2 × 2 cm here, and the wall's ends stand at the temperatures of the block and of the cold
// face.
func TestDrainedLeadsWallBridgesTheInsulation(t *testing.T) {
	lost := func(wall int) float64 {
		p := led(wall)
		p.hold(block.Front, 20+zero)
		p.Duty.Switches.Water[0] = duty.Drained
		p.Steady = true
		return last(values(t, solve(t, p), "lost front"))
	}
	bare, bridged := lost(-1), lost(2)
	closeTo(t, "heat through the insulation alone, W", bare, 0.05*(0.01-0.0004)/0.1*80, 0.005*bare)
	// From the centre of the block's last cell, 5 mm inside; 1 %: the block's own share of the drop.
	want := 300 * math.Pi / 4 * (0.012*0.012 - 0.010*0.010) / 0.105 * 80
	closeTo(t, "heat along the tube's wall, W", bridged-bare, want, 0.01*want)
}

func TestLeadPicksUpHeatFromTheInsulation(t *testing.T) {
	p := led(-1)
	p.Steady = true
	r := solve(t, p)
	with := last(values(t, r, "heat to passes"))
	p.Receiver.Circuits[0].Runs = p.Receiver.Circuits[0].Runs[:1]
	r = solve(t, p)
	without := last(values(t, r, "heat to passes"))
	if !(with > without*1.0005) {
		t.Errorf("with its lead the circuit takes %.6g W, without %.6g W", with, without)
	}
}

// The film's link of the chain, at a full tap, is that of the named correlation on the inner area.
func TestFilmLinkIsThatOfItsCorrelation(t *testing.T) {
	p := lumped(1)
	p.Receiver.Passes[0].FilmFixed = 0
	p.circuit(0.1, 20+zero, 5e5, through(&p, 0, false))
	p.every(1, 3)
	r := solve(t, p)
	c := r.Chains[len(r.Chains)-1]
	iso, err := water.NewIsobar(5e5)
	if err != nil {
		t.Fatal(err)
	}
	wall := iso.At(iso.Enthalpy(c.Block))
	bulk := iso.At(iso.Enthalpy(c.Water))
	f := saturated(&bulk)
	f.Expansion = (iso.Density(iso.Enthalpy(c.Water-1)) - iso.Density(iso.Enthalpy(c.Water+1))) / 2 / f.Density
	k := film.Tube(f, wall.Prandtl, 0.1/(math.Pi/4*1e-4), 0.010, 0.1, 0, c.Block-c.Water)
	for _, l := range c.Links {
		if l.Name == "film" {
			want := 1 / (k.H * math.Pi * 0.010 * 0.1)
			// The water's properties vary along the pass and the wall stands as of the last step.
			closeTo(t, "film's resistance, K/W", l.Resistance, want, 0.02*want)
		}
	}
}

func TestChainsLinksAddUpToTheWholeDrop(t *testing.T) {
	p := cuboid(block.Point{0.1, 0.1, 0.1}, [3]int{5, 5, 5}, plain(2000, 1000, 100))
	p.Initial = 90 + zero
	p.Receiver.Media = append(p.Receiver.Media, plain(8000, 500, 16))
	p.tube("1", block.Width, block.Point{0.05, 0, 0.05}).WallMedium = 1
	p.Receiver.Passes[0].Contact.Value = slanting(zero, 300, 200+zero, 600)
	p.circuit(0.02, 20+zero, 5e5, through(&p, 0, false))
	p.every(10, 60)
	for _, c := range solve(t, p).Chains {
		sum, r := 0.0, 0.0
		for _, l := range c.Links {
			sum += l.Share
			r += l.Resistance
		}
		closeTo(t, "sum of the shares", sum, 1, 1e-9)
		closeTo(t, "resistances times heat, K", r*c.Heat, c.Block-20-zero, 1e-7)
	}
}

// Without a spreading resistance every cell around the tube stands in line with the water by its own temperature:
// half of this tube lies in insulation, which must not be drained below the water's temperature.
func TestTubeHalfInInsulationCoolsNothingBelowItsWater(t *testing.T) {
	for _, spreading := range []bool{false, true} {
		p := cuboid(block.Point{0.1, 0.1, 0.1}, [3]int{10, 4, 16}, plain(2000, 1000, 100))
		p.Receiver.Media = append(p.Receiver.Media, plain(200, 1000, 0.05))
		p.Receiver.Parts = append(p.Receiver.Parts, receiver.Part{
			Name: "lid", Role: receiver.RoleInsulation, Medium: 1, Initial: math.NaN(),
			Box: block.Box{Min: block.Point{0, 0, 0.1}, Max: block.Point{0.1, 0.1, 0.16}},
		})
		p.Initial = 200 + zero
		q := p.tube("1", block.Width, block.Point{0.05, 0, 0.1})
		q.Spreading, q.FilmFixed, q.Contact.None = spreading, 1000, true
		p.circuit(0.01, 20+zero, 20e5, through(&p, 0, false))
		p.every(20, 200)
		p.FieldTimes = []float64{200}
		r := solve(t, p)
		closes(t, r)
		for c, T := range r.Fields[0].Temperature {
			if T < 20+zero {
				t.Fatalf("spreading %t: cell %d stands at %.5g K, below the water", spreading, c, T)
			}
		}
	}
}

// A chain of which every link is left out keeps a twentieth of the spreading resistance, and says nothing absurd.
func TestChainWithoutAnyResistanceStaysFinite(t *testing.T) {
	p := cuboid(block.Point{0.1, 0.1, 0.1}, [3]int{5, 5, 5}, plain(2000, 1000, 100))
	p.Initial = 60 + zero
	q := p.tube("1", block.Width, block.Point{0.05, 0, 0.05})
	q.Spreading, q.FilmNone, q.Contact.None = false, true, true
	p.circuit(0.05, 20+zero, 5e5, through(&p, 0, false))
	p.every(5, 50)
	r := solve(t, p)
	closes(t, r)
	if T := last(values(t, r, "block mean")); !(T > 20+zero && T < 40+zero) {
		t.Errorf("block mean %g K", T)
	}
}

// Steam from a block hotter than the table's end at 1073 K: its temperature goes on rising, and the march with it,
// instead of shrinking its steps at the table's end.
func TestSteamFromAVeryHotBlockDoesNotStopTheMarch(t *testing.T) {
	p := cuboid(block.Point{0.06, 0.13, 0.06}, [3]int{3, 4, 3}, plain(2000, 1000, 50))
	p.Initial = 1300
	p.tube("1", block.Width, block.Point{0.03, 0, 0.03}).FilmFixed = 800
	p.circuit(1e-4, 290, 20e5, through(&p, 0, false))
	p.every(20, 60)
	r := solve(t, p)
	closes(t, r)
	if T := last(values(t, r, "circuit A outlet")); !(T > 1100 && T < 1300) || r.Steps > 200 {
		t.Errorf("outlet %g K after %d steps", T, r.Steps)
	}
}
