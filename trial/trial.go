// Package trial turns loggers' files into a record: what was measured, on one time axis, in SI, and how well each
// column of it is known. A description (Setup) says what each channel of a file is; Decode reads one file from an
// io.Reader in a single pass; Join brings the loggers to one axis.
//
// The rule of the room is that nothing is mended silently. A value that is missing, a row out of order, a spike, a
// stuck sensor, a flow meter that dribbles at standstill: each is found by a stated rule, counted in Record.Repairs
// with the line of the first, and left alone when its key is off. What is taken out becomes a missing value (NaN);
// nothing is ever filled in.
//
// The error of a column is split in two. Noise is independent from sample to sample. Parts are systematic: each is
// one unknown error that lasts the whole trial, and columns whose parts carry the same group share that error, as
// two thermocouples do on one logger. Standard uncertainties are meant throughout (JCGM 100:2008).
//
// Left out: names of time zones with summer time (a zone is UTC or a distance from it), loggers whose clock runs at
// a wrong rate, and files that are not text. Nothing here opens a file, and no logger's file is ever written to.
//
//	log, findings := trial.Decode(file, &setup.Sources[0], setup.Repairs)
//	record, more := trial.Join(&setup, []*trial.Log{log})
package trial

import (
	"math"
	"time"

	"emberbank/history"
)

// Record is one trial: what all its loggers measured, on one time axis.
type Record struct {
	Name     string
	Start    time.Time       // the moment of History.Time == 0, in the trial's zone; zero where only elapsed time is known
	Zoned    bool            // whether Start's zone is known
	History  history.History // Time rising from 0 in s; NaN where there is no value; columns are named as those of a run
	Columns  []Column        // beside History.Columns: the same order and length
	Interval float64         // s, median distance of rows
	Gaps     []Span          // stretches without rows, longer than the limit; an integral over one is a guess
	Repairs  []Repair        // everything that was mended or left out, with counts
	Phases   []Phase         // given by hand in the description
	Notes    []string        // what was found of layout, clock and noise
}

// Rows is a column at rows of its own.
type Rows struct {
	Time   []float64 // s from the start of the record, rising; shared by the columns of one logger
	Values []float64 // SI; NaN where there is no value
}

// Span is a stretch of time in s from the start of the record.
type Span struct{ From, To float64 }

// Phase is a stretch of the trial that is of one kind.
type Phase struct {
	Name     string
	Kind     string  // heat-up, hold, drain or cool
	From, To float64 // s from the start of the record
}

// Repair is one kind of thing that was found in one file or column.
type Repair struct {
	Key    string // under "repairs:" in the description: "off" leaves it alone
	File   string
	Column string // of the history; "" for whole rows
	Count  int    // of values or rows
	Line   int    // of the first, in the file; 0 where it has none
	What   string // a sentence
	Mended bool   // false: seen, and left as it is
}

// Column says where a column of the history came from and how well it is known.
type Column struct {
	Name          string
	Quantity      history.Quantity
	Role          Role
	Of            string // circuit of Inlet, Outlet, Flow, PressureAt and PressureDrop; heater of HeaterPower
	File, Heading string
	Sensor        string      // as described, such as "thermocouple K, class 2"
	Position      *[3]float64 // m, depth, width and height in the receiver's coordinates; nil where not given
	Lag           float64     // s, time constant of the sensor
	Resolution    float64     // SI, least step between readings; 0 where unknown
	Least         float64     // SI, of a flow meter: where it reads zero the true flow lies between 0 and this
	Noise         float64     // SI, standard uncertainty that is independent from sample to sample of its own logger
	NoiseGiven    bool        // false: estimated from the data
	Parts         []Part
	Unit          string // of the numbers in the file, such as "degC"
	// Rows is what the column's own logger wrote, at its own rows, with one row beyond each end of the record where there is
	// one; nil where the record's rows are its own. Between them the column of the history is drawn, and knows nothing more.
	Rows     *Rows
	Step     float64   // s, distance of the own rows
	below    []float64 // kg/s, of a flow meter all of whose readings lay below Least: what they were; else nil
	rounding float64   // SI, of one step of the last decimal in the file
	source   int
	channel  int
	factor   float64 // SI for one of Unit
	offset   float64 // of Unit's zero, for temperatures
}

