package sun

import "math"

// trackStep is the distance of a track's knots in s. Half a day keeps cubic interpolation within 1e-7 degrees of At: the
// quickest part of the nutation has a period of 5 days and 0.04 seconds of arc.
const trackStep = 43200

// Track is the sun over one site through a stretch of time: what changes slowly is laid on knots, so that an instant
// costs a tenth of At. It allocates nothing once it is laid, and may be asked by several goroutines.
type Track struct {
	site  Site
	place place
	from  float64
	knots []knot
}

// knot is the apparent sun at one instant.
type knot struct {
	ascension   float64 // rad, running on over the years
	declination float64
	distance    float64
	equinoxes   float64 // rad, of apparent over mean sidereal time
}

// NewTrack lays the sun over a site from one instant to another, with ΔT by DeltaT.
func NewTrack(from, to float64, site *Site) *Track {
	tr := &Track{site: *site, place: newPlace(site), from: from - 2*trackStep}
	n := int(math.Ceil((max(to, from)-from)/trackStep)) + 5
	tr.knots = make([]knot, n)
	for i := range tr.knots {
		t := tr.from + float64(i)*trackStep
		a := Appear(t, DeltaT(t))
		k := knot{ascension: a.Ascension, declination: a.Declination, distance: a.Distance, equinoxes: half(a.Sidereal - meanSidereal(t))}
		if i > 0 {
			before := tr.knots[i-1].ascension
			k.ascension = before + half(k.ascension-before)
		}
		tr.knots[i] = k
	}
	return tr
}

// At returns the sun's position at an instant of the track, within 1e-7 degrees of what the function At gives; outside of
// the track it asks that.
func (tr *Track) At(t float64) Position {
	k, ok := tr.apparent(t)
	if !ok {
		return At(t, DeltaT(t), &tr.site)
	}
	return tr.place.see(meanSidereal(t)+k.equinoxes, k.ascension, k.declination, k.distance)
}

// Day returns the day of the sun to which an instant belongs, as DayOf.
func (tr *Track) Day(t float64) Day {
	return dayOf(t, &tr.site, func(t float64) (sidereal, ascension, declination float64) {
		if k, ok := tr.apparent(t); ok {
			return meanSidereal(t) + k.equinoxes, k.ascension, k.declination
		}
		a := Appear(t, DeltaT(t))
		return a.Sidereal, a.Ascension, a.Declination
	})
}

// apparent interpolates between the knots, cubic through the two on either side.
func (tr *Track) apparent(t float64) (k knot, ok bool) {
	x := (t - tr.from) / trackStep
	i := int(x)
	if !(x >= 1) || i+2 >= len(tr.knots) {
		return knot{}, false
	}
	x -= float64(i)
	w := [4]float64{-x * (x - 1) * (x - 2) / 6, (x + 1) * (x - 1) * (x - 2) / 2, -(x + 1) * x * (x - 2) / 2, (x + 1) * x * (x - 1) / 6}
	for j, f := range w {
		o := &tr.knots[i-1+j]
		k.ascension += f * o.ascension
		k.declination += f * o.declination
		k.distance += f * o.distance
		k.equinoxes += f * o.equinoxes
	}
	return k, true
}
