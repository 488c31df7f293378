package account

import (
	"fmt"
	"math"
	"strings"

	"emberbank/figure"
	"emberbank/heat"
	"emberbank/yield"
)

// amounts says what a run amounts to.
func (p *page) amounts(y *yield.Report) {
	if y == nil {
		return
	}
	p.line("")
	p.line("What it amounts to in %s", figure.Span(y.Span))
	for _, a := range YieldLines(y) {
		p.paragraph("  "+left(a.Name, 30), a.Text)
	}
	p.comparison(y, inScale(y))
}

// YieldLine is one of the things that a run amounts to, as a report says it.
type YieldLine struct{ Name, Text string }

// YieldLines are what a run amounts to, one by one; none without a report.
func YieldLines(y *yield.Report) []YieldLine {
	if y == nil {
		return nil
	}
	var out []YieldLine
	heat := inScale(y)
	say := func(name, format string, args ...any) {
		out = append(out, YieldLine{name, fmt.Sprintf(format, args...)})
	}
	if s := y.Served; s != nil {
		loadAmounts(s, say, heat)
	}
	say("carried off by the water", "%s", heat(y.Delivered))
	say("light on the window", "%s of %s that was offered", heat(y.Light), heat(y.Offered))
	say("lost", "%s", heat(y.Lost))
	if y.Swing > 0 {
		say("charged and drained", "%s and %s times the swing of %s", figure.Number(y.Charges, 2), figure.Number(y.Drains, 2), heat(y.Swing))
	}
	if y.Serves == y.Serves {
		say("the block above "+celsius(y.Serves), "%s at the start, %s left unused at the end", heat(y.Begins), heat(y.Unused))
	}
	if y.First == y.First {
		say("efficiency, first law", "%s", figure.Percent(y.First))
	}
	if y.Second == y.Second {
		say("efficiency, second law", "%s against surroundings at %s, the ambient's mean; sunlight by Petela (1964)", figure.Percent(y.Second), celsius(y.Air))
	}
	return out
}

// inScale prints heats in J in the unit in which those of a report read well beside one another.
func inScale(y *yield.Report) func(J float64) string {
	size := figure.ScaleOf(math.Max(math.Max(y.Light, y.Delivered), math.Max(y.Begins, y.Swing)), false)
	return func(J float64) string { return size.Text(J) + "\u00a0" + size.Unit }
}

// loadAmounts say what became of a load.
func loadAmounts(s *heat.Served, say func(name, format string, args ...any), heat func(J float64) string) {
	amount := heat
	if s.Steam {
		amount = func(kg float64) string { return kilograms(kg) + " of steam" }
	}
	say("wanted", "%s", amount(s.Wanted))
	if s.Wanted > 0 {
		say("given", "%s; %s of what was wanted when it was wanted", amount(s.Delivered), figure.Percent(s.Met/s.Wanted))
		say("hours held", "%s of %s", spanOrNone(s.Held), figure.Span(s.Asked))
	}
	var open []string
	for n, t := range s.Counts {
		if t > 0 {
			word := fmt.Sprintf("%d", n)
			if n == 0 {
				word = "none"
			}
			open = append(open, word+" for "+figure.Span(math.Round(t)))
		}
	}
	say("circuits open", "%s; opened %d and shut %d times", strings.Join(open, ", "), s.Opened, s.Shut)
}

func spanOrNone(t float64) string {
	if t < 0.5 {
		return "none"
	}
	return figure.Span(math.Round(t))
}

// comparison says what else the heat might have done, and what a store beside the receiver would have.
func (p *page) comparison(y *yield.Report, heat func(J float64) string) {
	p.line("For comparison only")
	if c := &y.Cycle; c.Mean == c.Mean {
		s := fmt.Sprintf("The heat that the water carried off, taken up at %s on the mean, is worth at the most %s of work, and by an engine at its greatest power %s (Curzon and Ahlborn, 1975).",
			celsius(c.Mean), heat(c.Reversible), heat(c.Endoreversible))
		if c.Pressure > 0 {
			s += fmt.Sprintf(" Its steam, in a simple steam cycle from %.3g bar to a condenser at %s with a turbine of %s: %s, %s of the cycle's heat.",
				c.Pressure/1e5, celsius(c.Condenser), figure.Percent(c.Turbine), heat(c.Work), figure.Percent(c.Share))
		}
		p.paragraph("  ", s)
	}
	b := y.Beside
	if b == nil {
		p.paragraph("  ", "The store beside the receiver is not compared: "+y.NotBeside+".")
		return
	}
	met := "nothing was wanted"
	if share := b.MetShare(); share == share {
		met = "the load is met to " + figure.Percent(share)
	}
	p.paragraph("  ", fmt.Sprintf("The same duty with the store beside the receiver, a hot tank: %s; the receiver loses %s while it works, the tank %s all day, %s is left at the end.",
		met, heat(b.ReceiverLost), heat(b.TankLost), heat(b.Ends)))
	p.paragraph("  ", fmt.Sprintf("It assumes a tank at %s, the highest mean of the block, that holds %s; a receiver without storage at %s while the sun shines (%d K more), with this run's window (%.3g W/K while it shines) and sides (%.3g W/K); a tank insulated as these sides are; what the block held at the start; no pipes, no pumps.",
		celsius(b.Tank), heat(b.Capacity), celsius(b.Receiver), yield.Approach, b.Window, b.Sides))
}

