package follow

import "math"

// limitState is a limit of one channel.
type limitState struct {
	Limit
	level int // 0 clear, 1 near, 2 passed
	twice bool
}

// watch holds a reading against the channel's limits. A jump from far away counts when a second reading confirms it;
// from near by one reading is enough. It is clear again at one and a half times the distance that counts as near, and no
// longer passed at a quarter of that distance. That a call ends later than it begins is common practice; the shares are our own
// choice.
func (k *channel) watch(f *Follower, at, v float64) {
	for i := range k.limits {
		s := &k.limits[i]
		room := s.At - v // to the limit
		if s.Below {
			room = -room
		}
		level := 0
		switch {
		case room < 0 || s.level == 2 && room < 0.25*s.Near:
			level = 2
		case room <= s.Near || s.level > 0 && room <= 1.5*s.Near:
			level = 1
		}
		if level > 0 && s.level == 0 && !s.twice {
			s.twice = true
			continue
		}
		if level == 0 {
			s.twice = false
		}
		if level == s.level {
			continue
		}
		rises := level > s.level
		s.level = level
		c := Call{Kind: Clear, Channel: k.Name, Quantity: k.Quantity, Source: k.source, At: at, Value: v, Limit: s.Limit, Left: unknown()}
		switch {
		case level == 2:
			c.Kind = Passed
		case level == 1 && rises:
			c.Kind = Near
			c.Left = f.left(k, s.At)
		case level == 1:
			continue // from passed to near: told when it is clear
		}
		f.call(c)
	}
}

// targetState is a target of one channel.
type targetState struct {
	Target
	side    float64 // sign of the distance at the first reading, NaN before it
	reached bool
}

// reach sees whether a settled reading has come to a target from where the channel began.
func (k *channel) reach(f *Follower, at, v float64) {
	for i := range k.targets {
		t := &k.targets[i]
		side := 1.0
		if v < t.At {
			side = -1
		}
		switch {
		case math.IsNaN(t.side):
			t.side = side
		case side != t.side && !t.reached:
			t.reached = true
			f.call(Call{Kind: Reached, Channel: k.Name, Quantity: k.Quantity, Source: k.source, At: at, Value: v, Limit: Limit{Of: k.Name, At: t.At}})
		}
	}
}
