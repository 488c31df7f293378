package trial

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// flowUnits are units of flow with kg/s for one of them; a litre of water counts as a kilogram.
var flowUnits = []struct {
	unit string
	kgs  float64
}{
	{"l/min", 1.0 / 60},
	{"l/h", 1.0 / 3600},
	{"l/s", 1},
	{"m3/h", 1000.0 / 3600},
	{"gal/min", 3.785411784 / 60},
	{"kg/s", 1},
	{"kg/h", 1.0 / 3600},
	{"g/s", 1e-3},
	{"kg/min", 1.0 / 60},
	{"ml/min", 1e-3 / 60},
	{"m3/s", 1000},
}

// loop is a circuit of which the heat to its water is known.
type loop struct {
	in, out, flow int
	rows          []bool
	heat          float64 // J
}

// loops returns the circuits, and whether these are all that the record has a flow or an outlet of. It returns none
// where a column of one was spoken of already.
func (s *suspicion) loops() (all []loop, whole bool) {
	for _, out := range s.r.Find(Outlet) {
		of := s.r.Columns[out].Of
		in := s.of(Inlet, of)
		rows, flow := s.flowing(of)
		if in < 0 || rows == nil {
			continue
		}
		if s.told[in] || s.told[out] || s.told[flow] {
			return nil, false
		}
		all = append(all, loop{in: in, out: out, flow: flow, rows: rows})
	}
	return all, len(all) == len(s.r.Find(Outlet)) && len(all) == len(s.r.Find(Flow))
}

// closure compares the heat that went to the water of all circuits with what the block gave up and the sources put in.
func (s *suspicion) closure() {
	all, whole := s.loops()
	t := s.r.History.Time
	total, put := 0.0, 0.0
	first, last := -1, -1
	for k := 1; k < len(t); k++ {
		dt := math.Min(t[k]-t[k-1], 3*s.r.Interval)
		put += dt * s.power(k)
		for i := range all {
			c := &all[i]
			q := s.v(c.flow)[k] * cpWater * (s.v(c.out)[k] - s.v(c.in)[k])
			if !c.rows[k] || q != q {
				continue
			}
			c.heat += dt * q
			total += dt * q
			if first < 0 {
				first = k
			}
			last = k
		}
	}
	if first < 0 || total <= 0 {
		return
	}
	given, words := s.given(t, first, last, put)
	if given != given || given <= 0 {
		return
	}
	ratio := total / given
	low := 0.3
	if s.known.Stored == nil {
		low = 0.015
	}
	if (ratio > low || !whole) && ratio < 1.6 {
		return
	}
	least, most := s.closed()
	at, fits := s.closing(all, total, given, least, most)
	c := &s.r.Columns[all[at].flow]
	fix := `check the units of flow, temperatures and power, and the mass of the block`
	if len(fits) > 0 {
		fix = strings.Join(fits, "; or ") + "? Then the balance would close nearly; give it by \"unit: …\""
	}
	part := ""
	if len(all) > 1 {
		part = fmt.Sprintf(", %.3g of them in circuit %s", all[at].heat/given, c.Of)
	}
	s.tell(all[at].flow, fmt.Sprintf("the water takes %.3g times the heat that %s%s: %s may be read in the wrong unit, %s", ratio, words, part, c.Name, c.Unit), fix)
}

// closed is between which shares of what is given the heat to the water lies where a balance closes nearly.
func (s *suspicion) closed() (least, most float64) {
	if s.known.Stored == nil {
		return 0.1, 1.1 // most of a lamp's power need not reach the block
	}
	return 0.55, 1.25
}

// closing returns what would bring the heat to the water near what was given, as questions, and the circuit that they
// speak of first: another unit of one circuit's flow, of all flows, or another scale of the water's temperatures. Of
// several circuits only the units that close nearest are named.
func (s *suspicion) closing(all []loop, total, given, least, most float64) (at int, fits []string) {
	perUnit := func(i int) float64 { return s.perUnit(all[i].flow) }
	for i := range all {
		if math.Abs(all[i].heat) > math.Abs(all[at].heat) {
			at = i
		}
	}
	type way struct {
		circuit int // -1: all
		unit    string
		off     float64 // |ln| of what would be left
	}
	var ways []way
	for i := range all {
		for _, u := range flowUnits {
			x := (total + all[i].heat*(u.kgs/perUnit(i)-1)) / given
			if perUnit(i) > 0 && x > least && x < most {
				ways = append(ways, way{i, u.unit, math.Abs(math.Log(x))})
			}
		}
	}
	alike := len(all) > 1
	for i := range all {
		alike = alike && perUnit(i) == perUnit(0)
	}
	for _, u := range flowUnits {
		if x := total / given * u.kgs / perUnit(0); alike && x > least && x < most {
			ways = append(ways, way{-1, u.unit, math.Abs(math.Log(x))})
		}
	}
	slices.SortStableFunc(ways, func(a, b way) int { return cmp.Compare(a.off, b.off) })
	named := map[int][]string{}
	var order []int
	for _, w := range ways {
		if len(all) > 1 && w.off > ways[0].off+0.2 {
			break
		}
		if named[w.circuit] == nil {
			order = append(order, w.circuit)
		}
		named[w.circuit] = append(named[w.circuit], w.unit)
	}
	for k, i := range order {
		units := strings.Join(named[i], " or ")
		switch {
		case i < 0:
			fits = append(fits, "is the unit of all flows "+units)
		case len(all) == 1:
			fits = append(fits, "is the flow's unit "+units)
		default:
			fits = append(fits, "is the unit of "+s.r.Columns[all[i].flow].Name+" "+units)
		}
		if k == 0 && i >= 0 {
			at = i
		}
	}
	return at, append(fits, s.otherScale(all, total/given, least, most)...)
}

// otherScale asks for another scale of inlets and outlets where its smaller or larger degrees would close the balance
// and the water would then come in as cold water does.
func (s *suspicion) otherScale(all []loop, ratio, least, most float64) []string {
	size := map[string]float64{"degC": 1, "K": 1, "degF": 1 / 1.8}
	read := s.r.Columns[all[0].in].scale()
	for i := range all {
		if s.r.Columns[all[i].in].scale() != read || s.r.Columns[all[i].out].scale() != read {
			return nil
		}
	}
	for _, sc := range scales {
		if read == "" || size[sc] == size[read] {
			continue
		}
		T := s.r.Columns[all[0].in].onScale(typical(s.v(all[0].in)), sc)
		if x := ratio * size[sc] / size[read]; x > least && x < most && T > zeroDegC && T < 45+zeroDegC {
			return []string{fmt.Sprintf("are inlet and outlet in %s (the inlet would be %s)", sc, celsius(T))}
		}
	}
	return nil
}

func volumeUnit(u string) bool {
	m, ok := unitOf(u)
	return ok && m.volume
}
