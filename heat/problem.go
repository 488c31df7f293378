// Package heat is the core: it lays the grid over a receiver, marches the enthalpy of the solid through time
// together with the water in the passes and the window's pane, and keeps the ledger. SI in, SI out; it knows
// nothing of files, units as text, the web or the command line.
package heat

import (
	"emberbank/block"
	"emberbank/duty"
	"emberbank/film"
	"emberbank/history"
	"emberbank/kernel"
	"emberbank/receiver"
)

// Problem is one run: a receiver, a duty, and what is wanted of them.
type Problem struct {
	Receiver   receiver.Receiver
	Duty       duty.Duty
	Grid       GridPlan
	Initial    float64   // K, of every part that states none
	Until      float64   // s
	Steady     bool      // solve for the steady state under the duty at time 0; Until and Output do not count
	Output     []float64 // s, rising, of the history's rows; the first is 0
	FieldTimes []float64 // s, at which temperature fields are kept; a steady run always keeps its field
	// ProfileTimes are the times, in s, rising, at which profiles along the circuits are kept; nil: those of the fields. A
	// steady run always keeps its own. Unlike those of fields they never bound a step.
	ProfileTimes []float64
	Probes       []Probe
	Tolerance    float64 // K, error of temperature that a time step may make; 0: DefaultTolerance
	// Hasty asks for a first answer soon, to be followed by a better one: with the tolerance grows what the water and a
	// melting front may err by, a control's flow is found a hundred times less closely, and no gains of chains are tried.
	// Books close as ever.
	Hasty       bool
	Laws        film.Choice     // correlations of water that boils
	Films       float64         // -1..1, part of its own spread at which each computed film inside tubes is taken; 0: as computed
	Threads     int             // 0: all cores
	Kernel      *kernel.Set     // the hottest loops; nil: the fastest that the processor runs
	Progress    func(t float64) // called now and then with the time reached; may be nil
	Seen        func(s Sight)   // called at every row of the history, in their order; may be nil
	TouchLimit  float64         // K, for touchable surfaces; 0: none
	TouchSource string
}

// GridPlan says how cells are laid. Either Counts or Lines may fix the grid; it is then not moved to the passes.
type GridPlan struct {
	Counts   [3]int       // cells along each direction, uniform over the whole body; all zero: laid by itself
	Lines    [3][]float64 // m, given edges
	Size     float64      // m, target cell size in the block; 0: chosen from the block and its passes
	PerLayer int          // least number of cells through a layer; 0: 3
	Refine   float64      // factor on the number of cells along each direction; 0: 1
}

// Probe is a place whose temperature is recorded.
type Probe struct {
	Name string
	Kind ProbeKind
	At   block.Point // m
	To   block.Point // m, for fronts: the line runs from At to To
	Lag  float64     // s, time constant of a sensor
	// Immersion is the share of a sensor's reading that comes from its place; the rest comes from the ambient.
	Immersion float64
	Frozen    bool // a front's length of frozen instead of melted medium
}

// ProbeKind tells what a probe records.
type ProbeKind int

// What a probe records.
const (
	Ideal  ProbeKind = iota
	Sensor           // lags, and reads short by its immersion
	Front            // length of melted (or frozen) medium along a line
)

// Result is what a run gives. After a cancelled run it holds what is done so far.
type Result struct {
	Grid     *block.Grid
	Part     []int16 // part of each cell, -1 for air
	History  history.History
	Ledger   Ledger
	Fields   []Field
	Profiles []Profile
	Chains   []Chain
	Left     []Left    // water and steam that left, by circuit
	Served   *Served   // what became of the duty's load; nil: it has none
	Account  *Account  // nil: the run has no load and is shorter than a day
	Fillings []Filling // first transits of the water through circuits that began to flow
	// FilmsUsed tells whether heat passed through any film inside a tube that was computed, and not stated.
	FilmsUsed bool
	Films     []FilmUse // films inside tubes that were outside the range of their correlation
	Cautions  []Caution
	Warnings  []string
	Events    []Mark // what was switched, when and why
	Cells     int    // cells of solid
	Steps     int
	Rejected  int
	Stages    int    // evaluations of the heat flows
	Kernel    string // name of the loops that computed it
	Ended     float64
	Stopped   string // why the run ended before its time, "" if it did not
	// Residual is the largest imbalance of the ledger over the run as a fraction of the energy exchanged, or of
	// a millionth of the heat content where that is larger.
	Residual float64
}

// Mark is an event on the time axis.
type Mark struct {
	At   float64 // s
	What string
}

// Field is the state of the solid at one time.
type Field struct {
	Time        float64   // s
	Temperature []float64 // K by cell; NaN in air
	Melted      []float64 // 1 by cell
}

// Ledger is where the energy went over the whole run, in J, and at each output time in the history.
type Ledger struct {
	Absorbed  float64 // light absorbed by the block
	Glass     float64 // light absorbed by the pane
	Electric  float64
	Generated float64
	Stored    float64 // rise of the heat content of everything inside
	StoredBy  []Share // by part, pane and water; Stored is their sum
	Latent    float64 // the part of Stored that is latent
	ToPasses  float64 // left the solid into the passes
	ByPass    []Share
	Carried   float64 // carried off by the water: outflow less inflow of enthalpy
	ByCircuit []Share
	Lost      float64
	ByPath    []Share
	Residual  float64 // J, what is left over at the end
	Steady    bool    // a steady state: every amount is a heat flow rate in W
}

// Share is a named amount in J.
type Share struct {
	Name   string
	Amount float64
}

// Chain is the resistances between block and water of one pass at one time.
type Chain struct {
	Time  float64
	Pass  string
	State string  // "flowing", "closed", "drained", "fixed fluid"
	Block float64 // K, mean of the block
	Water float64 // K, mean along the pass
	Heat  float64 // W
	// Filling tells that the circuit still holds water that stood in its tubes when it began to flow: see Filling.
	Filling bool
	Links   []Link // in order from the block to the water
}

// Link is one resistance of the chain.
type Link struct {
	Name       string  // "block", "spreading", "contact", "tube wall", "film", "water heating up", "boiling point"
	Resistance float64 // K/W for the whole pass
	Share      float64 // of the drop from the block's mean to the water at the inlet; sums to one
	// Gain is by how much more heat the pass would take, as a share of what it takes, if this link conducted a tenth
	// better along the whole circuit, or for "water heating up" if a tenth more water flowed: found by trial, by a steady
	// flow past the cells as hot as they are. NaN for the block and the boiling point, where nothing flows, and in rows that
	// were not tried: see chains.worth.
	Gain float64
}

// Caution is a danger that the run showed, in plain words with its number and the source of the limit.
type Caution struct {
	Kind   string  // one of the constants Kind…, which say what value and limit are
	At     float64 // s, when it first arose
	Place  string
	Value  float64 // SI
	Limit  float64 // SI
	Text   string
	Source string
}

// DefaultTolerance is the error of temperature, in K, that a time step may make where the problem says nothing.
const DefaultTolerance = 0.1