// Role is what a column means to the heat balance.
type Role int

// The roles of columns.
const (
	Other        Role = iota
	Body              // a temperature in or on the receiver
	Inlet             // temperature of the water of a circuit
	Outlet            // the same where it leaves
	Flow              // mass flow of a circuit, kg/s
	PressureAt        // Pa, absolute
	PressureDrop      // Pa
	Ambient           // temperature of the air
	Irradiance        // W/m² on the plane of the window or collector
	LampPower         // W, electric
	LightPower        // W on the window
	HeaterPower       // W, electric
	Wind              // m/s
	SourceAt          // temperature of what heats the receiver
)

// String returns the role in words.
func (r Role) String() string {
	return [...]string{
		"other", "temperature of the receiver", "inlet", "outlet", "flow", "pressure", "pressure drop", "ambient", "irradiance",
		"lamp power", "light power", "heater power", "wind", "temperature of the source",
	}[r]
}

// Part is one systematic error, as a standard uncertainty. Columns with a part of the same group share that very
// error; parts of different groups are independent.
type Part struct {
	Group    string  // "own core", "logger a.csv", "calibration cal-7", "pair water"
	What     string  // "tolerance, IEC 60584-1 class 2", "given", "drift"
	Constant float64 // SI
	Relative float64 // of the distance from Zero
	Zero     float64 // SI: 273.15 for temperatures, which are K, else 0
	Larger   bool    // the larger of the two counts; else the root of their squares
	DoF      float64 // degrees of freedom; +Inf where it is taken as known
}

// At returns the part's standard uncertainty at a reading v, both in SI.
func (p Part) At(v float64) float64 {
	r := p.Relative * math.Abs(v-p.Zero)
	if p.Relative == 0 {
		r = 0
	}
	if p.Larger {
		return math.Max(p.Constant, r)
	}
	return math.Hypot(p.Constant, r)
}

// Systematic returns the standard uncertainty of all systematic parts together at a reading v, both in SI.
func (c *Column) Systematic(v float64) float64 { return math.Sqrt(Covariance(c, c, v, v)) }

// Covariance returns the covariance of the systematic errors of two columns at the readings va and vb, in the
// product of their SI units:
//
//	u(a, b) = Σ u_g(va) u_g(vb) over the groups g that both have
//
// Source: JCGM 100:2008, F.1.2.3: errors that stem from one and the same input are fully correlated.
func Covariance(a, b *Column, va, vb float64) float64 {
	sum := 0.0
	for i := range a.Parts {
		for j := range b.Parts {
			if a.Parts[i].Group == b.Parts[j].Group && (a != b || i == j) {
				sum += a.Parts[i].At(va) * b.Parts[j].At(vb)
			}
		}
	}
	return sum
}

// Find returns the indices of the columns that have a role.
func (r *Record) Find(role Role) []int {
	var out []int
	for i := range r.Columns {
		if r.Columns[i].Role == role {
			out = append(out, i)
		}
	}
	return out
}

// Index returns the index of the column of that name, or -1.
func (r *Record) Index(name string) int {
	for i := range r.Columns {
		if r.Columns[i].Name == name {
			return i
		}
	}
	return -1
}

// Length returns the time from the first row to the last in s.
func (r *Record) Length() float64 {
	if n := len(r.History.Time); n > 0 {
		return r.History.Time[n-1]
	}
	return 0
}

// Finding is a mistake or a doubt about a trial, in the house form: what is wrong, and how to mend it.
type Finding struct {
	Source  int // index of the logger in Setup.Sources, -1 where none is meant
	Channel int // index in the source's Channels, -1
	Key     string
	Line    int // in the logger's file, from 1; 0 where the description is meant
	Column  int // cell in that line, from 1
	Message string
	Allowed string
	Fix     string
	Doubt   bool // a warning: the record can be used
}

// InFile takes a reading from SI to the numbers of the logger's file, in Unit; a flow of volume that became one of mass is
// not taken back.
func (c *Column) InFile(v float64) float64 {
	if c.factor == 0 {
		return v
	}
	return v/c.factor - c.offset
}
