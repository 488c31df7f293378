package dossier

import (
	"bytes"
	"encoding/csv"
	"io/fs"
	"math"
	"strconv"
	"strings"

	"emberbank/account"
	"emberbank/history"
)

// course is what a sensor is expected to read over time.
type course struct {
	time, value, half []float64 // s, K, K at 95 %; half nil: not known
	from              string
}

// at reads values of the course at a time, straight between its rows; NaN outside of them.
func (c *course) at(values []float64, t float64) float64 {
	if n := len(c.time); n == 0 || !(t >= c.time[0] && t <= c.time[n-1]) {
		return math.NaN()
	}
	return history.Straight(c.time, values, t)
}

// top is the highest that is expected with its band, K; NaN without a band.
func (c *course) top() float64 {
	out := math.NaN()
	for i, v := range c.value {
		if i < len(c.half) && !(v+c.half[i] <= out) && !math.IsNaN(v+c.half[i]) {
			out = v + c.half[i]
		}
	}
	return out
}

// foretold is the course of a sensor: by the run with its band where the run carried one; else by the plan, whose band is of what is
// known before; else by the run alone. false: nothing foretells it.
func (r *rig) foretold(name string) (course, bool) {
	own, known := r.byRun(name)
	if known && own.half != nil {
		return own, true
	}
	if c, ok := r.byPlan(name); ok {
		return c, true
	}
	return own, known
}

func (r *rig) byRun(name string) (c course, ok bool) {
	if r.rows == nil {
		return c, false
	}
	col := r.rows.Column(name)
	if col == nil || col.Quantity != history.Temperature || len(col.Values) != len(r.rows.Time) {
		return c, false
	}
	c = course{time: r.rows.Time, value: col.Values, from: r.result.Origin("history.csv") + " [" + name + "]"}
	if r.half != nil {
		if h := r.half.Column(name); h != nil && len(h.Values) == len(c.value) {
			c.half, c.from = h.Values, r.result.Origin("history-half-width.csv")+" ["+name+"]"
		}
	}
	return c, true
}

// byPlan reads a plan's sensitivities: by how much each parameter moves a reading when it rises by the standard uncertainty with which
// it is known before. Independent parameters add in squares, and 1.96 of that is the half-width at 95 %.
func (r *rig) byPlan(name string) (c course, ok bool) {
	if r.plan == nil {
		return c, false
	}
	file := r.plan.Origin("sensitivities.csv")
	raw, err := fs.ReadFile(r.g.Root, file)
	if err != nil {
		return c, false
	}
	rows, err := csv.NewReader(bytes.NewReader(raw)).ReadAll()
	if err != nil || len(rows) < 2 || len(rows[0]) < 5 {
		return c, false
	}
	c.from = file + " [" + name + "]"
	for _, row := range rows[1:] {
		if account.TextOf(row[0]) != r.runName() || account.TextOf(row[1]) != name || row[2] != "degC" {
			continue
		}
		at, err1 := strconv.ParseFloat(row[3], 64)
		v, err2 := strconv.ParseFloat(row[4], 64)
		if err1 != nil || err2 != nil {
			continue
		}
		sum := 0.0
		for i := 5; i < len(row); i++ {
			if by, err := strconv.ParseFloat(row[i], 64); err == nil && strings.HasPrefix(rows[0][i], "by ") {
				sum += by * by
			}
		}
		c.time, c.value, c.half = append(c.time, at), append(c.value, v+iceZero), append(c.half, 1.96*math.Sqrt(sum))
	}
	return c, len(c.time) > 1
}
