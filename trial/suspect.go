package trial

import (
	"fmt"
	"math"
	"slices"
)

// Known is what is known of the receiver beside the record.
type Known struct {
	Stored func(T float64) float64 // J, heat content of the storage at a temperature in K; nil where it is not known
}

// Suspect looks for mappings that physics speaks against: inlet and outlet exchanged, a temperature on another scale,
// a flow in another unit, a block that is hotter than what heats it. It needs no more than the record; with the
// storage's heat content it also closes the balance. The thresholds are wide: what is told is far from what can be.
func Suspect(r *Record, k Known) []Finding {
	s := &suspicion{r: r, known: k, told: map[int]bool{}}
	s.body = r.Find(Body)
	s.scales()
	s.swapped()
	s.outletTooHot()
	if !s.clocks() { // clocks apart explain what these look for
		s.sourceless()
		s.belowLeast()
		s.closure()
	}
	s.colder()
	s.belowAir()
	return s.found
}

type suspicion struct {
	r     *Record
	known Known
	body  []int
	told  map[int]bool // columns that were spoken of: one cause, one message
	found []Finding
}

func (s *suspicion) v(i int) []float64 { return s.r.History.Columns[i].Values }

func (s *suspicion) tell(i int, message, fix string) {
	c := &s.r.Columns[i]
	s.told[i] = true
	s.found = append(s.found, Finding{Source: c.source, Channel: c.channel, Key: "channel", Message: message, Fix: fix})
}

// hottest returns the hottest of the receiver's temperatures by row, NaN where none is known.
func (s *suspicion) hottest() []float64 {
	out := make([]float64, len(s.r.History.Time))
	for k := range out {
		out[k] = math.NaN()
		for _, i := range s.body {
			if x := s.v(i)[k]; x == x && !(x <= out[k]) && !s.told[i] {
				out[k] = x
			}
		}
	}
	return out
}

// flowing returns the rows in which a circuit flows at more than a tenth of its greatest flow.
func (s *suspicion) flowing(of string) (rows []bool, column int) {
	for _, i := range s.r.Find(Flow) {
		if s.r.Columns[i].Of != of {
			continue
		}
		v := s.v(i)
		most := 0.0
		for _, x := range v {
			if x == x {
				most = math.Max(most, x)
			}
		}
		rows = make([]bool, len(v))
		for k, x := range v {
			rows[k] = x > 0.1*most && most > 0
		}
		return rows, i
	}
	return nil, -1
}

func (s *suspicion) of(role Role, circuit string) int {
	for _, i := range s.r.Find(role) {
		if s.r.Columns[i].Of == circuit {
			return i
		}
	}
	return -1
}

// swapped looks for water that cools while the block is hotter.
func (s *suspicion) swapped() {
	hot := s.hottest()
	for _, out := range s.r.Find(Outlet) {
		of := s.r.Columns[out].Of
		in := s.of(Inlet, of)
		rows, _ := s.flowing(of)
		if in < 0 || rows == nil || s.told[in] || s.told[out] {
			continue
		}
		n, colder, sum := 0, 0, 0.0
		for k := range rows {
			a, b := s.v(in)[k], s.v(out)[k]
			if !rows[k] || a != a || b != b || !(hot[k] > math.Max(a, b)+10) {
				continue
			}
			n++
			sum += b - a
			if b < a {
				colder++
			}
		}
		if n >= 10 && 10*colder > 7*n && sum/float64(n) < -0.5 {
			s.tell(out, fmt.Sprintf("the water cools by %.3g K while it flows through a block that is hotter: %s and %s may be exchanged",
				-sum/float64(n), s.r.Columns[in].Name, s.r.Columns[out].Name), "exchange the places of the two columns")
		}
	}
}

// celsius shows a temperature.
func celsius(T float64) string { return fmt.Sprintf("%.4g degC", T-zeroDegC) }

