package trial

import (
	"fmt"
	"strings"

	"emberbank/history"
	"emberbank/unit"
)

// placeOf makes a place's name of a heading.
func (l *looking) placeOf(i int) string {
	name := strings.Map(func(c rune) rune {
		switch c {
		case '[', ']', '"', ',', '\n', ':', '#', '{', '}', '\'':
			return ' '
		}
		return c
	}, l.named[i])
	name = strings.Join(strings.Fields(name), " ")
	if name == "" {
		return fmt.Sprint("column ", l.at[i]+1)
	}
	return name
}

// others takes what is no temperature.
func (l *looking) others(out []ColumnGuess, said []map[meaning]bool) {
	for i := range l.at {
		g, m, v := &out[i], said[i], l.values(i)
		if l.kind[i] == history.Temperature && m[meansLogger] && !m[meansBody] && g.Place == "" {
			g.Why = "the logger's own temperature"
			continue
		}
		if g.Place != "" {
			continue
		}
		q := quantiles(v, 0.01, 0.5, 0.99)
		hasUnit := l.units[i].text != ""
		switch {
		case l.units[i].electric || l.units[i].time || m[meansLogger]:
			if g.Why == "" {
				g.Why = "the logger's own, or a raw signal"
			}
			if l.units[i].electric && !m[meansLogger] {
				g.Template, g.Hint = l.rawTemplate(i)
			}
		case l.gauge(i) != "":
			bare := l.gauge(i)
			g.Why = "a gauge's pressure, which counts from the air's"
			g.Template = "place: circuit main pressure, unit: " + bare + ", signal: {factor: 1, shift: …}"
			g.Hint = "the shift is the air's pressure at the site, in " + bare
		case l.kind[i] == history.MassFlow || !hasUnit && m[meansFlow]:
			l.judgeFlow(g, i, hasUnit)
		case l.kind[i] == history.Irradiance || !hasUnit && (m[meansIrradiance] || m[meansDirect] || m[meansGlobal] || m[meansDiffuse] || m[meansPlane]):
			l.judgeIrradiance(g, m, q, hasUnit)
		case l.kind[i] == history.HeatFlow || !hasUnit && (m[meansLamp] || m[meansHeater] || m[meansPower]):
			l.judgePower(g, i, m, v, hasUnit)
		case l.kind[i] == history.Pressure || !hasUnit && m[meansPressure]:
			g.set("circuit main pressure", PressureAt, Doubtful, "a pressure; of what is not known")
			if air := q[1]; hasUnit && air > 6e4 && air < 1.1e5 && q[2]-q[0] < 3000 {
				g.set("air pressure", Other, Likely, "an even pressure of the air's size")
			} else if hasUnit && said[i][meansPressure] {
				g.Sure = Likely
			}
			if !hasUnit {
				g.Unit = "bar"
			}
		case l.kind[i] == history.Speed || !hasUnit && m[meansWind]:
			g.set("wind", Wind, Likely, "a speed")
			if !hasUnit {
				g.Unit = "m/s"
			}
		default:
			g.Why = "not known what it is"
		}
	}
}

// gauge returns the unit of a column that its heading calls a gauge's, without that word; "" where it does not.
func (l *looking) gauge(i int) string {
	bare, _ := unit.Gauge(l.sample.units[l.at[i]])
	return bare
}

// rawTemplate is what a line of the description says of a raw signal, once a person knows what it measures.
func (l *looking) rawTemplate(i int) (template, hint string) {
	u := l.units[i].text
	switch {
	case u == "mV" || u == "uV" || u == "µV":
		return "place: …, signal: {couple: K, junction: …}", "if it is a thermocouple's; junction is the place of the cold junction"
	case u == "mA":
		return "place: …, unit: …, signal: {unit: mA, points: [[4, …], [20, …]]}", "what 4 and 20 mA stand for"
	}
	return "place: …, unit: …, signal: {unit: " + u + ", points: [[0, …], [10, …]]}", "what two readings stand for"
}

