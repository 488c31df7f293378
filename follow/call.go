package follow

import (
	"math"

	"emberbank/history"
	"emberbank/trial"
)

// CallKind is a kind of call-out.
type CallKind int

// The kinds of call-outs.
const (
	Lost     CallKind = iota // a channel has no readings
	Standing                 // a channel stands still while others move
	Back                     // a channel reads again
	Silent                   // a logger writes no rows
	Heard                    // it writes again
	Near                     // a limit is near
	Passed                   // a limit is passed
	Clear                    // neither near nor passed any more
	Departed                 // measured departs from predicted beyond the band
	Returned                 // it is within again
	Reached                  // a target is reached
	Beyond                   // conditions leave the envelope in which the matched model was trusted, or will
	Inside                   // they are inside again
)

// Word returns the kind as machines read it.
func (k CallKind) Word() string {
	return [...]string{"lost", "standing still", "back", "silent", "heard again", "near", "passed", "clear", "departed", "returned", "reached", "outside the envelope", "inside the envelope"}[k]
}

// Call is something to be called out. Numbers are SI.
type Call struct {
	Kind      CallKind
	Channel   string
	Quantity  history.Quantity
	Source    int     // index of the logger
	At        float64 // s from the trial's start
	Value     float64 // the reading; of Departed the mean difference of measured less predicted
	Limit     Limit   // of Near, Passed and Clear
	Boundary  float64 // of Departed: beyond which a difference is called
	Predicted float64 // of Departed
	Since     float64 // s, of Lost and Silent
	Left      Left    // of Near: to the limit
	Outside   Outside // of Beyond
}

// Now is what one channel says.
type Now struct {
	Name      string
	Source    int // index of the logger
	Quantity  history.Quantity
	Role      trial.Role
	Value     float64 // SI; NaN where it never had one
	At        float64 // s from the trial's start, of that reading
	Age       float64 // s
	Lost      bool
	Standing  bool
	Rate      float64 // SI per s, of the last minutes; NaN unknown
	Predicted float64 // SI at At; NaN where there is none
	Band      float64 // half-width at 95 % about it, for one reading
	Mean      float64 // difference of measured less predicted, averaged; NaN
	Boundary  float64 // beyond which Mean is a departure
	Moved     float64 // by which the model's course is moved for the time left; NaN
	MovedBand float64 // half-width at 95 % about it
	Judged    float64 // s, up to when it was judged
	Departed  bool
	Targets   []Waiting
	Limits    []Limit // those that are near or passed
}

// Waiting is a target that is waited for.
type Waiting struct {
	Target
	Left
	Reached bool
}

// Left is the time left until a course comes to a level.
type Left struct {
	Time   float64 // s from the newest reading; +Inf: not in sight, NaN: unknown
	Lower  float64 // s, 95 % interval
	Upper  float64 // s; +Inf: it may never be
	By     string  // "model", "exponential course", "straight course", "" unknown
	Within float64 // s, how far ahead was looked
}

// unknown is a time of which nothing can be said.
func unknown() Left { return Left{Time: math.NaN(), Lower: math.NaN(), Upper: math.NaN()} }
