package bench

import (
	"fmt"
	"math"
	"time"

	"emberbank/sun"
	"emberbank/trial"
)

// calendar is when and where a duty takes place, as far as it says so.
type calendar struct {
	of       *value    // the duty; nil: the idle one
	starts   time.Time // zero: not stated
	site     *sun.Site // nil: not stated
	length   float64   // s, of what is laid out: the run's, or foreseen where that is not known
	track    *sun.Track
	stations map[string]*station
}

// unknownLength is how long what hangs on the calendar is laid out where the length of the run is not known, as in a duty file
// that is checked by itself: 30 d.
const unknownLength = 30 * 86400

// calendar reads when and where a duty takes place.
func (r *reader) calendar(v *value) calendar {
	c := calendar{of: v, length: r.until, stations: map[string]*station{}}
	if r.until <= 0 && !r.steady {
		c.length = unknownLength
	}
	c.starts = r.starts(v.get("starts"))
	if s := v.get("site"); s != nil && !s.partial {
		c.site = &sun.Site{
			Latitude: s.get("latitude").num, Longitude: s.get("longitude").num, Elevation: s.get("elevation").number(0),
			Pressure: s.get("pressure").number(0),
		}
	}
	if !c.starts.IsZero() && c.site != nil {
		from := sun.Seconds(c.starts)
		c.track = sun.NewTrack(from, from+c.length, c.site)
	}
	if s := v.get("stations"); s != nil {
		for _, name := range s.keys {
			c.stations[name] = &station{name: name, v: s.at[name]}
		}
	}
	return c
}

// The years that a run may begin in: those in which ΔT is observed or foretold, and time is kept as it is now.
const firstYear, lastYear = 1950, 2149

// starts reads the moment at which a run begins; the zero time where it is missing or mistaken.
func (r *reader) starts(v *value) time.Time {
	if v == nil {
		return time.Time{}
	}
	const example = `2026-06-21 04:00 +02:00`
	at, zoned, ok := trial.Moment(v.text)
	allowed := fmt.Sprintf("a day and time from %d to %d with its distance from UTC, such as %s", firstYear, lastYear, example)
	switch {
	case !ok:
		r.wrong(v, "not a moment that the calendar has", allowed, `write it year first, as "`+example+`"`)
	case at.Year() < firstYear || at.Year() > lastYear:
		r.wrong(v, "the sun is not asked for that year", allowed, "mend the year")
	case !zoned:
		r.wrong(v, "it does not say in which time zone", allowed, `write the distance from UTC behind it, as "`+v.text+` +01:00", with summer time counted, or "UTC"`)
	default:
		return at
	}
	return time.Time{}
}

// moment shows a time of the run, in s, as the duty's clock does.
func (c *calendar) moment(t float64) string {
	return c.starts.Add(time.Duration(t * 1e9)).Format("2006-01-02 15:04 -07:00")
}

// down tells whether the whole sun stands below the horizon at a time of the run, by a margin of 1°, from which no refraction
// brings it back.
func (c *calendar) down(t float64) bool {
	p := c.track.At(sun.Seconds(c.starts) + t)
	return p.True < -math.Pi/180
}

// needsSun tells whether the sun's place is known, and complains at v where the duty does not say what it takes.
func (r *reader) needsSun(v *value) bool {
	c := &r.cal
	if c.track != nil {
		return true
	}
	const when, where = `"starts: 2026-06-21 04:00 +02:00"`, `"site: {latitude: 47.5 deg, longitude: 8.2 deg, elevation: 420 m}"`
	missing, fix := "", ""
	switch starts, site := c.of.states("starts"), c.of.states("site"); {
	case starts && site:
		return false // one of them is mistaken, which is told
	case starts:
		missing, fix = "does not say where it stands", "add "+where+" to the duty"
	case site:
		missing, fix = "does not say when it begins", "add "+when+" to the duty"
	default:
		missing, fix = "says neither when it begins nor where it stands", "add "+when+" to the duty, and "+where
	}
	r.problemAt(v, v.path+": where the sun stands is not known: the duty "+missing, "a duty with starts and site", fix)
	return false
}

// states tells whether a mapping has a key, mistaken or not.
func (v *value) states(key string) bool {
	if v == nil {
		return false
	}
	for i := 0; i+1 < len(v.node.Content); i += 2 {
		if v.node.Content[i].Value == key {
			return true
		}
	}
	return false
}
