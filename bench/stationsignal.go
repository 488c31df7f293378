package bench

import (
	"fmt"
	"math"
	"sort"

	"emberbank/duty"
	"emberbank/unit"
)

// stationSignal lays a station's column on the run's time.
func (r *reader) stationSignal(v *value, beam bool) duty.Signal {
	s := r.stationOf(v)
	if s == nil {
		return duty.Signal{}
	}
	t, x, step := s.rowsOf(v)
	rows := s.v.get("rows").word("moments")
	before, after := 0.0, 0.0 // of its stamp, what a row speaks for
	switch rows {
	case "means before":
		before = step
	case "means after":
		after = step
	}
	if !r.meets(v, s, t, before, after) {
		return duty.Signal{}
	}
	r.tellGaps(v, s, t, step)
	if beam && !r.dayOnly(v, t, x, before, after) || !r.inRange(v, t, x) {
		return duty.Signal{}
	}
	var out duty.Signal
	if rows == "moments" {
		out = duty.Signal{T: t, V: x}
	} else {
		out = heldRows(t, x, step, before)
	}
	f := r.factors(v)
	over := v.get("mean over")
	end := out.T[len(out.T)-1]
	if r.until > 0 {
		end = r.until
	}
	if over != nil {
		if n := end * f / over.num; n > mostRows {
			r.wrong(over, fmt.Sprintf("%.3g means", n), fmt.Sprintf("up to %d", mostRows), "give a longer time")
			return duty.Signal{}
		}
		out = means(&out, over.num/f, end)
	} else {
		out = within(&out, end)
	}
	for i := range out.V {
		out.V[i] *= f
	}
	return out
}

// mostPutIn bounds the rows that are put into a gap: one as long as that is a guess anyhow.
const mostPutIn = 1000

// heldRows makes steps of means: each holds over a row's time, which lies before its stamp or after it. Rows that are missing are
// put in on the straight line between their neighbours, so that a gap has the integral of that line.
func heldRows(t, x []float64, step, before float64) duty.Signal {
	out := duty.Signal{Step: true}
	add := func(t, v float64) { out.T, out.V = append(out.T, t-before), append(out.V, v) }
	for i := range t {
		if i > 0 {
			gap := t[i] - t[i-1]
			n := min(math.Round(gap/step), mostPutIn)
			for k := 1.0; k < n; k++ {
				add(t[i-1]+k/n*gap, x[i-1]+(x[i]-x[i-1])*k/n)
			}
		}
		add(t[i], x[i])
	}
	return out
}

// within cuts a signal that does not repeat to the times from 0 to end, its values there unchanged.
func within(s *duty.Signal, end float64) duty.Signal {
	out := duty.Signal{Step: s.Step}
	add := func(t, v float64) { out.T, out.V = append(out.T, t), append(out.V, v) }
	add(0, s.At(0))
	for i, t := range s.T {
		if t > 0 && t < end {
			add(t, s.V[i])
		}
	}
	if end > 0 && !s.Step {
		add(end, s.Before(end))
	}
	return out
}

// means returns the means of a signal over equal times from 0 on, each held until the next, up to end. The integral of each
// such time is that of the signal, exactly.
func means(s *duty.Signal, over, end float64) duty.Signal {
	out := duty.Signal{Step: true}
	for k := 0.0; k == 0 || k*over < end*(1-1e-12); k++ {
		a := k * over
		b := a + over
		if end > a {
			b = math.Min(b, end)
		}
		out.T, out.V = append(out.T, a), append(out.V, integral(s, a, b)/(b-a))
	}
	return out
}

// integral returns that of a signal that does not repeat, from a to b.
func integral(s *duty.Signal, a, b float64) float64 {
	sum, t := 0.0, a
	for i := sort.SearchFloat64s(s.T, a); t < b; i++ {
		next := b
		if i < len(s.T) {
			next = math.Min(b, s.T[i])
		}
		if next > t {
			sum += (next - t) * (s.At(t) + s.Before(next)) / 2
			t = next
		}
	}
	return sum
}

