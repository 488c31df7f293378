// Package plan says what a trial will teach before it is done.
//
// Each parameter of interest is moved a little to both sides and the trial is run: the derivatives of what the sensors
// will read. Weighed by what stands between a reading and the truth (the sensors' own errors, noise that lasts, and the
// model's own error, all as a match takes them), and with what is known beforehand, they give the covariance that a match
// of the trial will find: Fisher's information, inverted. The same with one thing done otherwise (a sensor more, a
// stretch longer, another flow, the cover in another state) shows what would help most; the same with longer and longer
// intervals of the logger shows which suffices.
//
//	C = (Jᵀ Σ⁻¹ J + P⁻¹)⁻¹
//
// J are the derivatives by parameters and offsets, Σ is the covariance of the departures, P that of what is known before: a
// parameter's prior, or, where it has none, its bounds as a uniform distribution with a standard deviation of their
// width over √12; and one standard deviation of each offset.
//
// Left out: plans that are changed in more than one thing at a time, and anything beyond the straight-line picture but the
// time of the charge. The room opens nothing and computes no heat itself. The answers are the same for any number of
// workers.
//
// Source: R. A. Fisher, "The design of experiments", 1935 (information); V. V. Fedorov, "Theory of optimal experiments",
// Academic Press 1972, and A. C. Atkinson, A. N. Donev, "Optimum experimental designs", Oxford 1992, chapters 10 and 11
// (the determinant as criterion); cited from memory.
package plan

import (
	"context"
	"math"

	"emberbank/heat"
	"emberbank/history"
	"emberbank/match"
)

// Problem is what is to be planned. Values are SI.
type Problem struct {
	Name       string
	Trials     []Trial
	Parameters []match.Parameter
	Sensors    []Sensor // planned
	Model      ModelError
	Every      float64 // s, logging interval; 0: the longest that suffices
	MayCost    float64 // 1, by so much a longer interval may widen an uncertainty; 0: 0.05
	Target     *Target
	Propose    bool     // let the program propose candidates of the kinds that are not given
	Lattice    [3]int   // places that it proposes along depth, width and height; all zero: 2, 3, 3
	More       []Sensor // candidates
	Changes    []Change // candidates
}

// Trial is a day that is planned.
type Trial struct {
	Name string
	Load match.Loader
}

// Sensor is a column that is measured. Sizes are standard deviations in SI.
type Sensor struct {
	Column  string
	Probe   *heat.Probe // at a place that the run does not read; nil: the run has the column
	Noise   float64     // independent from reading to reading; 0 in a candidate: that of the first planned one of its quantity
	Offset  float64     // of the sensor as a whole
	Lasting float64     // of noise that lasts; 0: as a match begins
	Logger  string      // sensors of one logger share its error
	Shared  float64     // that error
}

// ModelError is what the runs are wrong by, and how long noise lasts; 0 is as a match begins.
type ModelError struct {
	Size  map[history.Quantity]float64 // SI, standard deviation
	Over  float64                      // s, time over which it changes
	Alike float64                      // share of its variance that columns of one quantity have in common
	Lasts float64                      // s, of the sensors' lasting noise
}

// Target is where the charge ends.
type Target struct {
	Column  string
	Reaches float64 // K
}

// Options of Make.
type Options struct {
	Run      match.Runner
	Workers  int // runs at a time; 0: one
	Progress func(stage string, done, total int)
}

// Result is what a plan gives, in SI.
type Result struct {
	Name       string
	Parameters []match.Parameter
	Expected   []Expected
	Covariance [][]float64 // of the parameters, without a match's allowance
	Directions []Direction // from the least to the best known
	Confused   []match.Combination
	Sensors    []Taught
	Candidates []Candidate // the most helpful first
	Best       int         // in Candidates; -1: none helps
	Intervals  []Interval
	Every      float64 // s, at which all the rest is told
	Given      bool    // Every was given
	Suffices   float64 // s
	MayCost    float64
	Charge     *Charge
	Courses    []Course
	Sizes      []Size
	Cautions   []heat.Caution
	Notes      []string
	Runs       int
}

// Expected is what will be known of a parameter.
type Expected struct {
	Name         string
	Value        float64 // at which the plan was computed
	Before       float64 // standard deviation
	Prior        bool    // Before is a stated prior, not the bounds
	SD           float64 // as a match will state it, its allowance included
	Lower, Upper float64 // 95 % interval around Value, within the bounds
	Best         float64 // SD with the most helpful candidate
	Bent         bool    // a straight line does not describe the reply
}

// Direction is a combination of parameters, each in units of what is known of it before.
type Direction struct {
	Shares []float64 // by parameter
	Left   float64   // share of the standard deviation before that is left after
}

// Taught is what one planned sensor contributes.
type Taught struct {
	Column, Unit string
	Alone        []float64 // by parameter, share of the uncertainty before that is left with this sensor alone
	Without      []float64 // by parameter, factor on the uncertainty without this sensor
	Nil          bool      // it teaches nothing where it is
	Rows         int
	Sentence     string
}

// Candidate is one thing done otherwise.
type Candidate struct {
	Kind     string // "sensor", "longer", "flow" or "cover"
	Name     string
	Trial    string
	SD       []float64 // by parameter
	Gain     []float64 // by parameter, share of the planned uncertainty that is left
	Joint    float64   // the same over all parameters together: (det C′/det C)^(1/2n)
	Sentence string
	Proposed bool
	Why      string // it could not be computed, and why
	Sensor   *Sensor
	Cautions []heat.Caution // of kinds that the trial as planned does not have
}

// Interval is what a logging interval costs.
type Interval struct {
	Every float64   // s
	SD    []float64 // by parameter
	Grows float64   // the largest growth of an uncertainty over that at the shortest interval
}

// Course is a planned column over time with what the parameters do to it.
type Course struct {
	Trial, Column string
	Quantity      history.Quantity
	Time          []float64
	Value         []float64
	Slope         [][]float64 // by parameter: change by one standard deviation of what is known before
}

// Size is the noise that was taken for a column, standard deviations in SI.
type Size struct {
	Column, Unit                   string
	White, Lasting, Slow, Common   float64
	Time, SlowTime, Offset, Shared float64
}

// Charge is how long the charge takes.
type Charge struct {
	Trial    string
	Column   string
	Reaches  float64 // K
	Time     float64 // s; +Inf: never within Within
	Low      float64 // s, 95 % with what is known before
	High     float64 // +Inf: perhaps never
	AfterSD  float64 // s, standard deviation with what will be known after the trial
	Off      float64 // s, when the duty turns the source off; 0: it does not
	AtOff    float64 // K, what the column has reached then
	Within   float64 // s, how long was looked
	Most     float64 // K, the highest value seen
	Sentence string
}

// before returns the standard deviation with which a parameter is known before the trial.
func before(p *match.Parameter) (sd float64, stated bool) {
	if p.Prior != nil {
		return p.Prior.SD, true
	}
	return (p.Upper - p.Lower) / math.Sqrt(12), false
}

// Make computes a plan.
func Make(ctx context.Context, p Problem, opt Options) (*Result, error) {
	d, err := newDesign(ctx, p, opt)
	if err != nil {
		return nil, err
	}
	return d.result(ctx)
}
