package balance

import (
	"math"
	"math/rand/v2"

	"emberbank/history"
	"emberbank/water"
)

// made is a made-up record: a lumped block of 40 kJ/K that is heated, left alone, drained and left to cool, with the
// truth beside what the sensors show.
type made struct {
	in     Input
	bounds []float64 // s, where phases truly begin and end
	heat   [][4]float64
	rate   float64 // 1/s, true cooling rate
}

// circumstances of a made-up record.
type circumstances struct {
	seed    uint64
	every   float64 // s between rows
	noise   float64 // K and, as a share of the usual flow and power, relative
	errors  bool    // draw the systematic errors
	swapped bool    // inlet and outlet
	missing float64 // share of rows without flow
}

const (
	madeCapacity = 40e3 // J/K
	madeUA       = 6.0  // W/K
	madePower    = 3000.0
	madeFlow     = 0.02
)

func make1(c circumstances) made {
	rng := rand.New(rand.NewPCG(c.seed, 1))
	bounds := []float64{0, 7200, 9000, 12600, 27000}
	bar, err := water.NewIsobar(atmosphere)
	if err != nil {
		panic(err)
	}
	draw := func(u float64) float64 {
		if !c.errors {
			return 0
		}
		return u * rng.NormFloat64()
	}
	pair, own, flowError, tc, power, capacity := draw(0.3), draw(0.1), draw(0.01), draw(1.0), draw(0.01), draw(0.02)
	m := made{bounds: bounds, rate: madeUA / madeCapacity}
	h := &history.History{}
	names := []string{"core", "circuit main inlet", "circuit main outlet", "circuit main flow", "ambient", "heater power"}
	kinds := []history.Quantity{history.Temperature, history.Temperature, history.Temperature, history.MassFlow, history.Temperature, history.HeatFlow}
	for i := range names {
		h.Columns = append(h.Columns, history.Column{Name: names[i], Quantity: kinds[i]})
	}
	T := 293.15
	var sum [4]float64
	phase := 0
	next := 0.0
	for t := 0.0; t <= bounds[4]; t++ {
		for phase < 3 && t >= bounds[phase+1] {
			m.heat = append(m.heat, sum)
			sum = [4]float64{}
			phase++
		}
		P, flow := 0.0, 0.0
		if phase == 0 {
			P = madePower
		}
		if phase == 2 {
			flow = madeFlow
		}
		in, amb := 288.15, 293.15+0.5*math.Sin(t/5000)
		out := in + 0.25*(T-in)
		q := 0.0
		if flow > 0 {
			q = flow * (bar.Enthalpy(out) - bar.Enthalpy(in))
		}
		if t >= next {
			next += c.every
			n := func() float64 { return c.noise * rng.NormFloat64() }
			row := []float64{
				T + tc + n(), in + pair + n()/10, out + pair + own + n()/10,
				flow * (1 + flowError) * (1 + n()/50), amb + n()/10, P * (1 + power) * (1 + n()/50),
			}
			if rng.Float64() < c.missing {
				row[3] = math.NaN()
			}
			if c.swapped {
				row[1], row[2] = row[2], row[1]
			}
			h.Time = append(h.Time, t)
			for i, v := range row {
				h.Columns[i].Values = append(h.Columns[i].Values, v)
			}
		}
		lost := madeUA * (T - amb)
		dT := (P - q - lost) / madeCapacity
		T += dT
		sum[0] += P
		sum[1] += q
		sum[2] += dT * madeCapacity
		sum[3] += lost
	}
	m.heat = append(m.heat, sum)
	K := 273.15
	m.in = Input{
		Name: "made up", History: h,
		Channels: []Channel{
			{Column: "core", Role: Block, Noise: c.noise, Errors: []Error{{What: "calibration", Group: "tc", Constant: 1.0, Zero: K}}},
			{Column: "circuit main inlet", Role: Inlet, Of: "main", Noise: c.noise / 10, Errors: []Error{{What: "pair", Group: "pair", Constant: 0.3, Zero: K}}},
			{Column: "circuit main outlet", Role: Outlet, Of: "main", Noise: c.noise / 10, Errors: []Error{{What: "pair", Group: "pair", Constant: 0.3, Zero: K}, {What: "own", Constant: 0.1, Zero: K}}},
			{Column: "circuit main flow", Role: Flow, Of: "main", Noise: c.noise / 50 * madeFlow, Errors: []Error{{What: "meter", Relative: 0.01}}},
			{Column: "ambient", Role: Ambient, Noise: c.noise / 10},
			{Column: "heater power", Role: Source, Noise: c.noise / 50 * madePower, Errors: []Error{{What: "wattmeter", Relative: 0.01}}},
		},
		Capacity: &Capacity{Heat: func(T float64) float64 { return madeCapacity * (1 + capacity) * T }, Errors: []Error{{What: "mass and heat capacity", Constant: 0.02}}, Placement: 1e-9},
	}
	return m
}
