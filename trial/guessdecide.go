package trial

import (
	"math"

	"emberbank/history"
)

// shapeOf is what a temperature's course shows, in degC and K.
type shapeOf struct {
	ok         bool
	low, high  float64 // 1 % and 99 %
	start      float64
	noise      float64
	onMean     float64 // while water flows
	onSpan     float64 // 5 to 95 % while water flows
	before     float64 // just before the flow begins
	edge       float64 // change in the first rows of flow
	likeHotOff float64 // place between coldest (0) and hottest (1) just before the flow begins
	likeHotOn  float64 // the same while water flows
}

// decide gives every column its guess.
func (l *looking) decide() {
	n := len(l.at)
	said := make([]map[meaning]bool, n)
	for i := range n {
		said[i] = says(l.words[i])
	}
	l.settle(said)
	temps := l.temperatures(said)
	l.orient(said, temps)
	l.findFlow(said)
	shapes := l.shapes(temps)
	out := make([]ColumnGuess, n)
	for i, c := range l.at {
		out[i] = ColumnGuess{Number: c + 1, Heading: l.sample.headings[c]}
		out[i].Quantity = l.kind[i]
		if l.units[i].electric || l.units[i].time {
			out[i].Quantity = l.units[i].quantity
		}
		switch {
		case l.units[i].electric:
			out[i].Unit = l.units[i].text
		case l.units[i].text != "":
		case l.kind[i] == history.Temperature:
			out[i].Unit = "degC"
		default:
			out[i].Unit = "1"
		}
	}
	l.waters(out, said, temps, shapes)
	l.bodies(out, said, temps, shapes, l.outletByShape(temps, shapes) >= 0)
	l.others(out, said)
	l.doubtUnits(out)
	l.doubtCircuit(out, said, temps)
	l.cross(out)
	l.names(out)
	l.guess.Columns = out
}

// settle gives columns without a unit a quantity by their words, else by their values.
func (l *looking) settle(said []map[meaning]bool) {
	for i := range l.at {
		if l.units[i].text != "" {
			continue
		}
		m := said[i]
		q := quantiles(l.values(i), 0.01, 0.99)
		switch {
		case m[meansLogger], m[meansHumidity], m[meansWind], m[meansPressure]:
		case m[meansFlow], m[meansIrradiance], m[meansDirect], m[meansGlobal], m[meansDiffuse], m[meansPlane], m[meansLamp], m[meansHeater], m[meansPower]:
		case m[meansTemperature], m[meansInlet], m[meansOutlet], m[meansAmbient], m[meansBody], m[meansSupply], m[meansReturn]:
			l.kind[i] = history.Temperature
		case q[0] > -40 && q[1] < 1300 && q[1]-q[0] > 1 && q[1] > 5 && distinct(l.values(i)) > 20 && neverBelowStart(l.values(i)):
			l.kind[i] = history.Temperature
		}
	}
}

func distinct(v []float64) int {
	seen := map[float64]bool{}
	for _, x := range v {
		if x == x {
			seen[x] = true
			if len(seen) > 50 {
				break
			}
		}
	}
	return len(seen)
}

// neverBelowStart tells whether a column has a floor above zero, as temperatures of a room have and flows have not.
func neverBelowStart(v []float64) bool {
	q := quantiles(v, 0.01, 0.3)
	return q[0] > 3 && q[1] > 3
}

// temperatures returns the temperature columns in degC, nil for others.
func (l *looking) temperatures(said []map[meaning]bool) [][]float64 {
	out := make([][]float64, len(l.at))
	for i := range l.at {
		if l.kind[i] != history.Temperature {
			continue
		}
		v := l.values(i)
		t := make([]float64, len(v))
		for k, x := range v {
			t[k] = x
			if l.units[i].text != "" {
				t[k] = x - zeroDegC
			}
		}
		out[i] = t
	}
	l.hot = make([]float64, len(l.rec.History.Time))
	for k := range l.hot {
		l.hot[k] = math.NaN()
		for i, t := range out {
			if t != nil && !said[i][meansLamp] && !said[i][meansHeater] && t[k] == t[k] && !(t[k] <= l.hot[k]) {
				l.hot[k] = t[k]
			}
		}
	}
	return out
}

// findFlow chooses the column of the water's flow and the rows in which it runs.
func (l *looking) findFlow(said []map[meaning]bool) {
	l.flow = -1
	for pass := range 2 {
		for i := range l.at {
			byUnit := l.kind[i] == history.MassFlow
			byWord := l.units[i].text == "" && said[i][meansFlow]
			if l.flow >= 0 || pass == 0 && !byUnit || pass == 1 && !byWord {
				continue
			}
			if on, ok := switched(l.values(i)); ok {
				l.flow, l.on = i, on
			}
		}
	}
}

