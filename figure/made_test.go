package figure

import (
	"math"

	"emberbank/block"
	"emberbank/heat"
	"emberbank/history"
	"emberbank/material"
	"emberbank/receiver"
)

// madeReceiver is an invented receiver: a block with six passes, glass, insulation all round with the window's
// opening cut through the front, a foot and a jacket.
func madeReceiver() *receiver.Receiver {
	b := block.Box{Min: block.Point{0, 0, 0}, Max: block.Point{0.16, 0.28, 0.28}}
	around := func(t float64) block.Box {
		return block.Box{Min: block.Point{-0.05, -t, -t}, Max: block.Point{0.16 + t, 0.28 + t, 0.28 + t}}
	}
	rec := &receiver.Receiver{
		Name: "invented", Block: b,
		Media: []material.Medium{{Name: "tin in aluminium", Latent: 2e4}, {Name: "board"}, {Name: "steel"}},
		Parts: []receiver.Part{
			{Name: "jacket", Role: receiver.RoleJacket, Box: around(0.082), Medium: 2},
			{Name: "insulation", Role: receiver.RoleInsulation, Box: around(0.08), Medium: 1},
			{Name: "opening", Role: receiver.RoleBox, Box: block.Box{Min: block.Point{-0.05, 0.06, 0.06}, Max: block.Point{0, 0.22, 0.22}}, Medium: -1},
			{Name: "block", Role: receiver.RoleBlock, Box: b, Medium: 0},
			{Name: "foot", Role: receiver.RoleFixture, Box: block.Box{Min: block.Point{0.06, 0.13, -0.08}, Max: block.Point{0.08, 0.15, 0}}, Medium: 2},
		},
		Window:  &receiver.Window{Opening: block.Box{Min: block.Point{0, 0.06, 0.06}, Max: block.Point{0, 0.22, 0.22}}, Glass: &receiver.Glass{Thickness: 0.004, Gap: 0.03}},
		Heaters: []receiver.Heater{{Name: "cartridge", Axis: block.Width, At: block.Point{0.13, 0, 0.14}, From: 0, To: 0.28, Diameter: 0.01}},
	}
	for i := range 6 {
		rec.Passes = append(rec.Passes, receiver.Pass{Name: string(rune('1' + i)), Axis: block.Width, At: block.Point{0.095, 0, 0.035 + 0.042*float64(i)}, From: 0, To: 0.28, Outer: 0.012, Inner: 0.01})
	}
	return rec
}

