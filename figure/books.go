package figure

import (
	"math"
	"strings"

	"emberbank/heat"
)

// Entry is one line of the balanced books.
type Entry struct {
	Name   string
	Group  string  // "light", "heat", "store", "water", "loss"
	Amount float64 // J, or W in a steady state; zero or more
}

// Books sorts a ledger into what came in and what it became, so that the two sides are equal but for the
// ledger's residual. What the block gave up stands on the side of the sources; what the surroundings gave, too.
// Light through a window, passes and paths of loss stay on their side when they carried nothing.
func Books(r *heat.Result) (in, out []Entry) {
	l := &r.Ledger
	source := func(name, group string, amount float64, always bool) {
		switch {
		case amount > 0 || amount == 0 && always:
			in = append(in, Entry{name, group, amount})
		case amount < 0:
			out = append(out, Entry{name, group, -amount})
		}
	}
	window := false // without one there is no bed to run dry
	for _, s := range l.ByPath {
		window = window || s.Name == "window"
	}
	source(lightIn(l.Glass != 0), "light", l.Absorbed, window)
	if l.Glass != 0 {
		source("light taken in by the glass", "light", l.Glass, false)
	}
	source("electric heat", "heat", l.Electric, false)
	source("heat set free inside", "heat", l.Generated, false)

	store := func(gave, took string, amount float64) {
		switch {
		case amount < 0:
			in = append(in, Entry{gave, "store", -amount})
		case amount > 0:
			out = append(out, Entry{took, "store", amount})
		}
	}
	for _, s := range l.StoredBy {
		amount := s.Amount
		if s.Name == "block" { // what melts is the block's fill; its latent heat stands by itself
			store("melt freezing", "melting", l.Latent)
			amount -= l.Latent
		}
		store(s.Name+" cooling", s.Name+" warming", amount)
	}

	fixed := map[string]bool{}
	for i := range r.Chains {
		if r.Chains[i].State == "fixed fluid" {
			fixed[r.Chains[i].Pass] = true
		}
	}
	sink := func(name, group string, amount float64) {
		if amount < 0 {
			in = append(in, Entry{name, group, -amount})
		} else {
			out = append(out, Entry{name, group, amount})
		}
	}
	many, others := 0, 0.0
	for _, s := range l.ByPass {
		if fixed[s.Name] || len(l.ByCircuit) == 0 {
			many++
			others += s.Amount
		}
	}
	if many > 6 {
		sink(Number(float64(many), 0)+" passes", "water", others)
	} else {
		for _, s := range l.ByPass {
			if fixed[s.Name] || len(l.ByCircuit) == 0 {
				sink("pass "+s.Name, "water", s.Amount)
			}
		}
	}
	for _, s := range l.ByCircuit {
		sink("water of circuit "+s.Name, "water", s.Amount)
	}
	for _, s := range l.ByPath {
		sink("lost by "+s.Name, "loss", s.Amount)
	}
	return in, out
}

// lightIn names the light that the block takes in, beside that of a glass or alone.
func lightIn(glass bool) string {
	if glass {
		return "light taken in by the block"
	}
	return "light taken in"
}

// total sums a side of the books.
func total(entries []Entry) float64 {
	sum := 0.0
	for _, e := range entries {
		sum += e.Amount
	}
	return sum
}

// Reach is the least and the greatest temperature of all that a run has kept, in °C; high below low: there is none.
func Reach(r *heat.Result) (low, high float64) {
	low, high, _ = rangeOf(r)
	for i := range r.Fields {
		a, b := Extremes(&r.Fields[i])
		low, high = math.Min(low, a), math.Max(high, b)
	}
	return low, high
}

// rangeOf returns the least and the greatest temperature of a history, in degC; ok is false where there is none.
func rangeOf(r *heat.Result) (lo, hi float64, ok bool) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, c := range r.History.Columns {
		if _, leaves := outletOf(c.Name); c.Quantity.Unit() != "degC" || strings.HasPrefix(c.Name, "circuit ") && !leaves {
			continue
		}
		for _, v := range c.Values {
			if !math.IsNaN(v) && !math.IsInf(v, 0) {
				lo, hi = math.Min(lo, v-zeroC), math.Max(hi, v-zeroC)
			}
		}
	}
	return lo, hi, lo <= hi
}
