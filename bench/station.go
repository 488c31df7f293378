package bench

import (
	"fmt"
	"math"
	"path"
	"sort"
	"strings"

	"emberbank/history"
	"emberbank/sun"
	"emberbank/trial"
	"emberbank/unit"
)

// station is a file of weather, read once with all its columns that the duty asks for.
type station struct {
	name    string
	v       *value
	read    bool
	zero    float64              // s of the run at the record's first row
	record  *trial.Record        // nil after a mistake
	columns map[*value][]float64 // by the signal that asks
}

// stationKinds is a duty's quantity as a record counts it.
var stationKinds = map[unit.Dimension]history.Quantity{
	unit.Temperature: history.Temperature, unit.HeatFlux: history.Irradiance, unit.Power: history.HeatFlow, unit.Speed: history.Speed,
	unit.MassFlow: history.MassFlow, unit.Pressure: history.Pressure, unit.Angle: history.Angle,
}

// stationOf finds the station that a signal names and reads it; nil after a mistake.
func (r *reader) stationOf(v *value) *station {
	name := v.get("station")
	if name == nil {
		return nil
	}
	if r.cal.of == nil {
		r.problemAt(v, v.path+": a station stands in a duty, and this is none", "a value, a table, steps or the column of a file", "name the file by itself: {file: …, column: …}")
		return nil
	}
	s := r.cal.stations[name.text]
	if s == nil {
		if r.cal.of.states("stations") && !r.cal.of.has("stations") {
			return nil // told already
		}
		var names []string
		for n := range r.cal.stations {
			names = append(names, n)
		}
		sort.Strings(names)
		allowed, fix := "the duty has no stations", `add "stations: {`+shortened(name.text)+`: {file: …, clock: …}}" to the duty`
		if len(names) > 0 {
			allowed, fix = quoted(names), "write the name as it stands under stations"
			if near := nearest(name.text, names); near != "" {
				fix = fmt.Sprintf("did you mean %q?", near)
			}
		}
		r.wrong(name, "the duty has no station of this name", allowed, fix)
		return nil
	}
	if !s.read {
		s.read = true
		s.record = r.readStation(s)
	}
	if s.record == nil || s.columns[v] == nil {
		return nil
	}
	return s
}

// readStation reads a station's files with every column of it that the duty asks for.
func (r *reader) readStation(s *station) *trial.Record {
	if s.v.partial {
		return nil
	}
	src := r.source(s.v)
	var asked []*value
	for _, v := range askers(r.cal.of, s.name) {
		if c, ok := r.stationChannel(v); ok {
			asked, src.Channels = append(asked, v), append(src.Channels, c)
		}
	}
	if len(asked) == 0 {
		return nil
	}
	// What looks odd in weather is weather: a calm that lasts, a gust, a night of one temperature.
	repairs := trial.Repairs{Backward: trial.Off, Spikes: trial.Off, Stuck: trial.Off, Range: trial.Off, Dribble: trial.Off}
	var whole *trial.Log
	for _, fv := range s.v.get("file").items() {
		one := src
		one.Name = path.Join(path.Dir(s.v.file), strings.ReplaceAll(fv.text, "\\", "/"))
		l, found := r.decodeLog(one.Name, fv, &one, 0, repairs)
		if r.stationFindings(s, asked, found, one.Name) || l == nil {
			return nil
		}
		if whole == nil {
			whole = l
		} else if err := whole.Append(l); err != nil {
			r.wrong(fv, "it does not follow the file before: "+err.Error(), "files of one station in the order of time", "make it a station of its own")
			return nil
		}
	}
	if whole == nil || !r.datedAndZoned(s, whole) {
		return nil
	}
	setup := trial.Setup{Name: s.v.path, Repairs: repairs}
	rec, found := trial.Join(&setup, []*trial.Log{whole})
	if r.stationFindings(s, asked, found, whole.Source.Name) || rec == nil {
		return nil
	}
	s.zero = sun.Seconds(rec.Start) - sun.Seconds(r.cal.starts)
	s.columns = map[*value][]float64{}
	for i, v := range asked {
		s.columns[v] = rec.History.Columns[i].Values
	}
	return rec
}

