package trial

import (
	"fmt"
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
	l.findFlow(said)
	shapes := l.shapes(temps)
	out := make([]ColumnGuess, n)
	for i, c := range l.at {
		out[i] = ColumnGuess{Number: c + 1, Heading: l.sample.headings[c]}
		if l.units[i].text == "" && l.kind[i] == history.Temperature {
			out[i].Unit = "degC"
		}
	}
	l.waters(out, said, temps, shapes)
	l.bodies(out, said, temps, shapes, l.outletByShape(temps, shapes) >= 0)
	l.others(out, said)
	l.doubtUnits(out)
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
		case m[meansTemperature], m[meansInlet], m[meansOutlet], m[meansAmbient], m[meansBody]:
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
		s.ok, s.low, s.high, s.noise = q[0] == q[0], q[0], q[1], noise(t)
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

// waters finds inlet, outlet and ambient among the temperatures, and the flow.
func (l *looking) waters(out []ColumnGuess, said []map[meaning]bool, temps [][]float64, shapes []shapeOf) {
	only := func(m meaning) int { // the one temperature whose heading says so
		at := -1
		for i := range temps {
			if temps[i] == nil || !said[i][m] || said[i][meansBody] || m != meansAmbient && said[i][meansAmbient] || said[i][meansLogger] {
				continue
			}
			if m == meansInlet && said[i][meansOutlet] || m == meansOutlet && said[i][meansInlet] {
				continue
			}
			if at >= 0 {
				return -1
			}
			at = i
		}
		return at
	}
	in, outlet, amb := only(meansInlet), only(meansOutlet), only(meansAmbient)
	byShape := l.outletByShape(temps, shapes)
	coldest := l.inletByShape(temps, shapes, byShape)
	if l.flow >= 0 {
		l.judgeWaters(out, shapes, in, outlet, amb, byShape, coldest)
	} else {
		for _, c := range []struct {
			i     int
			place string
			role  Role
		}{{in, "circuit main inlet", Inlet}, {outlet, "circuit main outlet", Outlet}} {
			if c.i >= 0 {
				out[c.i].set(c.place, c.role, Likely, "the heading says so; without a flow that starts and stops nothing bears it out")
			}
		}
	}
	l.judgeAmbient(out, shapes, temps, amb, coldest)
}

// outletByShape finds the one temperature that jumps up when water begins to flow: only water that leaves a hot block
// does so.
func (l *looking) outletByShape(temps [][]float64, shapes []shapeOf) int {
	best, second, at := 0.0, 0.0, -1
	for i := range temps {
		s := &shapes[i]
		if temps[i] == nil || !s.ok || l.flow < 0 || !(s.edge > math.Max(3, 20*s.noise)) || !(s.likeHotOff < 0.6) {
			continue
		}
		if s.edge > best {
			best, second, at = s.edge, best, i
		} else {
			second = math.Max(second, s.edge)
		}
	}
	if at >= 0 && best > 2*second {
		return at
	}
	return -1
}

// inletByShape finds the one temperature that stays cold and nearly even while water flows, having moved when it began.
func (l *looking) inletByShape(temps [][]float64, shapes []shapeOf, outlet int) int {
	if outlet < 0 {
		return -1
	}
	best, second, at := 0.0, 0.0, -1
	for i := range temps {
		s := &shapes[i]
		if temps[i] == nil || !s.ok || i == outlet || s.onSpan > 0.3*shapes[outlet].onSpan+1 || s.onMean > shapes[outlet].onMean-1 || s.likeHotOn > 0.3 || s.likeHotOff > 0.3 {
			continue
		}
		r := math.Abs(s.edge) / math.Max(s.noise, 0.02)
		if r > best {
			best, second, at = r, best, i
		} else {
			second = math.Max(second, r)
		}
	}
	if at >= 0 && best > 8 && best > 3*second {
		return at
	}
	return -1
}

func (l *looking) judgeWaters(out []ColumnGuess, shapes []shapeOf, in, outlet, amb, byShape, coldest int) {
	const inletPlace, outletPlace = "circuit main inlet", "circuit main outlet"
	switch {
	case outlet >= 0 && outlet == byShape:
		out[outlet].set(outletPlace, Outlet, Sure, "the heading says so, and it jumps up when the water begins to flow")
	case byShape >= 0 && outlet >= 0:
		out[byShape].set(outletPlace, Outlet, Doubtful, fmt.Sprintf("it jumps up when the water begins to flow, but the heading of column %d says outlet", out[outlet].Number))
	case byShape >= 0:
		out[byShape].set(outletPlace, Outlet, Likely, "it jumps up when the water begins to flow")
	case outlet >= 0:
		out[outlet].set(outletPlace, Outlet, Likely, "the heading says so; its course does not bear it out")
		if in >= 0 && shapes[outlet].onMean < shapes[in].onMean {
			out[outlet].Sure = Doubtful
			out[outlet].Why = "the heading says so, but while water flows it is colder than what is headed as the inlet"
		}
	}
	switch {
	case in >= 0 && in == coldest && in != amb:
		out[in].set(inletPlace, Inlet, Sure, "the heading says so, and it is cold and even while water flows, from the moment it begins")
	case in >= 0 && in == byShape: // the two are exchanged: the outlet's heading then names what is cold
		if outlet >= 0 && outlet != byShape {
			out[outlet].set(inletPlace, Inlet, Doubtful, "its heading says outlet, but the column headed as inlet is the one that warms up: the two seem exchanged")
		}
		out[in].Why = "its heading says inlet, but it jumps up when the water begins to flow: the two seem exchanged"
	case in >= 0 && coldest >= 0 && in != coldest:
		out[coldest].set(inletPlace, Inlet, Doubtful, fmt.Sprintf("it is cold and moves when the water begins to flow, but the heading of column %d says inlet", out[in].Number))
	case in >= 0 && out[in].Place == "":
		out[in].set(inletPlace, Inlet, Likely, "the heading says so; its course does not contradict")
		if outlet >= 0 && shapes[outlet].onMean < shapes[in].onMean {
			out[in].Sure = Doubtful
			out[in].Why = "the heading says so, but while water flows it is warmer than what is headed as the outlet"
		}
	case coldest >= 0 && out[coldest].Place == "":
		out[coldest].set(inletPlace, Inlet, Likely, "it is cold and even while water flows, and moves when it begins")
		if coldest == amb {
			out[coldest].Sure = Doubtful
			out[coldest].Why += ", but its heading speaks of the ambient"
		}
	}
}

// judgeAmbient finds the air's temperature.
func (l *looking) judgeAmbient(out []ColumnGuess, shapes []shapeOf, temps [][]float64, amb, coldest int) {
	even := func(i int) bool {
		s := &shapes[i]
		return s.ok && s.low > -40 && s.high < 50 && s.high-s.low < 15
	}
	// indifferent: what happens to block and water leaves it alone.
	indifferent := func(i int) bool {
		s := &shapes[i]
		return l.flow >= 0 && math.Abs(s.edge) < math.Max(8*s.noise, 0.4) && s.high-s.low < 6
	}
	if amb >= 0 && out[amb].Place == "" {
		switch {
		case !even(amb):
			out[amb].set("ambient", Ambient, Doubtful, fmt.Sprintf("the heading says so, but it runs from %.3g to %.3g degC", shapes[amb].low, shapes[amb].high))
		case indifferent(amb) && coldest >= 0: // what is no inlet is known
			out[amb].set("ambient", Ambient, Sure, "the heading says so, and neither the block nor the water moves it")
		default:
			out[amb].set("ambient", Ambient, Likely, "the heading says so, and it stays within what air is")
		}
		return
	}
	at := -1
	for i := range temps {
		if temps[i] == nil || out[i].Place != "" || !even(i) || !indifferent(i) {
			continue
		}
		if at >= 0 {
			return
		}
		at = i
	}
	if at >= 0 && amb < 0 {
		out[at].set("ambient", Ambient, Doubtful, "it stays even whatever happens")
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
