package answer

import (
	"fmt"

	"gonum.org/v1/gonum/stat/distuv"
)

// Gain is what the step from one number of passes to the next brings, for each pass that is added.
type Gain struct {
	From, To float64
	PerPass  float64 // in the response's unit
	U        float64 // its standard uncertainty
	Pays     Worth
}

// Worth is whether a gain reaches what a pass must bring.
type Worth int

const (
	Open   Worth = iota // the uncertainty leaves it open
	Pays                // shown to reach it
	PaysNo              // shown not to
)

func (w Worth) String() string { return [...]string{"open", "pays", "does not pay"}[w] }

// Paying is where more passes stop paying.
type Paying struct {
	Gains []Gain
	// PaysTo is the largest number up to which every step is shown to pay; the first number where none is.
	PaysTo float64
	// StopsAt is the smallest number from which on no step is shown to pay or left open; false: no such number in the range.
	StopsAt float64
	Stops   bool
}

// PassesPay judges steps in the number of passes (or any other count that costs something by the piece) by what each adds to
// the response, for example the heat flow at one block temperature. A pass must bring at least worth, in the response's
// unit. Each step is judged with two one-sided statements of the given confidence:
//
//	pays: g − z u(g) ≥ worth;   does not pay: g + z u(g) < worth;   g = (yᵢ₊₁ − yᵢ)/(xᵢ₊₁ − xᵢ).
func PassesPay(r Response, worth, confidence float64) (Paying, error) {
	if err := r.check(); err != nil {
		return Paying{}, fmt.Errorf("gain of passes: %w", err)
	}
	if len(r.X) < 2 || !(confidence > 0.5 && confidence < 1) || !finite(worth) {
		return Paying{}, fmt.Errorf("gain of passes: at least two numbers of passes, a confidence between 0.5 and 1 and what a pass must bring are needed, not %d, %g and %g", len(r.X), confidence, worth)
	}
	z := distuv.UnitNormal.Quantile(confidence)
	p := Paying{PaysTo: r.X[0]}
	for i := range len(r.X) - 1 {
		c, dx := r.difference(i, i+1), r.X[i+1]-r.X[i]
		g := Gain{From: r.X[i], To: r.X[i+1], PerPass: c.value / dx, U: c.sd() / dx}
		switch {
		case g.PerPass-z*g.U >= worth:
			g.Pays = Pays
		case g.PerPass+z*g.U < worth:
			g.Pays = PaysNo
		}
		if g.Pays == Pays && p.PaysTo == g.From {
			p.PaysTo = g.To
		}
		p.Gains = append(p.Gains, g)
	}
	for i := len(p.Gains) - 1; i >= 0 && p.Gains[i].Pays == PaysNo; i-- {
		p.StopsAt, p.Stops = p.Gains[i].From, true
	}
	return p, nil
}

// Sentence says where it stops; what names the pieces and gain a gain with its unit.
func (p Paying) Sentence(what string, gain func(float64) string) string {
	last, first := p.Gains[len(p.Gains)-1], p.Gains[0]
	start := counted(first.From, what)
	upTo := "Up to " + counted(p.PaysTo, what)
	if first.From > 0 { // nothing is known of the first ones
		upTo = fmt.Sprintf("From %s up to %g", start, p.PaysTo)
	}
	switch {
	case p.Stops && p.StopsAt == first.From:
		return fmt.Sprintf("Beyond %s none pays: the first more brings %s.", start, gain(first.PerPass))
	case p.Stops && p.StopsAt == p.PaysTo:
		return fmt.Sprintf("%s each one pays; beyond, none does.", upTo)
	case p.Stops && p.PaysTo == first.From:
		return fmt.Sprintf("The step from %s on is not shown to pay, from %g on none does; between them the uncertainty leaves it open.", start, p.StopsAt)
	case p.Stops:
		return fmt.Sprintf("%s each one is shown to pay, from %g on none; between them the uncertainty leaves it open.", upTo, p.StopsAt)
	case p.PaysTo == last.To:
		return fmt.Sprintf("%s, the end of the range, each one pays; the last brings %s.", upTo, gain(last.PerPass))
	case p.PaysTo == first.From:
		return fmt.Sprintf("Already the step from %s on is not shown to pay; where they stop paying is not within this range, or hidden by the uncertainty (the last step brings %s ± %s for each).",
			start, gain(last.PerPass), gain(last.U))
	}
	return fmt.Sprintf("%s each one is shown to pay; where they stop paying is not within this range, or hidden by the uncertainty (the last step brings %s ± %s for each).",
		upTo, gain(last.PerPass), gain(last.U))
}

// counted is a number of pieces; what names more than one.
func counted(n float64, what string) string {
	if n == 1 && what == "passes" {
		what = "pass"
	}
	return fmt.Sprintf("%g\u00a0%s", n, what)
}
