package cli

import (
	"fmt"
	"math"

	"emberbank/follow"
	"emberbank/history"
	"emberbank/trial"
)

func (p *followPrinter) notice(n trial.Notice, live *trial.Live) {
	name := p.logger(n.Source)
	var kind, s string
	switch n.Kind {
	case trial.ClockBack:
		kind, s = "clock set back", fmt.Sprintf("%s: the clock went back by %s; here it runs on from the last row (the record does as \"repairs: backward\" says)", name, duration(n.By))
	case trial.ClockAhead:
		kind, s = "clock set ahead", fmt.Sprintf("%s: the clock leapt ahead by %s, more than went by; here it runs on from the last row", name, duration(n.By))
	case trial.Stray:
		kind, s = "stray stamp", fmt.Sprintf("%s: %d row(s) with a stamp %s ahead of those around left out", name, n.Rows, duration(n.By))
	case trial.BeganAnew:
		kind, s = "clock began anew", name+": its clock counts from the start again; here it runs on from the last row"
	case trial.LongGap:
		kind, s = "gap", fmt.Sprintf("%s: %s without rows", name, duration(n.By))
	case trial.Unreadable:
		kind, s = "unreadable", n.What
	}
	if p.json {
		p.document(map[string]any{"kind": "notice", "what": kind, "logger": name, "at_s": number(n.Time), "by_s": n.By, "text": s})
		return
	}
	p.line(p.moment(n.Time, live) + "  " + s)
}

// call prints a call-out.
func (p *followPrinter) call(x follow.Call, live *trial.Live) {
	s := p.callText(x)
	if p.json {
		d := map[string]any{"kind": "call", "what": x.Kind.Word(), "at_s": number(x.At), "moment": p.moment(x.At, live), "text": s}
		if x.Kind != follow.Beyond && x.Kind != follow.Inside {
			d["logger"] = p.logger(x.Source)
		}
		if x.Channel != "" {
			d["channel"], d["unit"], d["value"] = x.Channel, x.Quantity.Unit(), number(x.Quantity.Shown(x.Value))
		}
		switch x.Kind {
		case follow.Near, follow.Passed, follow.Clear, follow.Reached:
			d["limit"], d["why"], d["source"] = x.Quantity.Shown(x.Limit.At), x.Limit.Why, x.Limit.Source
		case follow.Departed, follow.Returned:
			d["value"], d["boundary"], d["predicted"] = number(inUnit(x.Quantity, x.Value)), number(inUnit(x.Quantity, x.Boundary)), number(x.Quantity.Shown(x.Predicted))
		}
		if x.Kind == follow.Beyond {
			d["quantity"], d["direction"], d["by"], d["by_unit"], d["ahead"] = x.Outside.Name, x.Outside.Direction, x.Outside.By, x.Outside.Unit, x.Outside.Ahead
		}
		p.document(d)
		return
	}
	mark := "CALL  "
	switch x.Kind {
	case follow.Back, follow.Heard, follow.Clear, follow.Returned, follow.Reached, follow.Inside:
		mark = "      "
	}
	p.line(p.moment(x.At, live) + "  " + mark + s)
}

func (p *followPrinter) callText(x follow.Call) string {
	q := x.Quantity
	side := "below"
	if x.Limit.Below {
		side = "above"
	}
	limit := "the limit of " + reading(q, x.Limit.At)
	if x.Limit.Why != "" {
		limit += " (" + x.Limit.Why + ")"
	}
	switch x.Kind {
	case follow.Lost:
		if math.IsNaN(x.Value) {
			return fmt.Sprintf("%s has had no reading yet, for %s", x.Channel, duration(x.Since))
		}
		return fmt.Sprintf("%s is lost: no reading for %s; the last was %s", x.Channel, duration(x.Since), reading(q, x.Value))
	case follow.Standing:
		return fmt.Sprintf("%s stands still at %s while others move: is the sensor lost?", x.Channel, reading(q, x.Value))
	case follow.Back:
		return fmt.Sprintf("%s reads: %s", x.Channel, reading(q, x.Value))
	case follow.Silent:
		return fmt.Sprintf("%s is silent: no row for %s", p.logger(x.Source), duration(x.Since))
	case follow.Heard:
		return p.logger(x.Source) + " writes again"
	case follow.Near:
		s := fmt.Sprintf("%s is near a limit: %s, %s %s %s", x.Channel, reading(q, x.Value), difference(q, math.Abs(x.Value-x.Limit.At)), side, limit)
		if l := leftText(x.Left); l != "" && !math.IsInf(x.Left.Time, 1) {
			s += "; at this rate there in " + l
		}
		return s
	case follow.Passed:
		s := fmt.Sprintf("%s has passed %s: %s", x.Channel, limit, reading(q, x.Value))
		if q == history.Temperature || q == history.Pressure {
			s += ". What stands at its limit may fail, burn or let go: keep clear, take the source away if that is safe; local codes and licensed practice decide"
		}
		return s
	case follow.Clear:
		return fmt.Sprintf("%s is clear of %s: %s", x.Channel, limit, reading(q, x.Value))
	case follow.Departed:
		return fmt.Sprintf("%s departs from the prediction: %s %s than predicted on average (predicted %s), more than the %s that chance allows", x.Channel,
			difference(q, math.Abs(x.Value)), word(x.Value > 0, "more", "less"), reading(q, x.Predicted), difference(q, x.Boundary))
	case follow.Returned:
		return x.Channel + " is within the band of the prediction again"
	case follow.Beyond:
		return outsideText(x.Outside)
	case follow.Inside:
		return "the model is inside the envelope in which it was trusted again"
	case follow.Reached:
		return fmt.Sprintf("%s has reached %s", x.Channel, reading(q, x.Limit.At))
	}
	return ""
}
