package figure

import (
	"fmt"
	"math"

	"emberbank/block"
)

// Invented studies: smooth functions that no model computed.

func madeWool(n int, ratio bool) (x, y, low, high []float64, fate []Fate) {
	for i := range n {
		v := 20 + 180*float64(i)/math.Max(1, float64(n-1))
		if ratio {
			v = 20 * math.Pow(10, float64(i)/math.Max(1, float64(n-1)))
		}
		r := 5.9 - 3.1*math.Exp(-(v-20)/45)
		x, y, low, high = append(x, v), append(y, r), append(low, r-0.12), append(high, r+0.12)
		f := Meets
		switch {
		case i == n/3 && n > 4:
			f, y[i], low[i], high[i] = Failed, math.NaN(), math.NaN(), math.NaN()
		case r < 4.2:
			f = Misses
		}
		fate = append(fate, f)
	}
	return x, y, low, high, fate
}

var (
	madeAxis     = Studied{Name: "wool", Unit: "mm"}
	madeResponse = Studied{Name: "heat kept after a night", Unit: "MJ"}
	madeLimit    = []Limit{{At: 4.2, Says: "kept at least 4.2 MJ"}}
)

func madeCurve(n int, plateau bool) []byte {
	x, y, low, high, fate := madeWool(n, false)
	v := &StudyVerdict{Plateau: true, From: 150, Margin: 0.3, Above: 110, Says: "plateau from 150 mm on", Margins: "300\u00a0kJ"}
	if !plateau {
		v = &StudyVerdict{Above: 160, Says: "not within this range", Trends: []StudyTrend{{Name: "declining exponential", Limit: "5.9 MJ"}, {Name: "power law", Limit: "6.6 MJ"}}}
		for i := range 30 {
			t := 140 + 160*float64(i)/29
			v.Trends[0].X, v.Trends[0].Y = append(v.Trends[0].X, t), append(v.Trends[0].Y, 5.9-3.1*math.Exp(-(t-20)/45))
			v.Trends[1].X, v.Trends[1].Y = append(v.Trends[1].X, t), append(v.Trends[1].Y, 6.6-160/t)
		}
	}
	return StudyCurves("How thick should the <invented> wool be?", []string{"Tint: 95\u2009% from computing and inputs. " + v.Says + "."}, madeAxis, madeResponse, []StudyLine{{X: x, Y: y, Low: low, High: high, Fate: fate, Verdict: v}}, madeLimit)
}

// madeCurveTo700 is one whose last number stands beside the edge, where the axis' name begins.
func madeCurveTo700() []byte {
	of := madeAxis
	of.Ratio = true
	x, y, _, _, fate := madeWool(12, true)
	v := &StudyVerdict{Above: 150, Says: "not within this range", Trends: []StudyTrend{{Name: "power law", X: []float64{120, 592}, Y: []float64{5.8, 6.2}}}}
	return StudyCurves("How thick?", nil, of, madeResponse, []StudyLine{{X: x, Y: y, Fate: fate, Verdict: v}}, nil)
}

func madeCurves(lines, n int, ratio bool) []byte {
	of := madeAxis
	of.Ratio = ratio
	var all []StudyLine
	for k := range lines {
		x, y, low, high, fate := madeWool(n, ratio)
		for i := range y {
			f := 1 + 2*float64(k)/float64(lines)
			y[i], low[i], high[i] = y[i]*f, low[i]*f, high[i]*f
		}
		v := &StudyVerdict{Plateau: k%2 == 0, From: 150, Margin: 0.3, Above: 110, Says: "plateau from 150 mm on"}
		if k%2 == 1 {
			v.Says = "not within this range; above 110 mm"
		}
		all = append(all, StudyLine{Name: fmt.Sprintf("window %d mm", 60+20*k), X: x, Y: y, Low: low, High: high, Fate: fate, Verdict: v})
	}
	return StudyCurves("How thick should the wool be, and how large the window?", []string{"Tint: 95\u2009% from computing and inputs."}, of, madeResponse, all, madeLimit)
}

func madeWordy(n, lines int) []byte {
	of := Studied{Name: "filler"}
	for i := range n {
		of.Words = append(of.Words, []string{"tin", "a eutectic of bismuth and tin with a long name", "zinc", "salt"}[i%4])
	}
	var all []StudyLine
	for k := range lines {
		var l StudyLine
		for i := range n {
			v := 3 + float64((i*7)%5)*0.4 + 0.8*float64(k)
			l.X, l.Y, l.Low, l.High, l.Fate = append(l.X, float64(i)), append(l.Y, v), append(l.Low, v-0.2), append(l.High, v+0.2), append(l.Fate, Fate(map[bool]int{true: 1}[v < 4.2]))
		}
		if lines > 1 {
			l.Name = fmt.Sprintf("window %d mm", 60+20*k)
		}
		all = append(all, l)
	}
	return StudyCurves("Which filler keeps most?", nil, of, madeResponse, all, madeLimit)
}

