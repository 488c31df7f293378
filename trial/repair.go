package trial

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"emberbank/history"
)

// repairs lists what reading found, and looks for spikes, stuck values and dribble at the logger's own rows.
func (l *Log) repair() {
	name := l.Source.Name
	if l.garbled.count > 0 {
		l.Repairs = append(l.Repairs, Repair{
			Key: "garbled", File: name, Count: l.garbled.count, Line: l.garbled.first, Mended: true,
			What: counted(l.garbled.count, "row") + " that cannot be read left out: too few cells, or no time",
		})
	}
	if l.again.count > 0 {
		l.Repairs = append(l.Repairs, Repair{
			Key: "garbled", File: name, Count: l.again.count, Line: l.again.first, Mended: true,
			What: "the headings stand again: the logger began anew",
		})
	}
	if l.holes.count > 0 {
		l.Repairs = append(l.Repairs, Repair{
			Key: "garbled", File: name, Count: l.holes.count, Line: l.holes.first, Mended: true,
			What: counted(l.holes.count, "hole") + " of zero bytes, as a power cut leaves, left out with what stands before in the line",
		})
	}
	for i := range l.channels {
		st := &l.channels[i]
		l.reading(st)
		v := l.Values[i]
		l.spikes(st, v)
		l.stuck(i, v)
		l.dribble(st, v)
	}
}

// reading lists what stood in cells.
func (l *Log) reading(st *channelState) {
	add := func(key string, t tally, sw Switch, what string) {
		if t.count > 0 {
			l.Repairs = append(l.Repairs, Repair{
				Key: key, File: l.Source.Name, Column: st.c.Name, Count: t.count, Line: t.first, What: what, Mended: sw != Off,
			})
		}
	}
	var codes []string
	for c, n := range st.codes {
		if c == "" {
			c = "empty"
		}
		codes = append(codes, fmt.Sprintf("%s (%d)", c, n))
	}
	sort.Strings(codes)
	word := " taken as missing"
	if st.repairs.Missing == Off {
		word = " seen; numbers among them left as they are"
	}
	add("missing", st.missing, st.repairs.Missing, "codes for a missing value"+word+": "+strings.Join(codes, ", "))
	add("garbled", st.garbled, On, fmt.Sprintf("cells that are no numbers, such as %q, taken as missing", st.typed))
	add("quality", st.doubtful, st.repairs.Quality, "values that their quality code calls doubtful taken as missing")
	what := "signals outside the calibration taken as missing"
	if st.repairs.Range == Off {
		what = "signals outside the calibration: it is drawn on beyond its ends"
	}
	add("range", st.outside, st.repairs.Range, what)
}

// asleep tells whether a repair that is on by itself for some quantities only is off for this one.
func asleep(sw Switch, q history.Quantity) bool {
	return sw == Unset && q != history.Temperature && q != history.Pressure
}

// stuck takes out long runs of one and the same value. A run is long when chance would bring it less than once in
// 10⁹: with the share p of rows that repeat the value before them elsewhere, longer than ln 10⁻⁹/ln p rows; at least
// 20 rows. Another channel of the same quantity must have moved meanwhile, by twenty steps of its own resolution, or the
// value must jump when the run ends; else all may really have stood still. Zeros are no sensor's that stuck.
func (l *Log) stuck(index int, v []float64) {
	st := &l.channels[index]
	if asleep(st.repairs.Stuck, st.c.Quantity) || st.c.Hold || len(v) < 40 {
		return
	}
	type run struct{ from, to int }
	var runs []run
	same, pairs := 0, 0
	longest := 0
	for i := 0; i < len(v); {
		if v[i] != v[i] {
			i++
			continue
		}
		j := i
		for j+1 < len(v) && v[j+1] == v[i] {
			j++
		}
		n := j - i
		same += n
		pairs += n + 1
		longest = max(longest, n)
		if n >= 20 && v[i] != 0 {
			runs = append(runs, run{i, j})
		}
		i = j + 1
	}
	if len(runs) == 0 {
		return
	}
	// What the channel does outside its long runs.
	for _, r := range runs {
		if r.to-r.from >= longest/2 {
			same -= r.to - r.from
			pairs -= r.to - r.from
		}
	}
	p := float64(max(same, 1)) / float64(max(pairs, 2))
	if pairs < 20 || p > 0.98 {
		return // it hardly ever changes: nothing can be said
	}
	limit := math.Max(20, math.Log(1e-9)/math.Log(p))
	res := resolution(v)
	var t tally
	for _, r := range runs {
		if float64(r.to-r.from) < limit || !l.othersMove(index, r.from, r.to) && !jumps(v, r.from, r.to, res) {
			continue
		}
		if t.count == 0 {
			t.first = int(l.line[r.from])
		}
		t.count += r.to - r.from
		if st.repairs.Stuck != Off {
			for i := r.from + 1; i <= r.to; i++ { // the first of them may be right
				v[i] = math.NaN()
			}
		}
	}
	if t.count == 0 {
		return
	}
	what := fmt.Sprintf("values that stand still for %d rows or more while others move taken as missing", int(limit))
	if st.repairs.Stuck == Off {
		what = fmt.Sprintf("values that stand still for %d rows or more while others move, left as they are", int(limit))
	}
	l.Repairs = append(l.Repairs, Repair{
		Key: "stuck", File: l.Source.Name, Column: st.c.Name, Count: t.count, Line: t.first, What: what, Mended: st.repairs.Stuck != Off,
	})
}

