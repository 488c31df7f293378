package trial

import (
	"fmt"
	"slices"
	"strings"

	"emberbank/history"
)

// orient gives words such as Vorlauf and Rücklauf (supply and return) their meaning by the course: which of the two is
// the receiver's inlet hangs on whose supply it is, but while water flows through a hot block what leaves it is warmer.
func (l *looking) orient(said []map[meaning]bool, temps [][]float64) {
	on := l.flowing(said)
	if on == nil {
		return
	}
	of := func(m meaning) (at []int, warm float64) {
		sum, n := 0.0, 0
		for i, t := range temps {
			if t == nil || !said[i][m] {
				continue
			}
			at = append(at, i)
			for k := range t {
				if on[k] && t[k] == t[k] {
					sum += t[k]
					n++
				}
			}
		}
		return at, sum / float64(n)
	}
	supply, a := of(meansSupply)
	back, b := of(meansReturn)
	const apart = 0.5 // K: less tells nothing
	inlets, outlets := supply, back
	switch {
	case len(supply) == 0 || len(back) == 0 || !(a-b > apart || b-a > apart):
		return
	case a > b:
		inlets, outlets = back, supply
	}
	for _, x := range []struct {
		at []int
		m  meaning
	}{{inlets, meansInlet}, {outlets, meansOutlet}} {
		for _, i := range x.at {
			said[i][x.m], l.turned[i] = true, true
			delete(said[i], meansBody) // "Rücklauf hinten" is no place in the block
		}
	}
}

// flowing returns the rows in which any meter reads a flow, nil where none starts and stops.
func (l *looking) flowing(said []map[meaning]bool) []bool {
	var on []bool
	for i := range l.at {
		if l.kind[i] != history.MassFlow && (l.units[i].text != "" || !said[i][meansFlow]) {
			continue
		}
		own, ok := switched(l.values(i))
		if !ok {
			continue
		}
		if on == nil {
			on = make([]bool, len(own))
		}
		for k := range own {
			on[k] = on[k] || own[k]
		}
	}
	return on
}

// rest is what a heading says beside the meanings that a circuit's columns have: "v" of "OutV_F", "vorn" of
// "Rücklauf vorn".
func (l *looking) rest(i int) string {
	var out []string
	for k, w := range l.words[i] {
		switch meanings()[w] {
		case meansInlet, meansOutlet, meansFlow, meansSupply, meansReturn, meansTemperature:
			continue
		}
		if k > 0 && k == len(l.words[i])-1 && l.assumed[i] { // the unit
			continue
		}
		out = append(out, w)
	}
	return strings.Join(out, " ")
}

