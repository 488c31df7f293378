package trial

import (
	"fmt"
	"math"
	"slices"
	"time"
)

// Join brings the logs of all sources, in the setup's order, to one time axis. After a mistake among the findings the
// record is nil.
func Join(s *Setup, logs []*Log) (*Record, []Finding) {
	j := &joining{setup: s, logs: logs}
	if len(logs) == 0 {
		return nil, []Finding{{Source: -1, Channel: -1, Message: "the trial names no logger", Fix: `add "loggers:" with a file and its channels`}}
	}
	for i, l := range logs {
		j.found = append(j.found, l.order(s.Repairs, i)...)
		if len(l.Time) < 2 {
			j.tell(i, "", fmt.Sprintf("%s has %s: a trial needs two at least", l.Source.Name, counted(len(l.Time), "row")), "is this the right file?", false)
		}
	}
	if j.failed() {
		return nil, j.found
	}
	for _, l := range logs {
		l.repair()
	}
	j.clocks()
	if j.failed() {
		return nil, j.found
	}
	rec := j.merge()
	if j.failed() {
		return nil, j.found
	}
	return rec, j.found
}

// joining is one call of Join.
type joining struct {
	setup  *Setup
	logs   []*Log
	found  []Finding
	offset []float64 // s, from each log's time to that of the first log's base
	align  []Repair
}

func (j *joining) failed() bool {
	return slices.ContainsFunc(j.found, func(f Finding) bool { return !f.Doubt })
}

func (j *joining) tell(source int, key, message, fix string, doubt bool) {
	j.found = append(j.found, Finding{Source: source, Channel: -1, Key: key, Message: message, Fix: fix, Doubt: doubt})
}

// clocks brings the logs' times to one zero: their zones, offsets, and whether they overlap at all.
func (j *joining) clocks() {
	absolute, zoned := 0, 0
	for _, l := range j.logs {
		if l.Absolute {
			absolute++
			if l.Zoned || j.setup.Zone != nil {
				zoned++
			}
		}
	}
	for i, l := range j.logs {
		switch {
		case !l.Absolute && absolute > 0:
			j.tell(i, "clock", fmt.Sprintf("%s counts time from its own start while another logger shows dates: the two cannot be laid together", l.Source.Name),
				`say when it started: "since: 2026-03-14 09:30:00 +01:00" in its clock`, false)
		case !l.Absolute && len(j.logs) > 1 && l.Source.Clock.Offset == 0 && i > 0 && l.Source.Clock.Align == nil:
			j.tell(i, "clock", fmt.Sprintf("%s and %s both count time from their own start: they are taken to have started at the same moment", j.logs[0].Source.Name, l.Source.Name),
				`if they did not, give "offset: …", the time by which this one started later`, true)
		case l.Absolute && !l.Zoned && j.setup.Zone == nil && zoned > 0:
			j.tell(i, "clock", fmt.Sprintf("%s shows dates without their time zone, and another logger's zone is known: they cannot be laid together", l.Source.Name),
				`add "zone: UTC", or "zone: +01:00" and the like, to its clock`, false)
		case l.Absolute && !l.Zoned && j.setup.Zone == nil && i == 0:
			j.tell(i, "clock", fmt.Sprintf("%s shows dates without their time zone: they are taken as they stand, and cannot be compared with the sun or another logger", l.Source.Name),
				`add "zone: UTC", or "zone: +01:00" and the like, to the trial or to this logger's clock`, true)
		}
	}
	if j.failed() {
		return
	}
	base := j.logs[0].base
	j.offset = make([]float64, len(j.logs))
	for i, l := range j.logs {
		b := l.base
		if l.Absolute && !l.Zoned && j.setup.Zone != nil {
			_, east := time.Unix(l.base, 0).In(j.setup.Zone).Zone()
			b -= int64(east)
			l.zone = east
		}
		if i == 0 {
			base = b
		}
		j.offset[i] = float64(b-base) + l.Source.Clock.Offset
		if o := l.Source.Clock.Offset; o != 0 {
			j.align = append(j.align, Repair{Key: "offset", File: l.Source.Name, Count: len(l.Time), What: fmt.Sprintf("clock moved by %g s, as given", o), Mended: true})
		}
	}
	for i := range j.logs {
		if j.logs[i].Source.Clock.Align != nil {
			j.alignClock(i)
		}
	}
	j.overlap()
}

func (j *joining) span(i int) (from, to float64) {
	t := j.logs[i].Time
	return t[0] + j.offset[i], t[len(t)-1] + j.offset[i]
}

// moment shows a time on the first log's scale.
func (j *joining) moment(i int, t float64) string {
	l := j.logs[0]
	if !l.Absolute {
		return fmt.Sprintf("%.6g s", t)
	}
	return j.start(t).Format("2006-01-02 15:04:05")
}

func (j *joining) start(t float64) time.Time {
	l := j.logs[0]
	base := l.base
	if !l.Zoned && j.setup.Zone != nil {
		base -= int64(l.zone)
	}
	whole := math.Floor(t)
	return time.Unix(base+int64(whole), int64(math.Round((t-whole)*1e9))).In(location(l.zone))
}