func madeTerrain(nu, nv int, words, degrees bool) []byte {
	m := Terrain{X: Studied{Name: "wool", Unit: "mm"}, Y: Studied{Name: "window", Unit: "mm", Ratio: true}, Best: -1}
	of := Studied{Name: "heat kept after a night", Unit: "MJ"}
	if degrees {
		of = Studied{Name: "block after six hours", Unit: degree, Degrees: true}
	}
	for i := range nu {
		m.U = append(m.U, 20+180*float64(i)/math.Max(1, float64(nu-1)))
	}
	for j := range nv {
		m.V = append(m.V, 50*math.Pow(4, float64(j)/math.Max(1, float64(nv-1))))
	}
	if words {
		m.Y = Studied{Name: "filler", Words: []string{"tin", "a eutectic of bismuth and tin", "zinc", "salt"}}
		for j := range m.V {
			m.V[j] = float64(j)
		}
	}
	cost := Border{Limit: Limit{At: 380, Most: true, Says: "cost at most 380"}}
	kept := Border{Limit: Limit{At: 4.2, Says: "at least 4.2 MJ"}}
	best := math.Inf(-1)
	for j, v := range m.V {
		if words {
			v = 80 + 30*v
		}
		for i, u := range m.U {
			f := 6.2 - 3*math.Exp(-(u-10)/50) - 2.2*math.Pow(math.Log(v/90), 2)
			c := 120 + 1.2*u + 0.8*v
			k := len(m.F)
			fate := Meets
			if f < 4.2 || c > 380 {
				fate = Misses
			}
			if degrees {
				f = 40 + 30*f
			}
			if i == nu/2 && j == nv-2 {
				fate, f, c = Failed, math.NaN(), math.NaN()
			}
			if fate == Meets && f > best {
				best, m.Best = f, k
			}
			m.F, m.Fate = append(m.F, f), append(m.Fate, fate)
			cost.F = append(cost.F, c)
		}
	}
	kept.F = m.F
	if degrees {
		kept.At, kept.Says = 166, "at least 166 °C"
	}
	m.Borders = []Border{cost, kept}
	return StudyMap("Which wool and which <window>?", []string{"Best of those that meet the constraints: variant 12, 5.7 MJ at wool 140 mm and window 100 mm."}, of, m)
}

func madeInfluences(n int, response string) Influences {
	p := Influences{Response: response, Says: "mean 5.2 MJ, standard deviation 0.4 MJ"}
	for i := range n {
		a := 0.6 / math.Pow(1.7, float64(i))
		one := Influence{Input: []string{"contact of the passes", "wool", "emissivity of the face that looks at the window and its surroundings", "wind"}[i%4], Alone: Share{a, a - 0.06, a + 0.06}, With: Share{a + 0.08, a - 0.01, a + 0.17}}
		if i == 5 {
			one.With, one.Alone = Share{math.NaN(), math.NaN(), math.NaN()}, Share{math.NaN(), 0, 1}
		}
		p.All = append(p.All, one)
	}
	return p
}

func madeSensitivity(n int) []byte {
	return Sensitivity("What is behind the spread?", []string{"Pale: share of the variance with others (total index); dark: alone (first-order index); lines: 95\u2009% intervals."},
		[]Influences{madeInfluences(n, "heat kept after a night"), madeInfluences(min(n, 3), "block after six hours")})
}

func madeSpreading(n int, even bool) []byte {
	s := Spreading{Of: madeResponse, Limits: []Limit{{At: 4.2, Says: "at least 4.2 MJ: kept by 93\u2009% (88 to 96\u2009%)"}, {At: 9, Most: true, Says: "at most 9 MJ"}}, Mean: Share{5.1, 5.0, 5.2}}
	for i := range n {
		p := (float64(i) + 0.5) / float64(n)
		v := 5.1 + 0.5*math.Log(p/(1-p))
		if even {
			v = 5.1
		}
		if i%9 == 8 {
			v = math.NaN()
		}
		s.Values = append(s.Values, v)
	}
	for _, p := range []float64{0.05, 0.5, 0.95} {
		v := 5.1 + 0.5*math.Log(p/(1-p))
		s.Quantiles = append(s.Quantiles, Quantile{p, Share{v, v - 0.2, v + 0.15}})
	}
	s.Quantiles[2].At.High = math.Inf(1)
	return Spread("How is the heat kept spread?", []string{"256 variants; intervals at 95\u2009%."}, s)
}

