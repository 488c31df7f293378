package balance

import (
	"fmt"
	"math"
	"strings"

	"emberbank/block"
	"emberbank/material"
	"emberbank/receiver"
	"emberbank/trial"
	"emberbank/uncertainty"
)

// Known is what stands beside a trial's record.
type Known struct {
	Receiver *receiver.Receiver // nil: every temperature of the receiver counts as one of the block
	// Factors turn a column's reading into watts into the receiver, by the column's name: irradiance times area times
	// absorptance, lamp watts times the share that arrives. Without one, irradiance, light and lamp tell only when the
	// source is on; heaters count in full.
	Factors map[string]Uptake
}

// Uptake is how many watts reach the receiver for one unit of a source's reading.
type Uptake struct {
	Factor float64
	U      float64 // relative standard uncertainty
}

// FromRecord makes the input of a reduction from a trial's record. What is left out stands in the notes.
func FromRecord(r *trial.Record, known Known) (Input, []string) {
	in := Input{Name: r.Name, History: &r.History}
	var notes []string
	for _, p := range r.Phases {
		if k, err := KindOf(p.Kind); err == nil {
			in.Phases = append(in.Phases, Given{k, p.From, p.To})
		}
	}
	in.Melting = melting(known.Receiver)
	light := trial.Other // of several columns that show the same light, the one nearest to the block counts
	for _, role := range []trial.Role{trial.LampPower, trial.Irradiance, trial.LightPower} {
		if len(r.Find(role)) > 0 {
			light = role
		}
	}
	mean := r.History.Column("block mean") != nil
	for i := range r.Columns {
		c := &r.Columns[i]
		ch := Channel{Column: c.Name, Of: c.Of, Noise: c.Noise, Least: c.Least, Own: c.Rows}
		switch c.Role {
		case trial.Body:
			if mean != (c.Name == "block mean") {
				continue
			}
			if b := known.Receiver; b != nil && c.Position != nil && !holds(b.Block, *c.Position) {
				notes = append(notes, fmt.Sprintf("%q stands outside the block and does not count in its mean.", c.Name))
				ch.Role = Insulation
				break
			}
			ch.Role = Block
		case trial.Inlet:
			ch.Role = Inlet
		case trial.Outlet:
			ch.Role = Outlet
		case trial.Flow:
			ch.Role = Flow
		case trial.PressureAt:
			ch.Role = Pressure
		case trial.Ambient:
			ch.Role = Ambient
		case trial.HeaterPower:
			ch.Role, ch.Factor = Source, 1
		case trial.Irradiance, trial.LampPower, trial.LightPower:
			if c.Role != light {
				continue
			}
			ch.Role, ch.Factor = Source, math.NaN()
		default:
			continue
		}
		if f, ok := known.Factors[c.Name]; ok {
			ch.Factor = f.Factor
			if f.U > 0 {
				ch.FactorErrors = []Error{{What: "what the receiver takes up", Constant: f.U}}
			}
		}
		for _, p := range c.Parts {
			e := Error{What: p.What, Group: p.Group, Constant: p.Constant, Relative: p.Relative, Zero: p.Zero, Larger: p.Larger, DoF: p.DoF}
			if strings.HasPrefix(p.What, "tolerance") && strings.HasPrefix(p.Group, "own ") {
				e.Shape = uncertainty.Rectangular // limits; an error that columns share keeps one shape everywhere
			}
			ch.Errors = append(ch.Errors, e)
		}
		in.Channels = append(in.Channels, ch)
	}
	return in, notes
}

// melting lists the metals in a receiver's block, nil where it is not known.
func melting(r *receiver.Receiver) (all []Melts) {
	if r == nil {
		return nil
	}
	seen := map[int]bool{}
	for _, p := range r.Parts {
		if p.Role != receiver.RoleBlock || p.Medium < 0 || seen[p.Medium] {
			continue
		}
		seen[p.Medium] = true
		if m := &r.Media[p.Medium]; m.Metal != "" && m.Latent > 0 {
			all = append(all, Melts{m.Name, m.Metal, m.Solidus})
		}
	}
	return all
}

// holds tells whether a place lies in the block or on its faces.
func holds(b block.Box, p [3]float64) bool {
	for a := range p {
		if p[a] < b.Min[a]-1e-9 || p[a] > b.Max[a]+1e-9 {
			return false
		}
	}
	return true
}

// CapacityOf is the heat content of a receiver's block: its volume without the bores, times density, times the
// medium's specific enthalpy, melting included. The relative uncertainty is that of the medium (half of its 95 %).
// nil where the receiver has no block part.
func CapacityOf(r *receiver.Receiver) *Capacity {
	type piece struct {
		mass float64
		h    *material.Enthalpy
	}
	var all []piece
	spread := 0.0
	for i, p := range r.Parts {
		if p.Role != receiver.RoleBlock || p.Medium < 0 {
			continue
		}
		volume := p.Box.Volume()
		for _, later := range r.Parts[i+1:] {
			volume -= common(p.Box, later.Box)
		}
		for _, t := range r.Passes {
			volume -= math.Pi / 4 * t.Outer * t.Outer * (t.To - t.From)
		}
		m := &r.Media[p.Medium]
		all = append(all, piece{volume * m.Density, material.NewEnthalpy(m)})
		spread = math.Max(spread, m.Uncertainty/2)
	}
	if len(all) == 0 {
		return nil
	}
	c := &Capacity{Heat: func(T float64) float64 {
		sum := 0.0
		for _, p := range all {
			sum += p.mass * p.h.Of(T)
		}
		return sum
	}}
	if spread > 0 {
		c.Errors = []Error{{What: "density and enthalpy of the medium", Constant: spread}}
	}
	return c
}

// common returns the volume that two boxes share.
func common(a, b block.Box) float64 {
	v := 1.0
	for k := range a.Min {
		v *= math.Max(0, math.Min(a.Max[k], b.Max[k])-math.Max(a.Min[k], b.Min[k]))
	}
	return v
}

// LumpOf is the heat content of a storage known by mass in kg and heat capacity in J/(kg K) alone, with relative
// standard uncertainties of the two.
func LumpOf(mass, heatCapacity, uMass, uHeatCapacity float64) *Capacity {
	c := &Capacity{Heat: func(T float64) float64 { return mass * heatCapacity * T }}
	if uMass > 0 {
		c.Errors = append(c.Errors, Error{What: "mass", Constant: uMass})
	}
	if uHeatCapacity > 0 {
		c.Errors = append(c.Errors, Error{What: "specific heat capacity", Constant: uHeatCapacity})
	}
	return c
}

// WettedArea returns the inner area of a receiver's passes in m², 0 without a receiver.
func WettedArea(r *receiver.Receiver) float64 {
	area := 0.0
	if r != nil {
		for _, p := range r.Passes {
			area += math.Pi * p.Inner * (p.To - p.From)
		}
	}
	return area
}
