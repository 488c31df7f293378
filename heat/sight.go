package heat

import "emberbank/history"

// Sight is a run seen at the moment of one row of its history while it is computed. It looks and changes nothing: a run
// that is watched gives the same bytes as one that is not. It is good only until the call that got it returns.
type Sight struct{ m *march }

// Time is the moment of the row, in s.
func (s Sight) Time() float64 { return s.m.t }

// History is what has been recorded so far, in SI; the last row is that of this moment. It goes on growing, so whoever
// keeps it copies it.
func (s Sight) History() *history.History { return &s.m.rec.h }

// Field is the state of the solid at this moment, interpolated within the time step as the row is.
func (s Sight) Field() Field { return s.m.field() }

// Water is how every circuit stands along its way at this moment.
func (s Sight) Water() []Profile { return s.m.profiles(nil) }

// Events are what has been switched so far.
func (s Sight) Events() []Mark { return s.m.rec.marks }