// meets tells whether a record has good rows in the time of the run, and says where the run goes beyond it.
func (r *reader) meets(v *value, s *station, t []float64, before, after float64) bool {
	c := &r.cal
	until := r.until
	if len(t) == 0 {
		r.problemAt(v, v.path+": no row of this column has a good value", "a column with values", "is it the right column, and the right quality code?")
		return false
	}
	first, last := t[0]-before, t[len(t)-1]+after
	span := fmt.Sprintf("the station's rows go from %s to %s", c.moment(first), c.moment(last))
	if last < 0 || until > 0 && first > until {
		run := ", the run begins at " + c.moment(0)
		if until > 0 {
			run = ", the run from " + c.moment(0) + " to " + c.moment(until)
		}
		r.problemAt(v, v.path+": "+span+run+": they do not meet", "rows in the time of the run", `look at "starts" and at the station's zone`)
		return false
	}
	if step := s.record.Interval; first > step {
		r.doubt(v, v.path+": "+span+": before that the first value stays, from "+c.moment(0)+" on", "begin the run later")
	} else if until > 0 && last < until-step {
		r.doubt(v, v.path+": "+span+": after that the last value stays, until "+c.moment(until), "end the run earlier, or name the next file too")
	}
	return true
}

// tellGaps says what is missing in the time of the run.
func (r *reader) tellGaps(v *value, s *station, t []float64, step float64) {
	c := &r.cal
	limit := s.v.get("join").number(1800)
	end := math.Inf(1)
	if r.until > 0 {
		end = r.until
	}
	gaps, long, worst, at := 0, 0, 0.0, 0.0
	for i := 1; i < len(t); i++ {
		gap := t[i] - t[i-1]
		if gap < 1.5*step || t[i] <= 0 || t[i-1] >= end {
			continue
		}
		gaps++
		if gap > limit {
			long++
		}
		if gap > worst {
			worst, at = gap, t[i-1]
		}
	}
	if gaps == 0 {
		return
	}
	what := fmt.Sprintf("%s: %s without a good value joined by straight lines, the longest of %s from %s on", v.path, counted(gaps, "stretch", "stretches"),
		unit.Format(worst, unit.Time, "min"), c.moment(at))
	fix := "nothing, if the values on either side belong together"
	if long > 0 {
		what += fmt.Sprintf("; %d longer than %s: what the weather did there is a guess", long, unit.Format(limit, unit.Time, "min"))
		fix = `take the missing time from another station, or let the run leave it out; "join" says what is long`
	}
	if math.Abs(worst-3600-step) < 1 {
		what += ". An hour that is missing may be summer time that begins: then all that follows is an hour off"
	}
	r.doubt(v, what, fix)
}

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// dayOnly takes what an instrument for the beam shows by night, and below zero, for zero, and complains of more than that.
func (r *reader) dayOnly(v *value, t, x []float64, before, after float64) bool {
	c := &r.cal
	most, n := 0.0, 0
	for i, at := range t {
		if c.track != nil && c.down(at) && c.down(at-before) && c.down(at+after) {
			if x[i] > nightOffset && at+after > 0 && (r.until <= 0 || at-before < r.until) {
				r.beamByNight(v, at, x[i])
				return false
			}
			if x[i] > 0 {
				most, n = math.Max(most, x[i]), n+1
			}
			x[i] = 0
		}
		x[i] = math.Max(x[i], 0)
	}
	if n > 0 {
		r.doubt(v, fmt.Sprintf("%s: the instrument shows up to %.3g W/m2 while the sun is down: taken for its offset, and for zero", v.path, most), "nothing: some W/m2 are usual")
	}
	return true
}

// inRange complains of values that the duty's quantity cannot have.
func (r *reader) inRange(v *value, t, x []float64) bool {
	w := v.wanted
	n, first := 0, -1
	for i := range x {
		if !w.holds(x[i]) {
			if n++; first < 0 {
				first = i
			}
		}
	}
	if n == 0 {
		return true
	}
	r.problemAt(v, fmt.Sprintf("%s: %s out of range, the first %s at %s", v.path, counted(n, "value is", "values are"),
		unit.Format(x[first], w.dim, v.get("unit").word("")), r.cal.moment(t[first])), w.allowed(), "is it the right column and unit? Codes for missing values stand under \"missing\" of the station")
	return false
}
