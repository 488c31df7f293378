package heat

import (
	"emberbank/block"
	"emberbank/history"
)

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

// Body is the grid, and the part of each cell, -1 for air. Neither changes during a run.
func (s Sight) Body() (g *block.Grid, part []int16) { return s.m.b.g, s.m.b.part }

// Chains are those of all rows so far, in their order. They go on growing, and gains are filled in later, so whoever keeps
// them copies them.
func (s Sight) Chains() []Chain { return s.m.rec.chains.list }

// Books is the ledger of the run up to this moment. Of two rows the difference is what came and went between them. Within a
// time step cells and rates are followed each by itself; what they are apart counts to what the block stores, and Residual is
// that of the step's end.
func (s Sight) Books() Ledger {
	m, x := s.m, 1.0
	if m.t < m.last.to {
		x = (m.t - m.last.from) / m.last.tau
	}
	return m.rec.ledger(m.rec.present.content, x)
}
