package trial

import (
	"time"

	"emberbank/history"
	"emberbank/unit"
)

// Setup is what a trial's description says, in SI.
type Setup struct {
	Name    string
	Sources []Source
	Axis    int // index of the source whose rows make the time axis; -1: the one with the shortest interval
	Zone    *time.Location
	From    float64 // s from the first common moment: rows before are left out
	To      float64 // s; 0: to the end
	Gap     float64 // s, a longer distance of rows is a gap; 0: three intervals
	Repairs Repairs
	Phases  []Phase
}

// Source is one logger's file and what it holds.
type Source struct {
	Name     string // as it is named in messages
	Layout   Layout
	Clock    Clock
	Missing  []string // further codes for a missing value, as they stand in the file
	Accuracy float64  // K, standard: the logger's own part of a temperature's error, shared by its channels
	Share    float64  // the same of other quantities, relative to the reading
	Channels []Channel
}

// Layout is how a file is laid out. Zero values are found from its first lines.
type Layout struct {
	Separator Separator
	Widths    []int // characters, of columns of fixed width
	Decimal   byte  // '.' or ','; 0: found
	Skip      int   // lines before the headings; -1: found
	Headings  int   // lines of headings: 0 to 3; -1: found
}

// Separator parts the cells of a line.
type Separator int

// The ways in which cells are parted.
const (
	FoundSeparator Separator = iota
	Comma
	Semicolon
	Tab
	Blanks // one or more
	Fixed  // by Widths, or by the blanks that all lines share
	Pipe   // vertical bars
)

// String returns the separator in words.
func (s Separator) String() string {
	return [...]string{"found", "commas", "semicolons", "tabs", "blanks", "fixed widths", "vertical bars"}[s]
}

// Ref names a column of a file: by its heading, or by its number from 1.
type Ref struct {
	Heading string
	Number  int
}

// Given tells whether the reference names anything.
func (r Ref) Given() bool { return r.Heading != "" || r.Number > 0 }

// Clock says where the time of a row stands.
type Clock struct {
	Kind                             ClockKind
	Column                           Ref     // date-time, or date alone, or elapsed time
	Time                             Ref     // time of day beside a date
	Unit                             float64 // s, of elapsed time
	Order                            DateOrder
	Year, Month, Day, DayOfYear      Ref
	Hour, Minute, Second, HourMinute Ref // HourMinute as 930 for 9:30, up to 2400
	DecimalHour                      Ref
	FixedYear                        int            // where no column gives it; also of the first row where days run over new year
	Since                            *time.Time     // moment of elapsed time zero
	SinceZoned                       bool           // whether Since's zone was stated
	Zone                             *time.Location // of the file's clock; nil: as the cells say, else the trial's
	Offset                           float64        // s, added to what the clock says
	Align                            *Align
}

// Align asks for the offset between two loggers' clocks to be found from two columns that show the same thing.
type Align struct {
	Channel, With string  // names of history columns, this file's and another's
	Within        float64 // s, the largest offset looked for
}

// ClockKind is the form of a clock.
type ClockKind int

// The forms of clocks.
const (
	FoundClock ClockKind = iota
	Elapsed
	DateTime
	Parts // columns of year, day of year, hour …
)

// DateOrder is the order of a date's numbers.
type DateOrder int

// The orders; a date that begins with four digits is always year, month, day.
const (
	FoundOrder DateOrder = iota
	YearMonthDay
	DayMonthYear
	MonthDayYear
)

// Channel is one column of a file that is wanted.
type Channel struct {
	Column      Ref
	Name        string // of the history's column
	Role        Role
	Of          string
	Quantity    history.Quantity
	Volume      bool   // a flow of volume, which becomes one of mass by the density at the meter
	At          string // for a flow of volume: name of the temperature column at the meter; "": the circuit's inlet
	Unit        string // of the numbers in the file; "": as the heading says, see Conversion
	Conversion  unit.Conversion
	Signal      *Signal
	Correction  *Table // added to the reading, over the reading, in SI
	Quality     Ref    // a column of quality codes beside
	Good        []float64
	Hold        bool // a value lasts until the next row, as a switched power does; else straight lines
	Sensor      string
	Position    *[3]float64
	Lag         float64
	Least       float64 // kg/s, also of a flow of volume, with 1000 kg/m³, as in Noise and Parts
	Noise       float64 // SI, standard; 0: estimated
	Parts       []Part
	Repairs     Repairs // set where they differ from the trial's
	SpikeHeight float64 // SI, of the least spike; 0: found
}

// Signal says how the numbers of a file, an electric signal or another raw number, become the quantity.
type Signal struct {
	Unit          string  // V, mV, A, mA, or "" for plain numbers
	Factor, Shift float64 // value = Shift + Factor·signal, in the channel's Unit; used where Table is nil
	Table         *Table  // from the signal to the value in the channel's Unit
	Couple        string  // "K" or "N": a thermocouple's voltage
	Junction      string  // name of the history column with the temperature of the cold junction; "" 0 °C
}

// Table is a calibration by points, with straight lines between them.
type Table struct{ X, Y []float64 }

// At returns the value at x and whether x lies within the points or close to their ends, by 2.5 % of the span: a loop
// of 4 to 20 mA is good from 3.6 to 20.4.
func (t *Table) At(x float64) (y float64, within bool) {
	n := len(t.X)
	if n == 1 {
		return t.Y[0], true
	}
	i := 1
	for i < n-1 && x > t.X[i] {
		i++
	}
	y = t.Y[i-1] + (t.Y[i]-t.Y[i-1])*(x-t.X[i-1])/(t.X[i]-t.X[i-1])
	slack := 0.025 * (t.X[n-1] - t.X[0])
	return y, x >= t.X[0]-slack && x <= t.X[n-1]+slack
}

// hold returns the value at x, that of the end points outside.
func (t *Table) hold(x float64) float64 {
	y, _ := t.At(min(max(x, t.X[0]), t.X[len(t.X)-1]))
	return y
}

// Switch is a repair's state.
type Switch int

// The states of a repair.
const (
	Unset Switch = iota
	On
	Off
)

// Repairs says what may be mended. Unset means on, with the exceptions named.
type Repairs struct {
	Missing    Switch // codes for a missing value
	Garbled    Switch // cells and rows that cannot be read
	Quality    Switch // values that their quality code calls doubtful
	Duplicates Switch // rows with the stamp of the row before
	Backward   Switch // rows whose stamp goes back
	Shift      bool   // a clock that was set back is taken to run on from there
	Range      Switch // signals outside their calibration
	Spikes     Switch // single values far from their neighbours; unset: on for temperatures and pressures
	Stuck      Switch // long runs of one value; unset: on for temperatures and pressures
	Dribble    Switch // flows too small for the meter
}

// over returns the repairs of a channel where it has its own, else the trial's.
func (r Repairs) over(c Repairs) Repairs {
	pick := func(a, b Switch) Switch {
		if b != Unset {
			return b
		}
		return a
	}
	r.Missing, r.Garbled, r.Quality = pick(r.Missing, c.Missing), pick(r.Garbled, c.Garbled), pick(r.Quality, c.Quality)
	r.Range, r.Spikes = pick(r.Range, c.Range), pick(r.Spikes, c.Spikes)
	r.Stuck, r.Dribble = pick(r.Stuck, c.Stuck), pick(r.Dribble, c.Dribble)
	return r
}