// switched tells whether a column is off for a time and on for a time, and when it is on.
func switched(v []float64) ([]bool, bool) {
	q := quantiles(v, 0, 0.98)
	most := q[1]
	if !(most > 0) || q[0] < -0.1*most {
		return nil, false
	}
	on := make([]bool, len(v))
	n, off := 0, 0
	for k, x := range v {
		switch {
		case x > 0.3*most:
			on[k] = true
			n++
		case x < 0.05*most:
			off++
		}
	}
	return on, n >= 8 && off >= 8 && 20*n > len(v) && 20*off > len(v) && 10*(n+off) > 9*len(v)
}

// edges returns the first rows in which water flows after at least eight without, with eight more to come.
func (l *looking) edges() []int {
	var out []int
	run := 0
	for k := range l.on {
		if !l.on[k] {
			run++
			continue
		}
		if run >= 8 && k+12 < len(l.on) && l.on[k+6] && l.on[k+11] {
			out = append(out, k)
		}
		run = 0
	}
	return out
}

func (l *looking) shapes(temps [][]float64) []shapeOf {
	out := make([]shapeOf, len(temps))
	var edges []int
	if l.flow >= 0 {
		edges = l.edges()
	}
	cold := make([]float64, len(l.hot))
	for k := range cold {
		cold[k] = math.NaN()
		for _, t := range temps {
			if t != nil && t[k] == t[k] && !(t[k] >= cold[k]) {
				cold[k] = t[k]
			}
		}
	}
	for i, t := range temps {
		if t == nil {
			continue
		}
		s := &out[i]
		q := quantiles(t, 0.01, 0.99)
		s.ok, s.low, s.high, s.noise = q[0] == q[0], q[0], q[1], noise(t, history.Temperature, 0)
		s.start = typical(t[:min(len(t), 5)])
		if l.flow < 0 {
			continue
		}
		var on, place []float64
		for k := range t {
			if l.on[k] && t[k] == t[k] {
				on = append(on, t[k])
				if l.hot[k]-cold[k] > 10 {
					place = append(place, (t[k]-cold[k])/(l.hot[k]-cold[k]))
				}
			}
		}
		s.onMean, s.likeHotOn = mean(on), typical(place)
		w := quantiles(on, 0.05, 0.95)
		s.onSpan = w[1] - w[0]
		var before, change, off []float64
		for _, e := range edges {
			a, b := typical(t[e-6:e]), typical(t[e+3:e+12])
			before, change = append(before, a), append(change, b-a)
			if h, c := typical(l.hot[e-6:e]), typical(cold[e-6:e]); h-c > 30 {
				off = append(off, (a-c)/(h-c))
			}
		}
		s.before, s.edge, s.likeHotOff = typical(before), typical(change), typical(off)
	}
	return out
}

func mean(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x
	}
	return sum / float64(len(v))
}

// set writes a guess.
func (g *ColumnGuess) set(place string, role Role, sure Sureness, why string) {
	g.Place, g.Role, g.Sure, g.Why = place, role, sure, why
	switch role {
	case Inlet, Outlet, Flow, PressureAt, PressureDrop:
		g.Of = "main"
	}
}

// bodies takes the temperatures that are left as the receiver's.
//
// Sure is only what is hot before and while water flows, in a file whose outlet is known by its course, or what is
// hottest of all: water that stands in a hot tube is almost as hot as the block.
func (l *looking) bodies(out []ColumnGuess, said []map[meaning]bool, temps [][]float64, shapes []shapeOf, outletKnown bool) {
	peak := highest(l.hot)
	for i := range temps {
		if temps[i] == nil || out[i].Place != "" || said[i][meansLogger] && !said[i][meansBody] {
			continue
		}
		s := &shapes[i]
		hotOne := s.ok && s.high > 60 && s.high-s.start > 40 && s.high-s.start > 0.5*(peak-s.start)
		follows := (outletKnown && s.likeHotOff > 0.6 && s.likeHotOn > 0.6 || s.likeHotOff > 0.9 && s.likeHotOn > 0.985) && s.edge < 2+5*s.noise
		name := l.placeOf(i)
		wrongWord := said[i][meansInlet] || said[i][meansOutlet] || said[i][meansAmbient]
		switch {
		case hotOne && follows && !wrongWord:
			out[i].set(name, Body, Sure, "as hot as the block gets, and hot before the water flows")
			if said[i][meansBody] {
				out[i].Why = "the heading says so; " + out[i].Why
			}
		case hotOne && wrongWord:
			out[i].set(name, Body, Doubtful, "it is as hot as the block gets, but its heading says something else")
		case hotOne:
			out[i].set(name, Body, Likely, "as hot as the block gets")
		case said[i][meansBody]:
			out[i].set(name, Body, Likely, "the heading speaks of a part of the receiver")
		case wrongWord:
			out[i].set(name, Body, Doubtful, "its heading and its course do not agree")
		default:
			out[i].set(name, Body, Doubtful, "a temperature that is left over")
		}
		if l.units[i].text == "" && out[i].Sure == Sure {
			out[i].Sure = Likely
		}
	}
}
