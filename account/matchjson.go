package account

import "emberbank/match"

// MatchSchema is the first entry of match.json.
const MatchSchema = "emberbank/match-result/1"

// MatchJSON is match.json: what a match found, in SI unless a key says otherwise. A later run takes the parameters and
// the envelope from it.
type MatchJSON struct {
	Schema       string            `json:"schema"`
	Name         string            `json:"name"`
	Parameters   []MatchedJSON     `json:"parameters"`
	Covariance   [][]float64       `json:"covariance"`
	Correlation  [][]float64       `json:"correlation"`
	Undetermined []combinationJSON `json:"not_told_apart"`
	Offsets      []offsetJSON      `json:"offsets"`
	Columns      []fitJSON         `json:"columns"`
	Noise        []noiseJSON       `json:"departures"`
	Trust        []trustJSON       `json:"trust"`
	Unfit        bool              `json:"unfit"`  // the model does not describe the trials
	Doubts       []string          `json:"doubts"` // to be known before any number is used
	Moved        []movedJSON       `json:"moments_elsewhere"`
	Verdict      string            `json:"verdict"`
	Envelope     match.Envelope    `json:"envelope"`
	Notes        []string          `json:"notes"`
	Cautions     []string          `json:"cautions"`
	Rows         int               `json:"rows"`
	Runs         int               `json:"runs"`
	Ended        string            `json:"ended"`
	Converged    bool              `json:"converged"`
	Unfinished   bool              `json:"unfinished"` // it was stopped: no result to rely on
}

// MatchedJSON is one parameter.
type MatchedJSON struct {
	Name     string       `json:"name"`
	Paths    []string     `json:"paths"`
	Factor   bool         `json:"factor"`
	Trials   []string     `json:"trials,omitempty"`
	Unit     string       `json:"unit"` // of the shown value
	Shown    float64      `json:"shown"`
	Value    float64      `json:"value"`
	SD       *float64     `json:"standard_deviation"`
	Freedom  float64      `json:"degrees_of_freedom"`
	Lower    *float64     `json:"lower_95"`
	Upper    *float64     `json:"upper_95"`
	Grid     *float64     `json:"from_the_grid_95"` // half-width of what the runs' cells and steps put in
	LowerAll *float64     `json:"lower_95_with_grid"`
	UpperAll *float64     `json:"upper_95_with_grid"`
	Finer    *float64     `json:"on_a_finer_grid"` // the value that a fit there would give, to first order
	Profiled bool         `json:"by_profile"`
	AtBound  int          `json:"at_bound"`
	Profile  [][2]float64 `json:"profile,omitempty"` // value, rise of twice the half sum of squares
}

type combinationJSON struct {
	Names    []string  `json:"names"`
	Shares   []float64 `json:"shares,omitempty"`
	Value    float64   `json:"value"`
	SD       float64   `json:"standard_deviation"`
	Sentence string    `json:"sentence"`
}

// movedJSON is a moment of a run's duty that the readings put elsewhere.
type movedJSON struct {
	Trial   string   `json:"trial"`
	What    string   `json:"what"`
	At      float64  `json:"at_s"`
	Later   float64  `json:"later_by_s"`
	SD      float64  `json:"standard_deviation_s"`
	Columns []string `json:"columns"`
}

type offsetJSON struct {
	Group   string  `json:"sensor"`
	Value   float64 `json:"in_standard_deviations"`
	SD      float64 `json:"uncertainty"`
	Typical float64 `json:"standard_deviation"`
}

type fitJSON struct {
	Trial   string  `json:"trial"`
	Column  string  `json:"column"`
	Unit    string  `json:"unit"`
	Aside   bool    `json:"set_aside"`
	Bias    float64 `json:"bias"`
	RMS     float64 `json:"root_mean_square"`
	Worst   float64 `json:"worst"`
	WorstAt float64 `json:"worst_at_s"`
	Covered float64 `json:"share_within_band"`
}

