package trial

import (
	"fmt"
	"math"
	"strings"
	"time"
)

const (
	// scant is the share of the shorter record below which two loggers have too little in common to be laid together.
	scant = 0.1
	// whole is the share that a moved clock must bring into common to be named.
	whole = 0.95
)

// overlap refuses loggers that have no time in common or hardly any, doubts those that would run together from start to
// end if one clock were moved by hours, and says by how much and what its zone would then be.
func (j *joining) overlap() {
	for i := 1; i < len(j.logs); i++ {
		a0, a1 := j.span(0)
		b0, b1 := j.span(i)
		shorter := math.Min(a1-a0, b1-b0)
		common := math.Min(a1, b1) - math.Max(a0, b0)
		hours, would := inCommon(a0, a1, b0, b1)
		fix := `check the dates; give "offset: …" in the clock of one if its clock was wrong`
		if hours != 0 {
			fix = j.move(i, hours)
		}
		said := fmt.Sprintf("%s to %s, and %s to %s", j.moment(0, a0), j.moment(0, a1), j.moment(0, b0), j.moment(0, b1))
		first, second := j.logs[0].Source.Name, j.logs[i].Source.Name
		switch {
		case common < 0:
			j.tell(i, "clock", fmt.Sprintf("%s and %s have no time in common: %s, %s apart", first, second, said, words(-common)), fix, false)
		case common < scant*shorter:
			j.tell(i, "clock", fmt.Sprintf("%s and %s have hardly any time in common, %s of %s: %s", first, second, words(common), words(shorter), said), fix, false)
		case j.logs[i].Source.Clock.Align == nil && hours != 0 && would >= whole*shorter && together(a0, a1, b0+hours*3600, b1+hours*3600):
			j.tell(i, "clock", fmt.Sprintf("%s and %s have only %s of %s in common, yet would begin and end together if one clock were moved by %g h: %s",
				first, second, words(common), words(shorter), math.Abs(hours), said), fix+"; if both clocks are right, leave it", true)
		}
	}
}

// inCommon returns the move of the second span, in hours of a zone's kind, that brings the most in common, and that
// stretch in s. Of equals the smallest counts, and half hours, which few zones have, only where they bring a quarter of
// an hour more; 0 where none brings anything.
func inCommon(a0, a1, b0, b1 float64) (hours, stretch float64) {
	stretch = math.Min(a1, b1) - math.Max(a0, b0)
	for _, part := range []struct{ half, more float64 }{{0, 1e-6}, {0.5, 900}} {
		for h := 1 - part.half; h <= 14; h++ {
			for _, d := range []float64{h, -h} {
				if c := math.Min(a1, b1+3600*d) - math.Max(a0, b0+3600*d); c >= 0 && c > stretch+part.more {
					hours, stretch = d, c
				}
			}
		}
	}
	return hours, stretch
}

// together tells whether two spans begin and end within five minutes of one another, as loggers of one trial do.
func together(a0, a1, b0, b1 float64) bool {
	const near = 300
	return math.Abs(a0-b0) < near && math.Abs(a1-b1) < near
}

// move says how a clock is mended that has to be moved by some hours.
func (j *joining) move(i int, hours float64) string {
	l := j.logs[i]
	fix := fmt.Sprintf("they would run together if the clock of %s were moved by %+g h", l.Source.Name, hours)
	if !l.Absolute {
		return fix + fmt.Sprintf(`: give "offset: %g s"`, l.Source.Clock.Offset+3600*hours)
	}
	known := l.Zoned || j.setup.Zone != nil
	east := l.zone - int(3600*hours)
	if known && east >= -12*3600 && east <= 14*3600 {
		fix += fmt.Sprintf(": is its zone %s and not %s?", zoneName(east), zoneName(l.zone))
	} else {
		fix += `: is a "zone" missing or wrong?`
	}
	if o := j.logs[0]; o.Absolute && (o.Zoned || j.setup.Zone != nil) {
		if east := o.zone + int(3600*hours); known && east >= -12*3600 && east <= 14*3600 {
			fix += fmt.Sprintf(" Or that of %s %s and not %s?", o.Source.Name, zoneName(east), zoneName(o.zone))
		}
	}
	return fix
}

// zoneName writes a zone, in s east of Greenwich, as a description does.
func zoneName(east int) string {
	if east == 0 {
		return "UTC"
	}
	return strings.TrimSpace(time.Unix(0, 0).In(time.FixedZone("", east)).Format("-07:00"))
}
