package trial

import (
	"math"

	"emberbank/history"
)

// column adds one channel to the record.
func (j *joining) column(rec *Record, i, c, axis, from, to int, t0 float64, holes []Span, rows []int, times [][]float64) {
	l := j.logs[i]
	ch := l.channels[c].c
	laid := func(of []float64) []float64 {
		switch {
		case of == nil:
			return nil
		case i != axis:
			return resample(rec.History.Time, rec.Interval, l.Time, of, j.offset[i]-t0, l.step(), holes, ch.Hold)
		case rows == nil:
			return of[from:to:to]
		}
		v := make([]float64, len(rows))
		for k, r := range rows {
			v[k] = math.NaN()
			if r >= 0 {
				v[k] = of[r]
			}
		}
		return v
	}
	v := laid(l.Values[c])
	var own *Rows
	if i != axis {
		own = j.own(rec, i, c, t0, times)
	}
	l.Values[c] = nil
	rec.History.Columns = append(rec.History.Columns, history.Column{Name: ch.Name, Quantity: ch.Quantity, Values: v})
	heading := ""
	if at := l.channels[c].at; at < len(l.Headings) {
		heading = l.Headings[at]
	}
	col := Column{
		Name: ch.Name, Quantity: ch.Quantity, Role: ch.Role, Of: ch.Of, File: l.Source.Name, Heading: heading, Sensor: ch.Sensor,
		Position: ch.Position, Lag: ch.Lag, Least: ch.Least, Noise: ch.Noise, NoiseGiven: ch.Noise > 0,
		Parts: append([]Part(nil), ch.Parts...), Unit: ch.Unit, source: i, channel: c, offset: ch.Conversion.Offset,
		Rows: own, Step: l.step(), rounding: l.channels[c].lastDigit(), below: laid(l.channels[c].below),
	}
	for k := range col.below {
		if ch.Volume {
			col.below[k] *= 1000
		}
	}
	if d := ch.Conversion.Divisor; d != 0 {
		col.factor = ch.Conversion.Factor / d
	}
	group := "logger " + l.Source.Name
	switch {
	case ch.Quantity == history.Temperature && l.Source.Accuracy > 0:
		col.Parts = append(col.Parts, Part{Group: group, What: "the logger's own", Constant: l.Source.Accuracy, Zero: zeroDegC, DoF: math.Inf(1)})
	case ch.Quantity != history.Temperature && l.Source.Share > 0:
		col.Parts = append(col.Parts, Part{Group: group, What: "the logger's own", Relative: l.Source.Share, DoF: math.Inf(1)})
	}
	rec.Columns = append(rec.Columns, col)
	if ch.Correction != nil {
		for _, w := range [][]float64{v, own.values()} {
			for k := range w {
				if w[k] == w[k] {
					w[k] += ch.Correction.hold(w[k])
				}
			}
		}
		rec.Notes = append(rec.Notes, ch.Name+": corrected as calibrated")
	}
}
