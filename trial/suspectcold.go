package trial

import (
	"fmt"
	"math"
)

// colder doubts a sensor of the receiver that at a start from rest reads below the air and all other places, which
// nothing has cooled: a thermocouple reads so when its cold junction is taken as 0 °C. Nothing is refused for it.
func (s *suspicion) colder() {
	for _, i := range s.body {
		x := s.begin(i)
		if x != x || s.told[i] {
			continue
		}
		low, high, n, air := math.Inf(1), math.Inf(-1), 0, false
		for _, role := range []Role{Body, Ambient} {
			for _, k := range s.r.Find(role) {
				if y := s.begin(k); k != i && y == y {
					low, high, n, air = math.Min(low, y), math.Max(high, y), n+1, air || role == Ambient
				}
			}
		}
		c := &s.r.Columns[i]
		if !air || n < 2 || high-low > 6 || low-x < math.Max(5, 3*c.Systematic(x)) {
			continue
		}
		s.tell(i, fmt.Sprintf("%s begins at %s, %.3g K below the air and all other places of the receiver, which nothing has cooled", c.Name, celsius(x), low-x),
			"is its cold junction recorded (\"signal: {couple: K, junction: …}\"), and are its type and zero right?")
		s.found[len(s.found)-1].Doubt = true
	}
}