func (l *looking) judgeFlow(g *ColumnGuess, i int, hasUnit bool) {
	g.set("circuit main flow", Flow, Likely, "its unit is one of flow")
	if !hasUnit {
		g.Unit = "l/min"
		g.Sure, g.Why = Doubtful, "the heading says so; the unit is a guess"
		return
	}
	if i != l.flow {
		if l.flow >= 0 {
			g.set(l.placeOf(i), Other, Doubtful, "a second flow")
		}
		return
	}
	if l.bearsOut() {
		g.Sure, g.Why = Sure, "its unit is one of flow, it starts and stops, and the block cools while it runs"
	}
}

// bearsOut tells whether the hottest temperature falls faster while the water runs than just before.
func (l *looking) bearsOut() bool {
	edges := l.edges()
	good := 0
	for _, e := range edges {
		n := 12
		for e+2*n < len(l.on) && l.on[e+2*n-1] && n < 60 {
			n *= 2
		}
		if e < n || e+n >= len(l.hot) {
			n = min(e-1, len(l.hot)-e-1)
		}
		if n < 6 {
			continue
		}
		before := l.hot[e-1] - l.hot[e-n]
		after := l.hot[e+n-1] - l.hot[e]
		if after < before-5 && after < -8 {
			good++
		}
	}
	return len(edges) > 0 && good == len(edges)
}

func (l *looking) judgeIrradiance(g *ColumnGuess, m map[meaning]bool, q []float64, hasUnit bool) {
	place, role := "irradiance", Irradiance
	why := "an irradiance; on which plane is not known"
	sure := Likely
	switch {
	case m[meansDirect]:
		place, role, why = "direct normal", Other, "the heading speaks of the direct beam"
	case m[meansDiffuse]:
		place, role, why = "diffuse", Other, "the heading speaks of the diffuse part"
	case m[meansGlobal]:
		place, role, why = "global horizontal", Other, "the heading speaks of the horizontal plane"
	case m[meansPlane]:
		why = "the heading speaks of the plane of the window or collector"
	}
	if !(q[0] > -50 && q[2] < 1600) {
		sure, why = Doubtful, why+fmt.Sprintf("; %.3g W/m2 is much for the sun", q[2])
	}
	if !hasUnit {
		sure = Doubtful
		g.Unit = "W/m2"
	}
	g.set(place, role, sure, why)
}

func (l *looking) judgePower(g *ColumnGuess, i int, m map[meaning]bool, v []float64, hasUnit bool) {
	place, role := "lamp power", LampPower
	sure, why := Doubtful, "a power; of what is not known"
	switch {
	case m[meansLamp]:
		sure, why = Likely, "the heading says so"
	case m[meansHeater]:
		place, role, sure, why = "heater "+l.heaterName(i)+" power", HeaterPower, Likely, "the heading says so"
	}
	if on, ok := switched(v); ok && sure == Likely && hasUnit && l.heatsWhile(on) {
		sure, why = Sure, "heading and unit say so, and the block heats up while it is on, and only then"
	}
	if !hasUnit {
		g.Unit, sure = "W", Doubtful
	}
	g.set(place, role, sure, why)
	if role == HeaterPower {
		g.Of = l.heaterName(i)
	}
}

func (l *looking) heaterName(i int) string {
	for _, w := range l.words[i] {
		if w != "" && w[0] >= '0' && w[0] <= '9' {
			return w
		}
	}
	return "1"
}

// heatsWhile tells whether the hottest temperature climbs while a source is on, and not while it is off.
func (l *looking) heatsWhile(on []bool) bool {
	up, down := 0.0, 0.0
	n := 10
	for k := 0; k+n < len(on); k += n {
		a, b := l.hot[k], l.hot[k+n]
		if a != a || b != b || on[k] != on[k+n] {
			continue
		}
		if on[k] {
			up += b - a
		} else {
			down += b - a
		}
	}
	return up > 30 && down < 0
}

