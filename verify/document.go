package verify

import (
	"encoding/json"
	"math"
)

// document is a row as JSON. Expected, computed and an absolute tolerance are in the row's own unit.
type document struct {
	Name       string   `json:"name"`
	Topic      string   `json:"topic"`
	Source     string   `json:"source"`
	Unit       string   `json:"unit"`
	Expected   float64  `json:"expected"`
	Computed   *float64 `json:"computed"` // null where there is none
	Difference *float64 `json:"difference"`
	Tolerance  float64  `json:"tolerance"`
	Means      Means    `json:"tolerance_is"`
	Verdict    string   `json:"verdict"`
	Detail     string   `json:"detail"`
	FromRun    bool     `json:"from_run"`
	Seconds    float64  `json:"duration_s"`
}

// MarshalJSON writes a value that is not a number as null.
func (r Row) MarshalJSON() ([]byte, error) {
	d := document{
		Name: r.Name, Topic: r.Topic, Source: r.Source, Unit: r.Unit, Expected: r.Expected, Tolerance: r.Tolerance,
		Means: r.Means, Verdict: r.Verdict, Detail: r.Detail, FromRun: r.FromRun, Seconds: r.Seconds,
	}
	if c := r.Computed; !math.IsNaN(c) && !math.IsInf(c, 0) {
		delta := r.Difference()
		d.Computed, d.Difference = &c, &delta
	}
	return json.Marshal(d)
}