func words(s float64) string {
	switch {
	case s >= 2*86400:
		return fmt.Sprintf("%.3g d", s/86400)
	case s >= 2*3600:
		return fmt.Sprintf("%.3g h", s/3600)
	case s >= 120:
		return fmt.Sprintf("%.3g min", s/60)
	}
	return fmt.Sprintf("%.3g s", s)
}

// merge lays all columns on the axis of one log.
func (j *joining) merge() *Record {
	axis := j.setup.Axis
	if axis < 0 || axis >= len(j.logs) {
		axis = 0
		for i := range j.logs {
			if j.logs[i].step() < 0.999*j.logs[axis].step() {
				axis = i
			}
		}
	}
	a := j.logs[axis]
	t0 := a.Time[0] + j.offset[axis]
	from, to := 0, len(a.Time)
	for from < to && a.Time[from]-a.Time[0] < j.setup.From {
		from++
	}
	if j.setup.To > 0 {
		for to > from && a.Time[to-1]-a.Time[0] > j.setup.To*(1+1e-12) {
			to--
		}
	}
	if to-from < 2 {
		until := "the end"
		if j.setup.To > 0 {
			until = words(j.setup.To)
		}
		j.tell(-1, "", fmt.Sprintf("from %s to %s there are %s", words(j.setup.From), until, counted(to-from, "row")),
			fmt.Sprintf("the record lasts %s: choose from and to within it", words(a.Time[len(a.Time)-1]-a.Time[0])), false)
		return nil
	}
	t0 += a.Time[from] - a.Time[0]
	rec := &Record{Name: j.setup.Name, Phases: j.setup.Phases, Zoned: a.Zoned || j.setup.Zone != nil}
	rec.History.Time = make([]float64, to-from)
	for k := range rec.History.Time {
		rec.History.Time[k] = a.Time[from+k] - a.Time[from]
	}
	rec.Interval = medianStep(rec.History.Time)
	var rows []int
	if j.setup.Axis < 0 { // an axis that was asked for is left as it is
		rows = j.stand(rec, axis, from, t0)
	}
	if j.logs[0].Absolute {
		rec.Start = j.start(t0)
		if j.setup.Zone != nil {
			rec.Start = rec.Start.In(j.setup.Zone)
		}
	} else {
		rec.Zoned = false
	}
	limit := j.setup.Gap
	if limit <= 0 {
		limit = 3 * rec.Interval
	}
	rec.Gaps = gaps(rec.History.Time, limit)
	own := make([][]float64, len(j.logs))
	for i, l := range j.logs {
		rec.Notes = append(rec.Notes, l.Notes...)
		rec.Repairs = append(rec.Repairs, l.Repairs...)
		longest := j.longest(i)
		holes := gaps(l.Time, longest)
		if len(holes) > 0 {
			total := 0.0
			for _, g := range holes {
				total += g.To - g.From
			}
			first, _ := slices.BinarySearch(l.Time, holes[0].To)
			rec.Repairs = append(rec.Repairs, Repair{
				Key: "gap", File: l.Source.Name, Count: len(holes), Line: int(l.line[min(first, len(l.line)-1)]),
				What: fmt.Sprintf("gaps of more than %s, together %s: nothing is filled in", words(longest), words(total)),
			})
		}
		for c := range l.Values {
			j.column(rec, i, c, axis, from, to, t0, holes, rows, own)
		}
	}
	rec.Repairs = append(rec.Repairs, j.align...)
	j.couples(rec)
	j.volumes(rec)
	held := map[string]bool{} // a switched value's steps are no noise
	for _, l := range j.logs {
		for c := range l.channels {
			held[l.channels[c].c.Name] = l.channels[c].c.Hold
		}
	}
	for i := range rec.Columns {
		c := &rec.Columns[i]
		_, v := rec.Own(i)
		if !c.NoiseGiven && !held[c.Name] {
			c.Noise = noise(v, c.Quantity, c.rounding)
		}
		c.Resolution = resolution(v)
	}
	return rec
}

const zeroDegC = 273.15 // K

// resample brings a column to another axis. Where its rows are closer than half the axis's, the mean of those that
// fall to a row is taken; else straight lines between rows, or the last value where it is held. Nothing is drawn
// across a gap or beyond the ends.
func resample(axis []float64, interval float64, t, v []float64, offset, step float64, holes []Span, hold bool) []float64 {
	out := make([]float64, len(axis))
	dense := step < 0.5*interval && !hold
	k, hole := 0, 0
	for i, at := range axis {
		x := at - offset
		out[i] = math.NaN()
		if dense {
			for k < len(t) && t[k] < x-interval/2 {
				k++
			}
			sum, n := 0.0, 0
			for m := k; m < len(t) && t[m] < x+interval/2; m++ {
				if v[m] == v[m] {
					sum += v[m]
					n++
				}
			}
			if n > 0 {
				out[i] = sum / float64(n)
			}
			continue
		}
		for k+1 < len(t) && t[k+1] <= x {
			k++
		}
		for hole < len(holes) && holes[hole].To <= x {
			hole++
		}
		switch {
		case x < t[0] || x > t[len(t)-1]:
		case t[k] == x || hold && !(hole < len(holes) && holes[hole].From < x):
			out[i] = v[k]
		case hole < len(holes) && holes[hole].From < x || k+1 >= len(t):
		default:
			f := (x - t[k]) / (t[k+1] - t[k])
			out[i] = v[k] + f*(v[k+1]-v[k])
		}
	}
	return out
}
