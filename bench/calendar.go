package bench

import (
	"fmt"
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

// down tells whether the whole sun stands below the horizon at a time of the run, by a margin in which neither refraction
// nor the site's own horizon can bring it back.
func (c *calendar) down(t float64) bool {
	const surely = -1.0 / 57.29577951308232
	p := c.track.At(sun.Seconds(c.starts) + t)
	return p.True < surely
}

// needsSun tells whether the sun's place is known, and complains at v where it is not.
func (r *reader) needsSun(v *value) bool {
	c := &r.cal
	if c.track != nil {
		return true
	}
	if c.of == nil || c.of.get("starts") != nil && c.starts.IsZero() || c.of.get("site") != nil && c.site == nil {
		return false // told already
	}
	missing, fix := "when it begins", `add "starts: 2026-06-21 04:00 +02:00" to the duty`
	switch {
	case c.site == nil && c.starts.IsZero():
		missing, fix = "when it begins nor where it stands", fix+`, and "site: {latitude: 47.5 deg, longitude: 8.2 deg, elevation: 420 m}"`
	case c.site == nil:
		missing, fix = "where it stands", `add "site: {latitude: 47.5 deg, longitude: 8.2 deg, elevation: 420 m}" to the duty`
	}
	not := "does not say "
	if c.site == nil && c.starts.IsZero() {
		not = "says neither "
	}
	if c.of.partial && (c.site == nil || c.starts.IsZero()) && (c.of.node != nil && mentions(c.of, "starts", "site")) {
		return false
	}
	r.problemAt(v, v.path+": where the sun stands is not known: the duty "+not+missing, "a duty with starts and site", fix)
	return false
}

// mentions tells whether a mapping has a key of those names, read or mistaken.
func mentions(v *value, keys ...string) bool {
	for i := 0; i+1 < len(v.node.Content); i += 2 {
		for _, k := range keys {
			if v.node.Content[i].Value == k && v.get(k) == nil {
				return true
			}
		}
	}
	return false
}