// onScale returns the temperature in K that the file's number stands for on another scale.
func (c *Column) onScale(T float64, scale string) float64 {
	if c.factor == 0 {
		return math.NaN()
	}
	raw := T/c.factor - c.offset
	switch scale {
	case "degC":
		return raw + zeroDegC
	case "degF":
		return (raw-32)/1.8 + zeroDegC
	}
	return raw
}

// scale names the scale that a column was read on.
func (c *Column) scale() string {
	switch {
	case c.factor == 0:
		return ""
	case math.Abs(c.offset-273.15) < 1e-6:
		return "degC"
	case math.Abs(c.offset-459.67) < 1e-6 && c.factor < 0.9:
		return "degF"
	case c.offset == 0 && c.factor == 1:
		return "K"
	}
	return ""
}

var scales = []string{"degC", "degF", "K"}

// warmest is above every temperature of outdoor air that counts as usual, coldest below.
const (
	warmest = 50 + zeroDegC
	coldest = -40 + zeroDegC
)

// scales looks for temperatures that make sense on another scale only: air hotter than weather, or a sensor that, at a
// start from rest, differs from all others just as another scale would make it.
func (s *suspicion) scales() {
	for _, i := range s.r.Find(Ambient) {
		c := &s.r.Columns[i]
		T := typical(s.v(i))
		if T != T || T > coldest && T < warmest {
			continue
		}
		fix := "is it the right column? Air is not of that temperature"
		for _, sc := range scales {
			if x := c.onScale(T, sc); sc != c.scale() && x > -25+zeroDegC && x < 45+zeroDegC {
				fix = fmt.Sprintf("is its unit %s? That would be %s; then give \"unit: %s\"", sc, celsius(x), sc)
			}
		}
		s.tell(i, fmt.Sprintf("%s is %s, which no air is: it may be read on the wrong scale, %s, or from the wrong column", c.Name, celsius(T), c.scale()), fix)
	}
	s.start()
	s.waterScale()
	s.freezing()
	s.vapour()
}

// start compares the temperatures in the first rows.
func (s *suspicion) start() {
	var temps []int
	for i := range s.r.Columns {
		switch s.r.Columns[i].Role {
		case Body, Inlet, Outlet, Ambient:
			temps = append(temps, i)
		}
	}
	first := map[int]float64{}
	n := max(3, min(10, len(s.r.History.Time)/50))
	var all []float64
	for _, i := range temps {
		v := s.v(i)
		if x := typical(v[:min(n, len(v))]); x == x {
			first[i] = x
			if !s.told[i] {
				all = append(all, x)
			}
		}
	}
	s.bodyScale()
	if len(all) < 4 {
		return
	}
	mid := median(slices.Clone(all))
	close := 0
	for _, x := range all {
		if math.Abs(x-mid) < 4 {
			close++
		}
	}
	if 3*close < 2*len(all) || close < 3 {
		return // it did not start from rest
	}
	for _, i := range temps {
		x, ok := first[i]
		if !ok || s.told[i] || math.Abs(x-mid) < 9 {
			continue
		}
		c := &s.r.Columns[i]
		for _, sc := range scales {
			if y := c.onScale(x, sc); sc != c.scale() && math.Abs(y-mid) < 3 {
				s.tell(i, fmt.Sprintf("%s begins at %s where the others are at %s: it may be read on the wrong scale, %s", c.Name, celsius(x), celsius(mid), c.scale()),
					fmt.Sprintf("is its unit %s? That would be %s; then give \"unit: %s\"", sc, celsius(y), sc))
			}
		}
	}
}

