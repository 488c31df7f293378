package trial

import "fmt"

// Pressures of the air in Pa: at sea level by the standard atmosphere (ISO 2533: 101 325 Pa), and below that of any site at
// which a rig is likely to stand (80 kPa, some 1950 m by the same).
const (
	SeaLevelAir = 101325.0
	LeastAir    = 80e3
)

// belowAir doubts a circuit whose recorded pressure lies below the air's while its water flows out by itself: a gauge
// counts from the air, and pressures here are absolute. Nothing is refused for it.
func (s *suspicion) belowAir() {
	for _, i := range s.r.Find(PressureAt) {
		c := &s.r.Columns[i]
		rows, _ := s.flowing(c.Of)
		var here []float64
		for k, p := range s.v(i) {
			if p == p && (rows == nil || rows[k]) {
				here = append(here, p)
			}
		}
		p := typical(here)
		if s.told[i] || len(here) < 3 || !(p < LeastAir) || !(c.factor > 0) {
			continue
		}
		air := SeaLevelAir / c.factor // in the file's unit
		s.tell(i, fmt.Sprintf("%s is %.3g %s while water flows, below the air's pressure; pressures here are absolute", c.Name, p/c.factor, c.Unit),
			fmt.Sprintf("does it count from the air's pressure? Then give \"unit: %s, signal: {factor: 1, shift: %.3g}\", the shift being the air's pressure at the site", c.Unit, air))
		s.found[len(s.found)-1].Doubt = true
	}
}
