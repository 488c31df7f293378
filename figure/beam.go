package figure

import "math"

// Went is where a part of a beam ends.
type Went struct {
	Name  string
	Power float64 // W
}

// Beam draws where the beam on a dish's aperture goes: each stream is as wide as its power, in the colour of light, and what
// nothing goes to is a dry bed, dashed.
func Beam(title, source string, to []Went, at Place) []byte {
	f := printedLedger
	if at.onPage() {
		f = ledgerOn(at.Wide)
	}
	all := 0.0
	for _, w := range to {
		all += w.Power
	}
	watts := powerScale(all)
	b := &booked{perPixel: all / f.full, heads: [2]string{watts.Unit, "share"}, caption: "Where the beam goes"}
	b.sides[0] = []bookedLine{{Entry{source, "light", all}, watts.Short(all), "", watts.Short(all) + thin + watts.Unit}}
	for _, w := range to {
		l := bookedLine{Entry: Entry{w.Name, "light", math.Max(0, w.Power)}, first: watts.Short(w.Power)}
		if all > 0 {
			l.second = Percent(w.Power / all)
		}
		b.sides[1] = append(b.sides[1], l)
	}
	b.says = []string{"Width is power; a dashed bed carries none."}
	b.desc = b.caption + ", of " + b.sides[0][0].beneath + " on the dish's aperture."
	return f.draw(b, title)
}