type noiseJSON struct {
	Column   string  `json:"column"`
	Unit     string  `json:"unit"`
	Stated   float64 `json:"noise_stated"`
	White    float64 `json:"noise"`
	Lasting  float64 `json:"lasting"`
	Time     float64 `json:"lasting_time_s"`
	Slow     float64 `json:"slow"`
	Common   float64 `json:"slow_in_common"`
	SlowTime float64 `json:"slow_time_s"`
}

type trustJSON struct {
	Trial    string   `json:"trial"`
	Phase    string   `json:"phase"`
	Column   string   `json:"column"`
	Unit     string   `json:"unit"`
	E        float64  `json:"E"`
	Numeric  *float64 `json:"u_num"`
	Input    float64  `json:"u_input"`
	Data     float64  `json:"u_D"`
	Val      float64  `json:"u_val"`
	Within   bool     `json:"within_2_u_val"`
	RMS      float64  `json:"root_mean_square"`
	Worst    float64  `json:"worst"`
	WorstAt  float64  `json:"worst_at_s"`
	Covered  float64  `json:"share_within_band"`
	Sentence string   `json:"sentence"`
}

// MatchDocument is what match.json holds.
func MatchDocument(name string, r *match.Result) MatchJSON {
	d := MatchJSON{
		Schema: MatchSchema, Name: name, Covariance: r.Covariance, Correlation: r.Correlation,
		Undetermined: []combinationJSON{}, Offsets: []offsetJSON{}, Trust: []trustJSON{}, Verdict: r.Verdict,
		Envelope: r.Envelope, Notes: append([]string{}, r.Notes...), Rows: r.Rows, Runs: r.Runs, Ended: r.Why, Converged: r.Converged, Unfinished: r.Unfinished,
	}
	d.Unfit, d.Doubts, d.Moved, d.Cautions = r.Unfit, append([]string{}, r.Doubts...), []movedJSON{}, []string{}
	for _, v := range r.Moved {
		d.Moved = append(d.Moved, movedJSON{v.Trial, v.What, v.At, v.Later, v.SD, append([]string{}, v.Columns...)})
	}
	for _, c := range r.Cautions {
		d.Cautions = append(d.Cautions, c+" "+practice)
	}
	for i, e := range r.Estimates {
		p := &r.Parameters[i]
		g := shareOfGrid(&e)
		m := MatchedJSON{
			Name: e.Name, Paths: p.Paths, Factor: p.Factor, Trials: p.Trials, Unit: p.Unit, Shown: scaled(p, e.Value, false),
			Value: e.Value, SD: jsonNumber(e.SD), Freedom: e.Freedom, Lower: jsonNumber(e.Lower), Upper: jsonNumber(e.Upper),
			Grid: jsonNumber(g.Half()), LowerAll: jsonNumber(g.Lower), UpperAll: jsonNumber(g.Upper), Finer: jsonNumber(g.Finer),
			Profiled: e.Profiled, AtBound: e.AtBound,
		}
		for _, q := range e.Profile {
			if jsonNumber(q.Rise) != nil {
				m.Profile = append(m.Profile, [2]float64{q.At, q.Rise})
			}
		}
		d.Parameters = append(d.Parameters, m)
	}
	for _, c := range r.Undetermined {
		d.Undetermined = append(d.Undetermined, combinationJSON(c))
	}
	for _, o := range r.Offsets {
		d.Offsets = append(d.Offsets, offsetJSON(o))
	}
	for _, c := range r.Columns {
		d.Columns = append(d.Columns, fitJSON{c.Trial, c.Column, c.Unit, c.Aside, c.Bias, c.RMS, c.Worst, c.WorstAt, c.Covered})
	}
	for _, n := range r.Noise {
		d.Noise = append(d.Noise, noiseJSON(n))
	}
	for _, c := range r.Trust {
		d.Trust = append(d.Trust, trustJSON{
			c.Trial, c.Phase, c.Column, c.Unit, c.Error, jsonNumber(c.Numeric), c.Input, c.Data, c.Validation, c.Within,
			c.RMS, c.Worst, c.WorstAt, c.Covered, c.Sentence,
		})
	}
	return d
}
