package trial

import (
	"fmt"
	"math"
)

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
	switch {
	case l.severalCircuits(out, said, temps):
		coldest = -1
	case l.flow >= 0:
		l.judgeWaters(out, shapes, in, outlet, amb, byShape, coldest)
	default:
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
