package dossier

import (
	"math"

	"emberbank/bench"
	"emberbank/hazard"
	"emberbank/history"
	"emberbank/material"
	"emberbank/receiver"
)

// safeRun is what a run's block holds when it holds most.
type safeRun struct {
	Run         string   `json:"run"`
	From        string   `json:"from"`
	Stale       bool     `json:"stale"`
	Warmest     *float64 `json:"warmest_block_mean_degC,omitempty"`
	At          *float64 `json:"at_s,omitempty"`
	Melted      *float64 `json:"melted,omitempty"`
	Ambient     *float64 `json:"ambient_degC,omitempty"`
	Holds       *float64 `json:"block_above_ambient_J,omitempty"`
	AboveOpen   *float64 `json:"block_above_100_degC_J,omitempty"`
	Rise        *float64 `json:"rise_of_all_J,omitempty"` // of block, insulation, jacket, water and pane since the start
	Inlet       *float64 `json:"inlet_degC,omitempty"`
	Steam       *float64 `json:"steam_kg,omitempty"`
	SteamOpen   *float64 `json:"steam_m3,omitempty"` // at 101.325 kPa
	Line        *float64 `json:"line_pressure_Pa,omitempty"`
	LineBoils   *float64 `json:"line_boils_degC,omitempty"`
	AboveLine   *float64 `json:"block_above_line_boiling_J,omitempty"`
	LineSteam   *float64 `json:"line_steam_kg,omitempty"`
	LineSteamAt *float64 `json:"line_steam_m3,omitempty"`
}

// blockOf is the block's medium and mass in kg.
func blockOf(rec *receiver.Receiver) (m *material.Medium, mass float64) {
	for _, p := range rec.Bill().Parts {
		if p.Role == receiver.RoleBlock && p.Medium >= 0 {
			m, mass = &rec.Media[p.Medium], mass+p.Mass
		}
	}
	return m, mass
}

// held is the heat in J that a block gives off while it cools to a temperature in K, by its mean and the share of it that is molten:
// next to its melting point the mean alone does not tell.
func held(m *material.Medium, mass, mean, melted, to float64) float64 {
	q := hazard.Heat(m, mass, mean, to)
	if m.Latent > 0 && !math.IsNaN(melted) && to < m.Solidus {
		if mean <= m.Solidus && mean > to {
			q += melted * mass * m.Latent
		} else if mean >= m.Liquidus {
			q -= (1 - melted) * mass * m.Latent
		}
	}
	return q
}

// stores finds the row in which a run's block holds most.
func (c *counted) stores() safeRun {
	out := safeRun{Run: c.Name(), From: c.origin("block mean"), Stale: c.Stale()}
	p := &c.run.Problem
	m, mass := blockOf(&p.Receiver)
	means, melted := c.rows.Column("block mean"), c.rows.Column("melted")
	if m == nil || means == nil {
		return out
	}
	best, most, ambient := -1, 0.0, math.NaN()
	for i, T := range means.Values {
		air := p.Duty.Ambient.At(c.rows.Time[i])
		if q := held(m, mass, T, valueAt(melted, i), air); maybe(q) != nil && (best < 0 || q > most) {
			best, most, ambient = i, q, air
		}
	}
	if best < 0 {
		return out
	}
	T, x := means.Values[best], valueAt(melted, best)
	out.Warmest, out.At, out.Ambient, out.Holds = maybe(T-iceZero), maybe(c.rows.Time[best]), maybe(ambient-iceZero), maybe(most)
	if m.Latent > 0 {
		out.Melted = maybe(x)
	}
	if rise, _, ok := c.peak("stored"); ok {
		out.Rise = maybe(rise - valueAt(c.rows.Column("stored"), 0))
	}
	if len(p.Duty.Water) == 0 {
		return out
	}
	above := held(m, mass, T, x, boiling)
	out.AboveOpen = maybe(above)
	inlet := feeds(c.run, c.rows.Time[best])
	out.Inlet = maybe(inlet - iceZero)
	if s, err := hazard.SteamOf(above, atmosphere, inlet); err == nil {
		out.Steam, out.SteamOpen = maybe(s.Mass), maybe(s.Volume)
	}
	line := lowestLine(c.run, c.rows.Time[best])
	if s, err := hazard.SteamOf(0, line, inlet); err == nil {
		left := held(m, mass, T, x, s.Boils)
		out.Line, out.LineBoils, out.AboveLine = maybe(line), maybe(s.Boils-iceZero), maybe(left)
		if s, err = hazard.SteamOf(left, line, inlet); err == nil {
			out.LineSteam, out.LineSteamAt = maybe(s.Mass), maybe(s.Volume)
		}
	}
	return out
}

// valueAt is a column's value in a row; NaN where there is no such column.
func valueAt(c *history.Column, i int) float64 {
	if c == nil || i >= len(c.Values) {
		return math.NaN()
	}
	return c.Values[i]
}

// feeds is the warmest inlet of a run's water at a time: it makes most steam.
func feeds(run *bench.Run, at float64) float64 {
	warmest := math.Inf(-1)
	for i := range run.Problem.Duty.Water {
		if w := &run.Problem.Duty.Water[i]; !w.Inlet.Empty() {
			warmest = math.Max(warmest, w.Inlet.At(at))
		}
	}
	return warmest
}

// lowestLine is the lowest pressure in Pa at the outlets of a run's circuits at a time.
func lowestLine(run *bench.Run, at float64) float64 {
	lowest := math.Inf(1)
	for i := range run.Problem.Duty.Water {
		if w := &run.Problem.Duty.Water[i]; !w.Pressure.Empty() {
			lowest = math.Min(lowest, w.Pressure.At(at))
		}
	}
	return lowest
}