// freezing looks for water that flows below its freezing point.
func (s *suspicion) freezing() {
	for _, role := range []Role{Inlet, Outlet} {
		for _, i := range s.r.Find(role) {
			c := &s.r.Columns[i]
			rows, _ := s.flowing(c.Of)
			if rows == nil || s.told[i] {
				continue
			}
			var v []float64
			for k, on := range rows {
				if x := s.v(i)[k]; on && x == x {
					v = append(v, x)
				}
			}
			T := typical(v)
			if !(T < -3+zeroDegC) {
				continue
			}
			fix := "is it the right column, and the right unit?"
			for _, sc := range scales {
				if x := c.onScale(T, sc); sc != c.scale() && x > zeroDegC && x < 100+zeroDegC {
					fix = fmt.Sprintf("is its unit %s? That would be %s; then give \"unit: %s\"", sc, celsius(x), sc)
				}
			}
			s.tell(i, fmt.Sprintf("%s is %s while water flows, which would be ice: it may be read on the wrong scale, %s", c.Name, celsius(T), c.scale()), fix)
		}
	}
}

func typical(v []float64) float64 {
	var w []float64
	for _, x := range v {
		if x == x {
			w = append(w, x)
		}
	}
	return median(w)
}

// outletTooHot looks for water that leaves hotter than the hottest that the block shows.
func (s *suspicion) outletTooHot() {
	hot := s.hottest()
	for _, out := range s.r.Find(Outlet) {
		c := &s.r.Columns[out]
		rows, _ := s.flowing(c.Of)
		if rows == nil || s.told[out] {
			continue
		}
		var over, here []float64
		for k, on := range rows {
			x := s.v(out)[k]
			if !on || x != x || hot[k] != hot[k] {
				continue
			}
			over = append(over, x-hot[k])
			here = append(here, x)
		}
		if len(over) < 10 {
			continue
		}
		d, T := typical(over), typical(here)
		if d < 5+3*c.Systematic(T) {
			continue
		}
		if in := s.of(Inlet, c.Of); in >= 0 && typical(s.v(in)) > T {
			continue // hot water that heats the block
		}
		fix := "is it the right column, and the right unit?"
		for _, sc := range scales {
			if x := c.onScale(T, sc); sc != c.scale() && x > zeroDegC && x < T-d+5 {
				fix = fmt.Sprintf("is its unit %s? That would be %s; then give \"unit: %s\"", sc, celsius(x), sc)
			}
		}
		s.tell(out, fmt.Sprintf("%s is %.3g K hotter than the hottest temperature of the block while water flows: it may be read on the wrong scale, %s, or from the wrong column", c.Name, d, c.scale()), fix)
	}
}

// bodyScale looks for a receiver of which all sensors begin alike and far from the air around, but at just the air's
// temperature if their numbers are read on another scale.
func (s *suspicion) bodyScale() {
	first := map[int]float64{} // one value each, since it may be heated from the first moment
	for i := range s.r.Columns {
		for _, x := range s.v(i)[:min(3, len(s.v(i)))] {
			if _, ok := first[i]; !ok && x == x {
				first[i] = x
			}
		}
	}
	air := math.NaN()
	for _, i := range s.r.Find(Ambient) {
		if x, ok := first[i]; ok && !s.told[i] {
			air = x
		}
	}
	var body []float64
	for _, i := range s.body {
		if x, ok := first[i]; ok && !s.told[i] {
			body = append(body, x)
		}
	}
	if math.IsNaN(air) || len(body) < 2 || slices.Max(body)-slices.Min(body) > 6 || math.Abs(typical(body)-air) < 15 {
		return
	}
	for _, sc := range scales {
		fits := 0
		for _, i := range s.body {
			c := &s.r.Columns[i]
			if x, ok := first[i]; ok && sc != c.scale() && math.Abs(c.onScale(x, sc)-air) < 4 {
				fits++
			}
		}
		if fits < len(body) {
			continue
		}
		for _, i := range s.body {
			if x, ok := first[i]; ok && !s.told[i] {
				c := &s.r.Columns[i]
				s.tell(i, fmt.Sprintf("%s begins at %s beside air of %s: it may be read on the wrong scale, %s", c.Name, celsius(x), celsius(air), c.scale()),
					fmt.Sprintf("is its unit %s? That would be %s; then give \"unit: %s\"", sc, celsius(c.onScale(x, sc)), sc))
			}
		}
		return
	}
}