// severalCircuits pairs outlets, inlets and flows whose headings name the same circuit, where there are two outlets or
// more. It tells whether it did. Nothing is sure then: a heading alone says which is which.
func (l *looking) severalCircuits(out []ColumnGuess, said []map[meaning]bool, temps [][]float64) bool {
	outlets := map[string]int{}
	var names []string
	for i := range temps {
		if temps[i] == nil || !said[i][meansOutlet] || said[i][meansInlet] || said[i][meansAmbient] || said[i][meansLogger] {
			continue
		}
		name := l.rest(i)
		if _, twice := outlets[name]; twice || name == "" {
			return false
		}
		outlets[name] = i
		names = append(names, name)
	}
	if len(names) < 2 {
		return false
	}
	circuit := func(i int) string {
		r := l.rest(i)
		if short, ok := strings.CutPrefix(r, "f"); ok && slices.Contains(names, short) { // FR, the flow of OutR
			return short
		}
		if slices.Contains(names, r) {
			return r
		}
		return ""
	}
	flows := map[string]int{}
	for i := range l.at {
		if l.kind[i] != history.MassFlow && (l.units[i].text != "" || !said[i][meansFlow]) {
			continue
		}
		name := circuit(i)
		if _, twice := flows[name]; twice || name == "" {
			return false
		}
		flows[name] = i
	}
	if len(flows) == 0 {
		return false
	}
	put := func(i int, name, end string, role Role, why string) {
		out[i].set("circuit "+name+" "+end, role, Likely, why)
		out[i].Of = name
		if l.units[i].text == "" {
			out[i].Sure = Doubtful
		}
	}
	word := func(i int) string {
		if l.turned[i] {
			return "of supply and return it is this one by its course, and the heading names the circuit"
		}
		return "the heading says so, and names the circuit"
	}
	var inlets []int
	for i := range temps {
		if temps[i] != nil && said[i][meansInlet] && !said[i][meansOutlet] && !said[i][meansAmbient] && !said[i][meansLogger] {
			inlets = append(inlets, i)
		}
	}
	for _, name := range names {
		why := word(outlets[name])
		if i, ok := flows[name]; ok {
			why += fmt.Sprintf(", as that of the flow in column %d does", out[i].Number)
			put(i, name, "flow", Flow, fmt.Sprintf("its unit is one of flow, and the heading names the circuit, as that of the outlet in column %d does", out[outlets[name]].Number))
			if l.units[i].text == "" {
				out[i].Unit, out[i].Why = "l/min", "the heading says so; the unit is a guess"
			}
		}
		put(outlets[name], name, "outlet", Outlet, why)
		l.judgePair(out, temps, name, outlets[name], flows, inlets)
	}
	for _, i := range inlets {
		if name := circuit(i); name != "" {
			put(i, name, "inlet", Inlet, word(i))
			continue
		}
		if len(inlets) == 1 { // one supply feeds all
			put(i, names[0], "inlet", Inlet, strings.Replace(word(i), ", and names the circuit", "; one inlet is taken to feed all circuits", 1))
			if l.turned[i] {
				out[i].Why = "of supply and return it is this one by its course; it is taken to feed all circuits"
			}
			for _, name := range names[1:] {
				out[i].Also = append(out[i].Also, "circuit "+name+" inlet")
			}
		}
	}
	for i := range l.at {
		if name := circuit(i); name != "" && l.units[i].electric {
			out[i].Why = fmt.Sprintf(`a raw signal, perhaps the flow of circuit %s: give it a place, its unit and "signal"`, name)
		}
	}
	return true
}

// judgePair takes back what an outlet's course speaks against: colder than the one inlet while its own water flows.
func (l *looking) judgePair(out []ColumnGuess, temps [][]float64, name string, outlet int, flows map[string]int, inlets []int) {
	f, ok := flows[name]
	if !ok || len(inlets) != 1 {
		return
	}
	on, ok := switched(l.values(f))
	if !ok {
		return
	}
	sum, n := 0.0, 0
	for k, t := range temps[outlet] {
		if d := t - temps[inlets[0]][k]; on[k] && d == d {
			sum += d
			n++
		}
	}
	if n > 0 && sum/float64(n) < -0.5 {
		out[outlet].Sure = Doubtful
		out[outlet].Why = "the heading says so, but while its water flows it is colder than what is headed as the inlet"
	}
}

// unsettled tells why nothing of the one circuit can be sure: a second outlet, or a raw signal of which nobody knows
// what it measures. It returns "" where nothing speaks against.
func (l *looking) unsettled(said []map[meaning]bool, temps [][]float64) string {
	n := 0
	for i := range temps {
		if temps[i] != nil && said[i][meansOutlet] && !said[i][meansAmbient] && !said[i][meansLogger] {
			n++
		}
	}
	if n > 1 {
		return fmt.Sprintf("%d headings speak of an outlet, so that its circuit is not certain", n)
	}
	for i, c := range l.at {
		if !l.units[i].electric || distinct(l.values(i)) < 2 {
			continue
		}
		known := false
		for m := range said[i] {
			known = known || m != meansFlow
		}
		if !known {
			return fmt.Sprintf("column %d is a raw signal and may be another flow", c+1)
		}
	}
	return ""
}
