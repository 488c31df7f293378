package bench

import (
	"math"
	"path"

	"emberbank/duty"
	"emberbank/unit"
)

// signal reads a value over time; nil gives an empty signal.
func (r *reader) signal(v *value) duty.Signal {
	switch {
	case v == nil:
		return duty.Signal{}
	case v.isQuantity():
		return duty.Fixed(v.num)
	case v.has("table"):
		return r.repeats(v, r.knots(v.get("table"), false))
	case v.has("steps"):
		return r.repeats(v, r.knots(v.get("steps"), true))
	case v.has("file"):
		return r.repeats(v, r.signalFile(v))
	case v.has("station"):
		return r.stationSignal(v, false)
	case v.has("clear sky"):
		return r.clearSky(v)
	case v.has("follows"):
		return r.follows(v)
	}
	return duty.Signal{}
}

// repeats reads after what time a signal begins anew.
func (r *reader) repeats(v *value, s duty.Signal) duty.Signal {
	every := v.get("every")
	if every == nil || s.Empty() {
		return s
	}
	if last := s.T[len(s.T)-1]; last > every.num {
		r.wrong(every, "its last row, at "+unit.Format(last, unit.Time, "h")+", would never come", "at least the time of the last row", "give a longer time, or take out what comes later")
		return s
	}
	s.Every = every.num
	return s
}

// knots reads pairs of time and value.
func (r *reader) knots(v *value, step bool) duty.Signal {
	s := duty.Signal{Step: step}
	for _, row := range v.items() {
		t, y := row.list[0], row.list[1]
		if n := len(s.T); n > 0 && t.num < s.T[n-1] {
			r.wrong(t, "the time goes back: the row before it is later", "times that rise; two equal times make a jump", "sort the rows by time")
			continue
		} else if n > 1 && t.num == s.T[n-1] && t.num == s.T[n-2] {
			r.wrong(t, "a third row at the same time", "at most two rows at one time, which make a jump", "take the middle one out")
			continue
		}
		s.T, s.V = append(s.T, t.num), append(s.V, y.num)
	}
	return s
}

// signalFile reads a column of a CSV file; the quantity is the one that the signal's constant form has.
func (r *reader) signalFile(v *value) duty.Signal {
	s := duty.Signal{Step: v.get("between").is("steps")}
	value := v.wanted
	file := v.get("file")
	if file == nil || value == nil {
		return s
	}
	t := r.table(path.Join(path.Dir(v.file), file.text), file)
	if t == nil {
		return s
	}
	timeHeading := v.get("time").word("time [s]")
	times, okT := r.column(t, firstOf(v.get("time"), file), timeHeading, moment())
	values, okV := r.column(t, v.get("column"), v.get("column").word(""), value)
	if !okT || !okV {
		return s
	}
	f := r.factors(v)
	for i, x := range times {
		if n := len(s.T); n > 0 && x < s.T[n-1] || n > 1 && x == s.T[n-1] && x == s.T[n-2] {
			r.report(Problem{
				File: t.name, Line: t.lines[i], Column: 1, Field: timeHeading, Typed: t.rows[i][t.index(timeHeading)],
				Message: "the time goes back or stands still: " + unit.Format(x, unit.Time, "s") + " after " + unit.Format(s.T[n-1], unit.Time, "s"),
				Allowed: "times that rise; two equal times make a jump", Fix: "sort the rows by time",
			})
			return s
		}
		s.T, s.V = append(s.T, x), append(s.V, f*values[i])
	}
	return s
}

// greatest returns the largest value that a signal takes at times from a to b (b itself left out).
func greatest(s *duty.Signal, a, b float64) float64 {
	if s.Empty() {
		return math.NaN()
	}
	opposite := duty.Signal{T: s.T, V: make([]float64, len(s.V)), Step: s.Step, Every: s.Every}
	for i, x := range s.V {
		opposite.V[i] = -x
	}
	return -least(&opposite, a, b)
}

// least returns the smallest value that a signal takes at times from a to b (b itself left out).
func least(s *duty.Signal, a, b float64) float64 {
	if s.Empty() {
		return math.NaN()
	}
	if s.Every > 0 {
		written := s.Over(math.Min(b, a+s.Every))
		s = &written
	}
	x := s.At(a)
	if !math.IsInf(b, 1) {
		x = min(x, s.Before(b))
	} else {
		x = min(x, s.V[len(s.V)-1])
	}
	for i, t := range s.T {
		if t > a && t < b {
			x = min(x, s.V[i])
		}
	}
	return x
}