func jumps(v []float64, from, to int, res float64) bool {
	far := func(i int) bool { return i >= 0 && i < len(v) && math.Abs(v[i]-v[to]) > 20*res }
	return res > 0 && far(to+1)
}

// othersMove tells whether another channel of the same quantity moved from row a to row b.
func (l *Log) othersMove(index, a, b int) bool {
	for k := range l.Values {
		if k == index || l.channels[k].c.Quantity != l.channels[index].c.Quantity {
			continue
		}
		w := l.Values[k][a : b+1]
		if e, r := extent(w), resolution(w); e > 20*r && r > 0 && e > 0.02*extent(l.Values[k]) {
			return true
		}
	}
	return false
}

// resolution is the least step between neighbours, where steps repeat it; 0 where none is seen.
func resolution(v []float64) float64 {
	var d []float64
	stride := max(1, len(v)/20000)
	for i := 1; i < len(v); i += stride {
		if x := math.Abs(v[i] - v[i-1]); x > 0 {
			d = append(d, x)
		}
	}
	if len(d) == 0 {
		return 0
	}
	slices.Sort(d)
	least := d[len(d)/100] // what one in a hundred steps goes below may be rounding
	if least < 1e-9*math.Abs(d[len(d)-1]) {
		return 0
	}
	return least
}

// dribbleShare is the share of the usual flow below which a reading counts as none, where the meter's least flow is
// not given. Common practice: turbine and vane meters begin to turn between 1 and 5 % of their range.
const dribbleShare = 0.02

// dribble sets flows that are too small for the meter to zero.
func (l *Log) dribble(st *channelState, v []float64) {
	if st.c.Role != Flow {
		return
	}
	limit, given := st.c.Least, st.c.Least > 0
	if st.c.Volume {
		limit /= 1000
	}
	if !given {
		var all []float64
		stride := max(1, len(v)/20000)
		for i := 0; i < len(v); i += stride {
			if v[i] == v[i] && v[i] > 0 {
				all = append(all, v[i])
			}
		}
		if len(all) == 0 {
			return
		}
		slices.Sort(all)
		limit = dribbleShare * all[len(all)*95/100]
	}
	if given && st.repairs.Dribble != Off && !slices.ContainsFunc(v, func(x float64) bool { return x >= limit }) {
		st.below = slices.Clone(v)
	}
	var t tally
	for i, x := range v {
		if x != x || x == 0 || math.Abs(x) >= limit && x > 0 {
			continue
		}
		t.add(int(l.line[i]))
		if st.repairs.Dribble != Off {
			v[i] = 0
		}
	}
	if t.count == 0 {
		return
	}
	what := "below what the meter can read"
	if !given {
		what = fmt.Sprintf("below %g %% of the usual flow", 100*dribbleShare)
	}
	word := "set to zero"
	if st.repairs.Dribble == Off {
		word = "left as they are"
	}
	l.Repairs = append(l.Repairs, Repair{
		Key: "dribble", File: l.Source.Name, Column: st.c.Name, Count: t.count, Line: t.first,
		What: "flows " + what + " " + word, Mended: st.repairs.Dribble != Off,
	})
}