// datedAndZoned tells whether a station's rows can be laid on the run's time.
func (r *reader) datedAndZoned(s *station, l *trial.Log) bool {
	at := firstOf(s.v.get("clock"), s.v)
	switch {
	case !l.Absolute:
		r.problemAt(at, s.v.path+": its rows count time from a start of their own, so that the run cannot be laid beside them", "a clock with dates",
			`say in its clock when that was: "since: 2026-06-21 00:00 +02:00"`)
	case !l.Zoned:
		r.problemAt(at, s.v.path+": its clock does not say in which time zone, so that neither the run nor the sun can be laid beside it", `"UTC", or a distance from it such as +01:00`,
			`add "zone: UTC", or the distance from UTC of its standard time, to its clock`)
	case r.cal.starts.IsZero():
		if !r.cal.of.states("starts") {
			r.problemAt(s.v, s.v.path+": its rows are moments, and the duty does not say when the run begins", "a duty with starts", `add "starts: 2026-06-21 04:00 +02:00" to the duty`)
		}
	default:
		return true
	}
	return false
}

// askers are the signals below a value that name a station, in the order of the file.
func askers(v *value, station string) []*value {
	var out []*value
	var walk func(v *value)
	walk = func(v *value) {
		if v == nil {
			return
		}
		if n := v.get("station"); n != nil && v.typ.kind == isMapping && v.wanted != nil && n.text == station {
			out = append(out, v)
		}
		for _, x := range v.list {
			walk(x)
		}
		for _, k := range v.keys {
			walk(v.at[k])
		}
	}
	walk(v)
	return out
}

// stationChannel describes the column that a signal asks for.
func (r *reader) stationChannel(v *value) (trial.Channel, bool) {
	c := trial.Channel{Column: ref(v.get("column")), Name: v.path, Role: trial.Other, Good: []float64{0}}
	q, known := stationKinds[v.wanted.dim]
	if !known {
		q = history.Fraction
	}
	c.Quantity = q
	quality(v.get("quality"), &c)
	u := v.get("unit")
	if u == nil {
		return c, true
	}
	got, conv, volume, ok := trial.Reads(u.text)
	if !ok || got != q || volume {
		r.wrong(u, "it is no unit of "+v.wanted.noun, v.wanted.noun, "give the unit of the numbers in the file")
		return c, false
	}
	c.Unit, c.Conversion = u.text, conv
	return c, true
}

// stationFindings tells what reading a station's file found, and whether a mistake was among it.
func (r *reader) stationFindings(s *station, asked []*value, found []trial.Finding, file string) (failed bool) {
	for _, f := range found {
		if f.Doubt && f.Key == "clock" {
			continue // told as a mistake, where it counts
		}
		if f.Key == "repairs.backward" {
			f.Message = fmt.Sprintf("%s: the clock goes back in line %d, as local time does where summer time ends: its rows have no single distance from UTC", file, f.Line)
			f.Fix = "let the station write UTC or standard time; or part the file at the changes, and make each part a station with a zone of its own"
		}
		at := s.v
		if f.Channel >= 0 && f.Channel < len(asked) {
			at = asked[f.Channel]
		} else if c := s.v.get(f.Key); c != nil {
			at = c
		}
		p := Problem{
			File: at.file, Line: at.node.Line, Column: at.node.Column, Field: at.path, Message: f.Message, Allowed: f.Allowed, Fix: f.Fix, Warning: f.Doubt,
		}
		if f.Line > 0 {
			p.File, p.Line, p.Column = file, f.Line, max(f.Column, 1)
		}
		r.report(p)
		failed = failed || !f.Doubt
	}
	return failed
}

// rowsOf are a signal's rows on the run's time, those without a good value left out, with the usual distance of rows.
func (s *station) rowsOf(v *value) (t, x []float64, step float64) {
	values := s.columns[v]
	for i, at := range s.record.History.Time {
		if !math.IsNaN(values[i]) {
			t, x = append(t, s.zero+at), append(x, values[i])
		}
	}
	return t, x, s.record.Interval
}
