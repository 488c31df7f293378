package account

import (
	"math"

	"emberbank/plan"
)

// PlanSchema is the first entry of plan.json.
const PlanSchema = "emberbank/plan-result/1"

// PlanJSON is plan.json, in SI unless a key says otherwise; shares are of 1.
type PlanJSON struct {
	Schema     string              `json:"schema"`
	Name       string              `json:"name"`
	Verdict    []string            `json:"verdict"`
	Parameters []planParameterJSON `json:"parameters"`
	Covariance [][]float64         `json:"covariance"`
	Directions []planDirectionJSON `json:"directions"`
	Confused   []combinationJSON   `json:"not_told_apart"`
	Sensors    []planSensorJSON    `json:"sensors"`
	Best       *string             `json:"most_helpful"`
	Candidates []planCandidateJSON `json:"candidates"`
	Every      float64             `json:"interval_s"`
	Suffices   float64             `json:"interval_that_suffices_s"`
	MayCost    float64             `json:"interval_may_cost"`
	Intervals  []planIntervalJSON  `json:"intervals"`
	Charge     *planChargeJSON     `json:"charge,omitempty"`
	Errors     []planErrorJSON     `json:"errors_taken"`
	Cautions   []string            `json:"cautions"`
	Notes      []string            `json:"notes"`
	Runs       int                 `json:"runs"`
}

type planParameterJSON struct {
	Name      string   `json:"name"`
	Paths     []string `json:"paths"`
	Factor    bool     `json:"factor"`
	Unit      string   `json:"unit"` // of the shown numbers
	Shown     float64  `json:"shown"`
	ShownHalf float64  `json:"shown_half_width_95"`
	Value     float64  `json:"value"`
	Before    float64  `json:"standard_uncertainty_before"`
	Prior     bool     `json:"has_prior"`
	SD        float64  `json:"expected_standard_uncertainty"`
	Lower     float64  `json:"lower_95"`
	Upper     float64  `json:"upper_95"`
	Best      float64  `json:"expected_with_most_helpful"`
	Bent      bool     `json:"bent"`
}

type planDirectionJSON struct {
	Shares []float64 `json:"shares"`
	Left   float64   `json:"left"`
}

type planSensorJSON struct {
	Column   string    `json:"column"`
	Alone    []float64 `json:"left_with_it_alone"`
	Without  []float64 `json:"factor_without_it"`
	Nothing  bool      `json:"teaches_nothing"`
	Readings int       `json:"readings"`
	Sentence string    `json:"sentence"`
}

type planCandidateJSON struct {
	Kind     string    `json:"kind"`
	Name     string    `json:"name"`
	Run      string    `json:"run,omitempty"`
	Proposed bool      `json:"proposed"`
	Place    []float64 `json:"place_m,omitempty"`
	Left     []float64 `json:"left"`
	LeftAll  *float64  `json:"left_of_all"`
	Sentence string    `json:"sentence"`
	Cautions []string  `json:"cautions,omitempty"`
}

type planIntervalJSON struct {
	Every float64   `json:"interval_s"`
	SD    []float64 `json:"expected_standard_uncertainty"`
	Grows float64   `json:"largest_growth"`
}

type planChargeJSON struct {
	Run      string   `json:"run"`
	Column   string   `json:"column"`
	Reaches  float64  `json:"reaches_K"`
	Time     *float64 `json:"time_s"` // null: not within the time that was looked at
	Low      *float64 `json:"lower_95_s"`
	High     *float64 `json:"upper_95_s"` // null: perhaps never
	After    float64  `json:"standard_uncertainty_after_s"`
	Off      float64  `json:"source_off_s"`
	Within   float64  `json:"looked_at_s"`
	Sentence string   `json:"sentence"`
}

type planErrorJSON struct {
	Column   string  `json:"column"`
	Unit     string  `json:"unit"`
	White    float64 `json:"noise"`
	Lasting  float64 `json:"lasting"`
	Time     float64 `json:"lasting_time_s"`
	Slow     float64 `json:"model_error_own"`
	Common   float64 `json:"model_error_in_common"`
	SlowTime float64 `json:"model_error_time_s"`
	Offset   float64 `json:"offset"`
	Shared   float64 `json:"offset_of_the_logger"`
}

// PlanDocument is what plan.json holds.
func PlanDocument(r *plan.Result) PlanJSON {
	d := PlanJSON{
		Schema: PlanSchema, Name: r.Name, Verdict: planVerdict(r), Covariance: r.Covariance, Confused: []combinationJSON{},
		Candidates: []planCandidateJSON{}, Every: r.Every, Suffices: r.Suffices, MayCost: r.MayCost, Cautions: []string{},
		Notes: append([]string{}, r.Notes...), Runs: r.Runs,
	}
	for j, e := range r.Expected {
		p := &r.Parameters[j]
		d.Parameters = append(d.Parameters, planParameterJSON{
			Name: e.Name, Paths: p.Paths, Factor: p.Factor, Unit: p.Unit, Shown: scaled(p, e.Value, false), ShownHalf: scaled(p, 1.96*e.SD, true),
			Value: e.Value, Before: e.Before, Prior: e.Prior, SD: e.SD, Lower: e.Lower, Upper: e.Upper, Best: e.Best, Bent: e.Bent,
		})
	}
	for _, v := range r.Directions {
		d.Directions = append(d.Directions, planDirectionJSON(v))
	}
	for _, c := range r.Confused {
		d.Confused = append(d.Confused, combinationJSON(c))
	}
	for _, t := range r.Sensors {
		d.Sensors = append(d.Sensors, planSensorJSON{t.Column, t.Alone, t.Without, t.Nil, t.Rows, t.Sentence})
	}
	if r.Best >= 0 {
		d.Best = &r.Candidates[r.Best].Name
	}
	for i := range r.Candidates {
		c := &r.Candidates[i]
		one := planCandidateJSON{Kind: c.Kind, Name: c.Name, Run: c.Trial, Proposed: c.Proposed, Left: append([]float64{}, c.Gain...), LeftAll: jsonNumber(c.Joint), Sentence: c.Sentence}
		if c.Sensor != nil && c.Sensor.Probe != nil {
			at := c.Sensor.Probe.At
			one.Place = at[:]
		}
		for _, q := range c.Cautions {
			one.Cautions = append(one.Cautions, q.Text)
		}
		d.Candidates = append(d.Candidates, one)
	}
	for _, v := range r.Intervals {
		d.Intervals = append(d.Intervals, planIntervalJSON(v))
	}
	if c := r.Charge; c != nil {
		d.Charge = &planChargeJSON{
			Run: c.Trial, Column: c.Column, Reaches: c.Reaches, Time: jsonNumber(c.Time), Low: jsonNumber(c.Low), High: jsonNumber(c.High),
			After: c.AfterSD, Off: c.Off, Within: c.Within, Sentence: c.Sentence,
		}
		if math.IsNaN(d.Charge.After) {
			d.Charge.After = 0
		}
	}
	for _, s := range r.Sizes {
		d.Errors = append(d.Errors, planErrorJSON{s.Column, s.Unit, s.White, s.Lasting, s.Time, s.Slow, s.Common, s.SlowTime, s.Offset, s.Shared})
	}
	for _, c := range r.Cautions {
		d.Cautions = append(d.Cautions, c.Text)
	}
	return d
}
