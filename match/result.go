package match

import "math"

// Result is what a match gives. Numbers are SI; half-widths hold at 95 %.
type Result struct {
	Parameters   []Parameter
	Estimates    []Estimated
	Covariance   [][]float64 // of the parameters
	Correlation  [][]float64
	Undetermined []Combination
	Offsets      []Offset
	Columns      []ColumnFit // by trial and column
	Noise        []NoiseOf
	Other        []Valley
	Trust        []Comparison
	Doubts       []string // what a reader must know before any number is used: the model is no match for the trials, a wrong moment
	Moved        []Moved  // moments of the runs' duties that the readings put elsewhere
	Verdict      string
	Envelope     Envelope
	Notes        []string
	Cautions     []string // dangers that the trials show, put in by who has their records
	Cost         float64
	Rows         int
	Runs         int // held in memory, computed now or before
	Why          string
	Converged    bool
	Unfit        bool // the model does not describe the trials (see unfit)
	Unfinished   bool // it was stopped: what is missing is NaN or absent

	all [][]float64 // covariance of parameters and offsets
}

// Estimated is one parameter with its uncertainty.
type Estimated struct {
	Name       string
	Value      float64
	SD         float64
	Freedom    float64 // effective degrees of freedom of SD
	Lower      float64 // 95 % interval, by the straight-line picture or, where Profiled, by the likelihood
	Upper      float64
	Profiled   bool
	Bent       bool      // the straight-line picture does not hold
	AtBound    int       // -1, 0 or 1
	Profile    []OnCurve // where it was taken
	LowerStops bool      // the profile reached the lower bound before its limit
	UpperStops bool
	Grid       GridShare
}

// OnCurve is a point of a profile: the least of 2F over the others, above that of the estimate.
type OnCurve struct{ At, Rise float64 }

// Combination is parameters that the data cannot tell apart, and what of them is determined.
type Combination struct {
	Names    []string
	Shares   []float64 // the determined combination is the sum of share times parameter
	Value    float64
	SD       float64
	Sentence string
}

// Offset is a sensor's systematic error as the match found it, in its own standard deviations.
type Offset struct {
	Group     string
	Value, SD float64
	Typical   float64 // SI, mean size of one standard deviation
}

// ColumnFit is one column of one trial: measured, computed with the offsets, and what is left.
type ColumnFit struct {
	Trial, Column string
	Aside         bool // predicted, not fitted
	Unit          string
	Time          []float64
	Measured      []float64
	Computed      []float64 // what the sensor would read: with its offset
	Band          []float64 // half-width at 95 % of the computed, from the parameters, the offsets and the departures
	Bias          float64   // mean of computed less measured
	RMS           float64
	Worst         float64 // the largest departure, with its sign
	WorstAt       float64 // s
	Covered       float64 // share of rows whose measured value lies within the band
}

// NoiseOf is what a column's differences are made of, as found.
type NoiseOf struct {
	Column, Unit           string
	Stated                 float64 // white noise of the rows used, as stated
	White, Lasting, Time   float64
	Slow, Common, SlowTime float64
}

// Valley is another place to which the search led.
type Valley struct {
	Values []float64
	Cost   float64
}

// gather fills in what follows from the solution.
func (out *Result) gather(m *model, sol Solution, others []Solution) {
	out.Cost, out.Rows, out.Why, out.Converged = sol.Cost, len(m.y), sol.Why, sol.Converged
	n := len(m.problem.Parameters)
	for _, o := range others {
		out.Other = append(out.Other, Valley{o.X[:n], o.Cost})
	}
	for _, g := range m.groups {
		for i, c := range g.columns {
			out.Noise = append(out.Noise, NoiseOf{
				c, g.name, g.stated[i], g.noise.White[i], g.noise.Lasting[i], g.noise.Time, g.noise.Slow[i], g.noise.Common, g.noise.SlowTime,
			})
		}
	}
	at := 0
	for i := range m.trials {
		for _, c := range m.trials[i].channels {
			fit := ColumnFit{Trial: m.trials[i].Name, Column: c.Column, Unit: c.Quantity.Unit(), Time: c.time, Measured: c.value}
			for k := range c.value {
				fit.Computed = append(fit.Computed, c.value[k]+sol.Differences[at+k])
			}
			at += len(c.value)
			fit.sum()
			out.Columns = append(out.Columns, fit)
		}
	}
	out.Columns = m.bands(out, sol)
	for j, b := range sol.AtBound[:n] {
		out.Estimates[j].AtBound = b
	}
	_, out.Runs = 0, 0
	out.Runs, _ = m.memory.Runs()
	out.remark(m)
}

// sum sums a column up.
func (f *ColumnFit) sum() {
	sum, square := 0.0, 0.0
	for k := range f.Time {
		d := f.Computed[k] - f.Measured[k]
		sum, square = sum+d, square+d*d
		if math.Abs(d) > math.Abs(f.Worst) || k == 0 {
			f.Worst, f.WorstAt = d, f.Time[k]
		}
	}
	n := float64(len(f.Time))
	f.Bias, f.RMS = sum/n, math.Sqrt(square/n)
}

// bands gives each fitted column its band and coverage.
func (m *model) bands(out *Result, sol Solution) []ColumnFit {
	at := 0
	for i := range out.Columns {
		f := &out.Columns[i]
		noise := m.noiseOf(f.Column, f.Unit)
		inside := 0
		for k := range f.Time {
			v := 0.0
			for a := range sol.Columns {
				for b := range sol.Columns {
					v += sol.Columns[a][at+k] * out.all[a][b] * sol.Columns[b][at+k]
				}
			}
			v += noise.Slow*noise.Slow + noise.Lasting*noise.Lasting + noise.Common*noise.Common + noise.White*noise.White
			f.Band = append(f.Band, 1.96*math.Sqrt(v))
			if math.Abs(f.Computed[k]-f.Measured[k]) <= f.Band[k] {
				inside++
			}
		}
		f.Covered = float64(inside) / float64(len(f.Time))
		at += len(f.Time)
	}
	return out.Columns
}

// noiseOf finds a column's noise; for a column that was not fitted the largest of its quantity stands in.
func (m *model) noiseOf(column, unit string) (out NoiseOf) {
	for _, g := range m.groups {
		if g.name != unit {
			continue
		}
		for i, c := range g.columns {
			if c == column {
				return NoiseOf{column, unit, g.stated[i], g.noise.White[i], g.noise.Lasting[i], g.noise.Time, g.noise.Slow[i], g.noise.Common, g.noise.SlowTime}
			}
			out.White, out.Lasting, out.Slow = max(out.White, g.noise.White[i]), max(out.Lasting, g.noise.Lasting[i]), max(out.Slow, g.noise.Slow[i])
			out.Time, out.Common, out.SlowTime = g.noise.Time, g.noise.Common, g.noise.SlowTime
		}
	}
	return out
}