// madeResult is an invented charge, hold and drain: smooth curves that no model computed.
func madeResult(rec *receiver.Receiver) *heat.Result {
	var lines [3][]float64
	for a := range lines {
		lo, hi := rec.Parts[0].Box.Min[a], rec.Parts[0].Box.Max[a]
		lines[a] = []float64{lo}
		if a != 0 {
			lines[a] = append(lines[a], lo+0.002)
		}
		n := int(math.Round((hi - lo - 0.004) / 0.01))
		from, to := lo+0.002, hi-0.002
		if a == 0 {
			from = lo
			n = 26
		}
		for i := 1; i < n; i++ {
			lines[a] = append(lines[a], math.Round((from+(to-from)*float64(i)/float64(n))*1e4)/1e4)
		}
		lines[a] = append(lines[a], to, hi)
	}
	g := &block.Grid{Lines: lines}
	r := &heat.Result{Grid: g, Ended: 6 * 3600, Cells: 20000, Steps: 900, Residual: 2e-14}
	n := g.Cells()
	r.Part = make([]int16, n)
	f := heat.Field{Time: 4 * 3600, Temperature: make([]float64, n), Melted: make([]float64, n)}
	for c := range n {
		i, j, k := g.Place(c)
		p := block.Point{g.Centre(0, i), g.Centre(1, j), g.Centre(2, k)}
		r.Part[c] = -1
		for q, part := range rec.Parts {
			if part.Box.Contains(p) {
				r.Part[c] = int16(q)
				if part.Medium < 0 {
					r.Part[c] = -1
				}
			}
		}
		if r.Part[c] < 0 {
			f.Temperature[c] = math.NaN()
			continue
		}
		out := 0.0 // distance outside the block over the insulation's thickness
		for a := range p {
			d := math.Max(rec.Block.Min[a]-p[a], p[a]-rec.Block.Max[a])
			out = math.Max(out, d/0.085)
		}
		near := math.Hypot(p[0]-0.095, 0.4*(p[2]-0.1))
		block := 228 + 60*near - 20*p[0]
		T := block
		if out > 0 {
			T = 30 + (block-30)*math.Pow(1-out, 1.3)
		}
		if rec.Parts[r.Part[c]].Name == "foot" {
			T = 40 + 190*(p[2]+0.08)/0.08
		}
		f.Temperature[c] = 273.15 + T
		if r.Part[c] == 3 {
			f.Melted[c] = math.Max(0, math.Min(1, (near-0.045)/0.02))
		}
	}
	r.Fields = []heat.Field{f}

	h := &r.History
	names := []struct {
		name string
		q    history.Quantity
		f    func(t float64) float64 // of hours
	}{
		{"block mean", history.Temperature, func(t float64) float64 { return 293.15 + profile(t) }},
		{"stored", history.Heat, func(t float64) float64 { return profile(t) * 2.6e4 }},
		{"melted", history.Fraction, func(t float64) float64 { return math.Max(0, math.Min(1, (profile(t)-200)/20)) }},
		{"absorbed", history.HeatFlow, func(t float64) float64 {
			if t < 2 {
				return 2200 + 80*math.Sin(9*t)
			}
			return 0
		}},
		{"heat to passes", history.HeatFlow, func(t float64) float64 {
			if t < 4 {
				return 0
			}
			return 1600 * math.Exp(-(t-4)/1.2)
		}},
		{"circuit main outlet", history.Temperature, func(t float64) float64 {
			if t < 4 {
				return math.NaN()
			}
			return 288.15 + 80*math.Exp(-(t-4)/1.2)
		}},
		{"lost window", history.HeatFlow, func(t float64) float64 { return 0.5 * profile(t) }},
		{"lost around", history.HeatFlow, func(t float64) float64 { return 0.3 * profile(t) }},
		{"front <1> & \"core\"", history.Temperature, func(t float64) float64 { return 296.15 + 1.02*profile(t) }},
		{"rear", history.Temperature, func(t float64) float64 { return 293.15 + 0.97*profile(t-0.05) }},
		{"insulation", history.Temperature, func(t float64) float64 { return 293.15 + 0.6*profile(t-0.6) }},
	}
	for i := range 181 {
		h.Time = append(h.Time, float64(i)*120)
	}
	for _, c := range names {
		col := history.Column{Name: c.name, Quantity: c.q}
		for _, t := range h.Time {
			col.Values = append(col.Values, c.f(t/3600))
		}
		h.Columns = append(h.Columns, col)
	}
	r.Events = []heat.Mark{{At: 0, What: "light on, cover open"}, {At: 2 * 3600, What: "light off (block mean above 215 °C)"}, {At: 2*3600 + 60, What: "cover shut"}, {At: 4 * 3600, What: "water main flowing"}, {At: 5.8 * 3600, What: "water main closed & <shut>"}}
	r.Ledger = heat.Ledger{
		Absorbed: 1.58e7, Stored: 1.6e6, Latent: 2e5, ToPasses: 1.1e7, Carried: 1.098e7, Lost: 3.22e6,
		StoredBy:  []heat.Share{{Name: "block", Amount: 1.3e6}, {Name: "insulation", Amount: 2.6e5}, {Name: "jacket", Amount: 4e3}, {Name: "water in the tubes", Amount: 3.6e4}},
		ByPass:    []heat.Share{{Name: "1", Amount: 1.1e7}},
		ByCircuit: []heat.Share{{Name: "main", Amount: 1.098e7}},
		ByPath:    []heat.Share{{Name: "window", Amount: 2e6}, {Name: "around", Amount: 1.2e6}, {Name: "back", Amount: 2e4}, {Name: "front", Amount: 0}},
		Residual:  3e-7,
	}
	for i := range 6 {
		r.Chains = append(r.Chains, heat.Chain{Time: 4 * 3600, Pass: string(rune('1' + i)), State: map[bool]string{true: "flowing", false: "drained"}[i < 4]})
	}
	return r
}

// profile is an invented rise over ambient in K, over hours.
func profile(t float64) float64 {
	switch {
	case t <= 0:
		return 0
	case t < 1.6:
		return 205 * t / 1.6
	case t < 2:
		return 205 + 10*(t-1.6)/0.4
	case t < 4:
		return 215 - 4*(t-2)
	}
	return 30 + 177*math.Exp(-(t-4)/1.2)
}

// madeProfile is an invented circuit of three passes with a bend of insulation between them, in which water comes to boil
// and dries: smooth curves that no model computed.
func madeProfile() *heat.Profile {
	p := &heat.Profile{Time: 4 * 3600, Circuit: "main & <upper>", State: "flowing", Flow: 0.006, Inlet: 273.15 + 15, Outlet: 273.15 + 131}
	const length, n = 0.03, 36
	for i := range n {
		at := (float64(i) + 0.5) * length
		q := heat.Place{Distance: at, Length: length, Pass: string(rune('1' + i/12)), Run: "pass", Block: 273.15 + 230 - 20*at, Wetted: math.NaN()}
		if i%12 > 9 {
			q.Run, q.Block = "bend", q.Block-70
		}
		q.Quality = -0.18 + 1.24*at/(n*length)
		q.Temperature = 273.15 + math.Min(120, 120+q.Quality*600)
		switch {
		case q.Quality < -0.12:
			q.State = "liquid"
		case q.Quality < 0:
			q.State = "subcooled boiling"
		case q.Quality < 0.8:
			q.State = "boiling"
		case q.Quality < 0.9:
			q.State = "drying"
		case q.Quality < 1:
			q.State = "mist"
		default:
			q.State, q.Temperature = "steam", 273.15+120+180*(q.Quality-1)
		}
		q.Inside = q.Temperature + 0.2*(q.Block-q.Temperature)
		p.Places = append(p.Places, q)
	}
	return p
}