func madeFront(n int, even bool) []byte {
	f := Front{X: Studied{Name: "price", Unit: "units"}, Y: madeResponse, MostY: true}
	seed := uint32(7)
	next := func() float64 { seed = seed*1664525 + 1013904223; return float64(seed>>8) / (1 << 24) }
	for i := range n {
		a := 100 + 400*next()
		b := 6 - 300/a*1.2 - 2.5*next()*next()
		if even {
			a, b = 200, 4
		}
		f.A, f.B, f.Fate = append(f.A, a), append(f.B, b), append(f.Fate, Meets)
		f.UA, f.UB = append(f.UA, 4), append(f.UB, 0.12)
		if i%10 == 9 {
			f.Fate[i] = Misses
		}
		if i%17 == 16 {
			f.A[i], f.Fate[i] = math.NaN(), Failed
		}
	}
	if n == 12 {
		f.UA, f.UB, f.Half = nil, nil, [2]float64{4, 0.12}
	}
	f.Standing = make([]Standing, n)
	order := []int{}
	for i := range n {
		best := f.Fate[i] == Meets
		near := f.Fate[i] == Meets
		for j := range min(n, 2000) {
			if f.Fate[j] == Meets && f.A[j] <= f.A[i] && f.B[j] >= f.B[i] && (f.A[j] < f.A[i] || f.B[j] > f.B[i]) {
				best = false
				near = near && (f.A[i]-f.A[j] < 9 || f.B[j]-f.B[i] < 0.28)
			}
		}
		switch {
		case best:
			f.Standing[i] = Undefeated
			order = append(order, i)
		case near:
			f.Standing[i] = Untold
		}
	}
	for i := range order { // by price
		for j := i; j > 0 && f.A[order[j]] < f.A[order[j-1]]; j-- {
			order[j], order[j-1] = order[j-1], order[j]
		}
	}
	f.Order = order
	if k := len(order); k > 0 {
		f.Chosen = []Chosen{
			{A: f.A[order[0]], B: f.B[order[0]], Says: "cheapest: wool 20 mm, window 60 mm, filler a eutectic of bismuth and tin"},
			{A: f.A[order[k-1]], B: f.B[order[k-1]], Says: "keeps most: wool 180 mm, window 80 mm"},
			{A: 300, B: 4, Says: "present design", Present: true},
		}
	}
	return Pareto("What does a kept joule cost?", []string{"Lines through the dots: 95\u2009% in each aim."}, f)
}

func madePasses(temperatures, n int) []byte {
	var all []PassLine
	for k := range temperatures {
		l := PassLine{Name: fmt.Sprintf("block at %d °C", 250-30*k), PaysTo: 5, StopsAt: 9, Says: "pays up to 5, none from 9 on"}
		for i := range n {
			q := (3.2 - 0.5*float64(k)) * (1 - math.Exp(-float64(i)/5))
			l.N, l.Q = append(l.N, float64(i)), append(l.Q, q)
			l.Low, l.Most = append(l.Low, 0.4*q), append(l.Most, 1.1*q)
			if i > 0 {
				g := PassGain{From: float64(i - 1), To: float64(i), Each: q - l.Q[i-1], Half: 0.03}
				switch {
				case i <= 5:
					g.Pays = DoesPay
				case i > 9:
					g.Pays = DoesNotPay
				}
				l.Gains = append(l.Gains, g)
			}
		}
		all = append(all, l)
	}
	return Passes("How many passes?", []string{"Bars: the range that the flow of water sets."}, Studied{Name: "passes"}, Studied{Name: "heat flow to the water", Unit: "kW"},
		Limit{At: 0.1, Says: "a pass must bring 100 W"}, all)
}

func madeSections(n int) []byte {
	var all []Cut
	for i := range n {
		rec := madeReceiver()
		r := madeResult(rec)
		f := r.Fields[0]
		f.Temperature = append([]float64(nil), f.Temperature...)
		for k := range f.Temperature {
			f.Temperature[k] -= 8 * float64(i)
		}
		all = append(all, Cut{Name: fmt.Sprintf("variant %d: wool %d mm, window 160 mm", i+1, 80+20*i), Result: r, Receiver: rec, Field: f, Axis: block.Width, At: 0.14})
	}
	return Sections("Three thicknesses of wool after 4\u2009h", []string{"Sections at width 140 mm: depth to the right, height upwards."}, all, Range{})
}

func madeOptimum(axes, n int) []byte {
	var panels []Searched
	y, fate := make([]float64, n), make([]Fate, n)
	seed := uint32(3)
	next := func() float64 { seed = seed*1664525 + 1013904223; return float64(seed>>8) / (1 << 24) }
	best := 0
	for k := range axes {
		s := Searched{Axis: Studied{Name: []string{"wool", "film on the outside", "filler"}[k%3], Unit: []string{"mm", "W/(m2 K)", ""}[k%3]}, Low: 0.55, High: 0.7}
		if k%3 == 2 {
			s.Axis.Words = []string{"tin", "a eutectic of bismuth and tin", "zinc"}
		}
		for i := range n {
			x := next()
			if k%3 == 2 {
				x = math.Floor(3 * x)
			}
			s.X = append(s.X, x)
			y[i] -= (x - 0.6) * (x - 0.6)
		}
		panels = append(panels, s)
	}
	for i := range y {
		y[i] += 6
		switch {
		case y[i] < 4.2:
			fate[i] = Misses
		case i%13 == 12:
			fate[i], y[i] = Failed, math.NaN()
		case y[i] > y[best]:
			best = i
		}
	}
	return Optimum("Which variant keeps most?", []string{"The best is variant 12."}, madeResponse, y, fate, best, madeLimit, panels)
}
