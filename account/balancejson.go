package account

import (
	"io"
	"math"

	"emberbank/balance"
)

// WriteBalanceJSON writes what a record says about heat as one JSON document: phases with their heats, standard
// uncertainties and 95 % half-widths, cooling constants, and what looks wrong. The budgets stand in tables of their own.
func WriteBalanceJSON(w io.Writer, r *balance.Report) error { return writeJSON(w, balanceDocument(r)) }

func balanceDocument(r *balance.Report) object {
	phases := []object{}
	for i := range r.Phases {
		b := &r.Phases[i]
		o := object{
			{"kind", b.Kind.String()},
			{"from_s", num(b.From)},
			{"to_s", num(b.To)},
			{"by_hand", b.ByHand},
			{"why", b.Why},
			{"energy_in", resultDocument(b.In)},
			{"heat_to_the_water", resultDocument(b.Water)},
			{"heat_stored", resultDocument(b.Stored)},
			{"heat_lost_by_difference", resultDocument(b.Lost)},
			{"losses_expected", resultDocument(b.Expected)},
			{"closure", resultDocument(b.Closure)},
			{"closed_by_construction", b.ByConstruction},
			{"missing", num(b.Missing)},
			{"cooling", coolingDocument(b.Cooling)},
			{"sentence", b.Sentence()},
			{"suspicions", append([]string{}, b.Suspicions...)},
			{"notes", append([]string{}, b.Notes...)},
			{"cautions", cautionTexts(b.Cautions)},
		}
		phases = append(phases, o)
	}
	out := object{{"name", r.Name}, {"phases", phases}}
	if r.Loss != nil {
		out = append(out, member{"loss_conductance_W_per_K", num(r.Loss.Value)}, member{"loss_conductance_u_W_per_K", num(r.Loss.U())}, member{"loss_from", r.LossFrom})
	}
	if d := r.Drying; d != nil {
		out = append(out, member{"drying", object{
			{"found", d.Found},
			{"from_s", num(d.From)},
			{"to_s", num(d.To)},
			{"leave_out_until_s", num(d.Until)},
			{"heat_J", num(d.Heat)},
			{"u_J", num(d.U)},
			{"degrees_of_freedom", num(d.DoF)},
			{"water_kg", num(d.Water)},
			{"block_colder_K", num(d.Deficit)},
			{"sentence", d.Sentence},
		}})
	}
	return append(out, member{"suspicions", append([]string{}, r.Suspicions...)}, member{"notes", append([]string{}, r.Notes...)})
}

// cautionTexts are the sentences of a phase's cautions.
func cautionTexts(all []balance.Caution) []string {
	out := []string{}
	for _, c := range all {
		out = append(out, c.Text+" "+practice)
	}
	return out
}

// resultDocument is a result with its unit, null where the record cannot give it.
func resultDocument(r *balance.Result) any {
	if r == nil {
		return nil
	}
	o := object{{"unit", r.Unit}, {"value", num(r.Value)}, {"u", num(r.U)}, {"degrees_of_freedom", num(r.DoF)}, {"half_width_95", num(r.Half())}}
	if r.Drawn != nil {
		d := &r.Drawn.Distribution
		o = append(o, member{"drawn", object{{"low", num(d.Low)}, {"high", num(d.High)}, {"trials", d.Trials}, {"settled", d.Settled}, {"first_order_agrees", r.Drawn.Agree}}})
	}
	return o
}

func coolingDocument(c *balance.Cooling) any {
	if c == nil {
		return nil
	}
	tau, u := math.NaN(), math.NaN()
	if c.Rate > 0 {
		tau, u = c.Constant()
	}
	return object{
		{"rate_per_s", num(c.Rate)},
		{"rate_u_per_s", num(c.U)},
		{"constant_s", num(tau)},
		{"constant_u_s", num(u)},
		{"degrees_of_freedom", num(c.DoF)},
		{"ambient_degC", num(c.Ambient - 273.15)},
		{"ambient_fitted", c.Fitted},
		{"memory", num(c.Memory)},
		{"exponential", c.Exponential},
		{"conductance", resultDocument(c.UA)},
		{"sentence", c.Sentence},
	}
}
