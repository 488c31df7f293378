// Package duty describes what is done to a receiver over time, as plain values in SI: light, heat, weather,
// water, cover, events at stated times and rules that switch. It computes nothing of heat. Temperatures are in
// K, times in s from the start of the run.
package duty

import "slices"

// Duty is what is done over time.
type Duty struct {
	Ambient Signal // K, of the air
	Sky     Signal // K, effective radiating temperature; empty: the ambient
	Ground  Signal // K; empty: the ambient
	Wind    Signal // m/s; empty: still air
	// Tilt is the angle of the window's outward normal below the horizontal, in rad: 0 looks sideways, π/2
	// straight down, -π/2 up.
	Tilt     Signal
	Light    *Light
	Heaters  []Signal  // W, one for each of the receiver's heaters, in order
	Water    []Water   // one for each circuit, in order
	Pumps    []Pump    // circuits that share one pump
	Switches Switches  // at the start
	Events   []Event   // by rising time
	Rules    []Rule    // looked at after each step, in order
	Throttle []Control // flows that are set to hold what leaves
	Load     *Load     // what is wanted of the water; nil: nothing
}

// Light is the flux on the window.
type Light struct {
	Power    Signal // W: total on the window's opening; or W/m²: the peak, where Peak is set
	Peak     bool
	Absorbed bool // the power is what the block absorbs: neither glass nor absorptance is applied
	Map      Map
	// Angles are the shares of the power by angle of incidence on the window, in equal bins from 0 to π/2; nil: it falls
	// straight on.
	Angles []float64
}

// Map is the flux's shape over the window plane: its values only count relative to one another.
type Map struct {
	Kind                    MapKind
	Centre                  [2]float64 // m, width and height, for Gaussian
	Sigma                   [2]float64 // m, along width and height: flux = exp(-x²/(2σ²))
	Floor                   float64    // of a Gaussian: share of the power on the opening that is spread evenly under it, below 1
	TableWidth, TableHeight []float64  // m, rising: cell centres of a table
	Table                   []float64  // flux at (width i, height j) at i + j*len(TableWidth)
}

// MapKind is the form of a flux map.
type MapKind int

// The forms of flux map.
const (
	Uniform MapKind = iota
	Gaussian
	Table // bilinear between its points, constant beyond
)

// Water feeds one circuit.
type Water struct {
	Flow     Signal // kg/s, of the circuit; ignored where a pump or a control sets it
	Inlet    Signal // K
	Pressure Signal // Pa, absolute, at the outlet
}

// Pump feeds circuits in parallel; the flow divides so that all have the same pressure drop.
type Pump struct {
	Flow     Signal // kg/s in total
	Circuits []int
}

// Control sets a circuit's flow between limits so that what leaves it holds a value.
type Control struct {
	Circuit  int
	Holds    Held
	Value    float64 // K, 1, K, kg/s or W, by Holds
	Min, Max float64 // kg/s
	Serves   float64 // K, with HoldHeat: what leaves is no colder; 0: at any temperature
}

// Held is what a control holds.
type Held int

// What a control can hold.
const (
	HoldTemperature Held = iota // K
	HoldQuality                 // 1, share of vapour by mass
	HoldSuperheat               // K above saturation at the outlet's pressure
	HoldSteam                   // kg/s of vapour, by the least flow that makes it
	HoldHeat                    // W carried by the water
)

// WaterState is what stands in a circuit's tubes.
type WaterState int

// What stands in a circuit's tubes.
const (
	Drained WaterState = iota // empty: no heat passes
	Flowing
	Closed // valves shut on what stands in them
	Open   // standing: the inlet shut, the outlet open at the outlet's pressure
)

// Switches is what rules and events set.
type Switches struct {
	Light     bool
	CoverShut bool
	Water     []WaterState // one for each circuit
	Heaters   []bool       // one for each heater
	FlowShare []float64    // one for each circuit: factor on its flow signal
}

// Clone returns a copy that shares nothing.
func (s Switches) Clone() Switches {
	s.Water = append([]WaterState(nil), s.Water...)
	s.Heaters = append([]bool(nil), s.Heaters...)
	s.FlowShare = append([]float64(nil), s.FlowShare...)
	return s
}

// Action sets one switch.
type Action struct {
	What  Target
	Index int     // of the circuit or heater
	Value float64 // 0 or 1 for light, cover (1: shut) and heater; a WaterState for water; a factor for flow
}

// Target is what an action sets.
type Target int

// What an action can set.
const (
	SetLight Target = iota
	SetCover
	SetWater
	SetHeater
	SetFlowShare
	StopRun
)

// Apply sets the switch; it tells whether the action asks the run to stop.
func (a Action) Apply(s *Switches) (stop bool) {
	switch a.What {
	case SetLight:
		s.Light = a.Value != 0
	case SetCover:
		s.CoverShut = a.Value != 0
	case SetWater:
		s.Water[a.Index] = WaterState(a.Value)
	case SetHeater:
		s.Heaters[a.Index] = a.Value != 0
	case SetFlowShare:
		s.FlowShare[a.Index] = a.Value
	case StopRun:
		return true
	}
	return false
}

// Strip takes actions out of events and rules, which are copied: those that out tells.
func (d *Duty) Strip(out func(Action) bool) {
	d.Events, d.Rules = slices.Clone(d.Events), slices.Clone(d.Rules)
	for i := range d.Events {
		d.Events[i].Do = slices.DeleteFunc(slices.Clone(d.Events[i].Do), out)
	}
	for i := range d.Rules {
		r := &d.Rules[i]
		r.Do, r.Else = slices.DeleteFunc(slices.Clone(r.Do), out), slices.DeleteFunc(slices.Clone(r.Else), out)
	}
}

// GoOn takes out of events and rules what would end a run: runs that are compared have the same rows.
func (d *Duty) GoOn() { d.Strip(func(a Action) bool { return a.What == StopRun }) }

// Event sets switches at a time.
type Event struct {
	At    float64 // s
	Every float64 // s, after which it comes again and again; 0: it comes once
	Name  string
	Do    []Action
}

// Rule sets switches when a watched value crosses a threshold. It acts when the value comes to lie beyond the
// threshold (above or below), and again only after it has come back by Hysteresis; Else acts then.
type Rule struct {
	Name       string
	Watch      Watch
	Above      bool    // acts at or above the threshold, else at or below
	Threshold  float64 // SI
	Hysteresis float64 // SI, at least 0
	After      float64 // s, not before this time
	Do, Else   []Action
	Once       bool
}

// Watch names the value that a rule looks at.
type Watch struct {
	What  Watched
	Index int    // of the circuit
	Probe string // name of a probe or sensor
}

// Watched is a kind of value.
type Watched int

// What a rule can look at.
const (
	WatchProbe     Watched = iota // K
	WatchBlockMean                // K
	WatchBlockMax                 // K
	WatchOutlet                   // K, of a circuit
	WatchLight                    // W on the window
	WatchMelted                   // 1
	WatchQuality                  // 1, of what leaves a circuit: below 0 for liquid, above 1 for superheated steam
	WatchSteam                    // kg/s of vapour, leaving a circuit
	WatchPressure                 // Pa, in a circuit: at its outlet, or of what is shut in
)