// yields is what summary.json says of what a run amounts to.
func yields(y *yield.Report) object {
	o := object{
		{"span_s", num(y.Span)},
		{"reference_degC", num(y.Air - 273.15)},
	}
	if s := y.Served; s != nil {
		u := "_J"
		if s.Steam {
			u = "_kg"
		}
		share := math.NaN()
		if s.Wanted > 0 {
			share = s.Met / s.Wanted
		}
		o = append(o, member{"load", object{
			{"of", map[bool]string{false: "heat", true: "steam"}[s.Steam]},
			{"wanted" + u, num(s.Wanted)},
			{"delivered" + u, num(s.Delivered)},
			{"met" + u, num(s.Met)},
			{"met_share", num(share)},
			{"asked_s", num(s.Asked)},
			{"held_s", num(s.Held)},
			{"heat_carried_J", num(s.Heat)},
			{"heat_let_out_J", num(s.Let)},
			{"circuits_open_s", listOf(s.Counts, func(t float64) any { return num(t) })},
			{"opened", s.Opened},
			{"shut", s.Shut},
			{"serves_degC", num(y.Serves - 273.15)},
			{"above_it_at_start_J", num(y.Begins)},
			{"unused_at_end_J", num(y.Unused)},
		}})
	}
	o = append(o,
		member{"light_J", num(y.Light)},
		member{"light_offered_J", num(y.Offered)},
		member{"absorbed_J", num(y.Absorbed)},
		member{"electric_J", num(y.Electric)},
		member{"delivered_J", num(y.Delivered)},
		member{"steam_kg", num(y.Steam)},
		member{"stored_J", num(y.Stored)},
		member{"lost_J", num(y.Lost)},
		member{"lost_by", listOf(y.ByPath, func(s heat.Share) any { return object{{"name", s.Name}, {"energy_J", num(s.Amount)}} })},
		member{"swing_J", num(y.Swing)},
		member{"full_charges", num(y.Charges)},
		member{"full_drains", num(y.Drains)},
		member{"efficiency_first_law", num(y.First)},
		member{"efficiency_second_law", num(y.Second)},
		member{"exergy", object{{"light_J", num(y.Exergy.Light)}, {"water_J", num(y.Exergy.Water)}, {"stored_J", num(y.Exergy.Stored)}}},
		member{"cycle", cycle(&y.Cycle)})
	if b := y.Beside; b != nil {
		o = append(o, member{"store_beside", storeBeside(b)})
	} else {
		o = append(o, member{"store_beside_not_told", y.NotBeside})
	}
	return o
}

func cycle(c *yield.Cycle) object {
	o := object{
		{"note", "for comparison only"},
		{"mean_temperature_degC", num(c.Mean - 273.15)},
		{"reversible_J", num(c.Reversible)},
		{"endoreversible_J", num(c.Endoreversible)},
	}
	if c.Pressure > 0 {
		o = append(o, member{"pressure_Pa", num(c.Pressure)}, member{"condenser_degC", num(c.Condenser - 273.15)},
			member{"turbine_efficiency", num(c.Turbine)}, member{"work_J", num(c.Work)}, member{"efficiency", num(c.Share)})
	}
	return o
}

func storeBeside(b *yield.Beside) object {
	return object{
		{"note", "for comparison only"},
		{"tank_degC", num(b.Tank - 273.15)},
		{"receiver_degC", num(b.Receiver - 273.15)},
		{"capacity_J", num(b.Capacity)},
		{"window_W_per_K", num(b.Window)},
		{"sides_W_per_K", num(b.Sides)},
		{"begins_J", num(b.Begins)},
		{"light_J", num(b.Light)},
		{"absorbed_J", num(b.Absorbed)},
		{"receiver_lost_J", num(b.ReceiverLost)},
		{"collected_J", num(b.Collected)},
		{"spilled_J", num(b.Spilled)},
		{"tank_lost_J", num(b.TankLost)},
		{"wanted_J", num(b.Wanted)},
		{"met_J", num(b.Met)},
		{"met_share", num(b.MetShare())},
		{"ends_J", num(b.Ends)},
	}
}