// doubtUnits takes back sureness where the unit itself is a guess.
func (l *looking) doubtUnits(out []ColumnGuess) {
	for i := range out {
		if out[i].Unit != "" && out[i].Sure == Sure {
			out[i].Sure = Likely
		}
		if l.assumed[i] {
			out[i].Unit = l.units[i].text
			out[i].Sure = min(out[i].Sure, Likely)
			out[i].Why += fmt.Sprintf("; %s is a guess by the heading's last letter", out[i].Unit)
			continue
		}
		if out[i].Unit == "degC" {
			out[i].Why += "; degC is a guess"
			s := quantiles(l.values(i), 0.01, 0.5)
			switch {
			case s[0] > 230:
				out[i].Unit, out[i].Why = "K", strings.TrimSuffix(out[i].Why, "; degC is a guess")+"; K is a guess by its size"
			case out[i].Role == Ambient && s[1] > 50 && s[1] < 115:
				out[i].Unit, out[i].Why = "degF", strings.TrimSuffix(out[i].Why, "; degC is a guess")+"; degF is a guess by its size"
			}
		}
	}
}

// doubtCircuit takes back what is called sure of the one circuit where it may be two.
func (l *looking) doubtCircuit(out []ColumnGuess, said []map[meaning]bool, temps [][]float64) {
	why := l.unsettled(said, temps)
	if why == "" {
		return
	}
	for i := range out {
		switch out[i].Role {
		case Inlet, Outlet, Flow:
			if out[i].Sure == Sure {
				out[i].Sure = Likely
				out[i].Why += "; but " + why
			}
		}
	}
}

// cross lets physics look at the whole mapping and takes back sureness where it objects.
func (l *looking) cross(out []ColumnGuess) {
	r := &Record{History: history.History{Time: l.rec.History.Time}, Interval: l.rec.Interval}
	var back []int
	for i := range out {
		if out[i].Place == "" || l.kind[i] == history.Fraction {
			continue
		}
		v := l.values(i)
		if l.kind[i] == history.Temperature && l.units[i].text == "" {
			w := make([]float64, len(v))
			for k := range v {
				w[k] = v[k] + zeroDegC
			}
			v = w
		}
		if l.units[i].volume {
			w := make([]float64, len(v))
			for k := range v {
				w[k] = v[k] * 1000
			}
			v = w
		}
		c := Column{Name: out[i].Place, Quantity: l.kind[i], Role: out[i].Role, Of: out[i].Of, Unit: l.units[i].text, channel: len(r.Columns)}
		if conv, err := unitBetween(l.units[i]); err == nil && l.units[i].text != "" && !l.units[i].electric && !l.units[i].time {
			c.factor, c.offset = conv.Factor/conv.Divisor, conv.Offset
		}
		r.Columns = append(r.Columns, c)
		r.History.Columns = append(r.History.Columns, history.Column{Name: c.Name, Quantity: c.Quantity, Values: v})
		back = append(back, i)
	}
	for _, f := range Suspect(r, Known{}) {
		if f.Channel >= 0 && f.Channel < len(back) {
			g := &out[back[f.Channel]]
			g.Sure = Doubtful
			g.Why += "; but " + f.Message + ": " + f.Fix
		}
	}
}

// names makes places differ.
func (l *looking) names(out []ColumnGuess) {
	seen := map[string]bool{}
	for i := range out {
		g := &out[i]
		if g.Place == "" {
			continue
		}
		base := g.Place
		for n := 2; seen[g.Place]; n++ {
			switch g.Role {
			case Inlet, Outlet, Flow, PressureAt:
				g.Of = fmt.Sprint("main ", n)
				g.Place = strings.Replace(base, "circuit main", "circuit "+g.Of, 1)
			default:
				g.Place = fmt.Sprintf("%s %d", base, n)
				if g.Role == LampPower || g.Role == Ambient || g.Role == Irradiance {
					g.Role = Other
				}
			}
			g.Sure = min(g.Sure, Likely)
		}
		seen[g.Place] = true
	}
}
