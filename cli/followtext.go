package cli

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"time"

	"emberbank/bench"
	"emberbank/follow"
	"emberbank/history"
	"emberbank/trial"
)

// followPrinter puts what a running trial says into words: a block that is renewed on a terminal, lines elsewhere, JSON
// lines with --json.
type followPrinter struct {
	c     *call
	what  *bench.Following
	json  bool
	quiet bool
	block bool // the output is a terminal
	lines int  // of the block that stands
	drove string
}

func newFollowPrinter(c *call, what *bench.Following, asJSON, quiet bool) *followPrinter {
	p := &followPrinter{c: c, what: what, json: asJSON, quiet: quiet}
	if w, ok := c.out.(*watched); ok {
		p.block = !asJSON && !quiet && isTerminal(w.w)
	}
	return p
}

// wipe takes the block off the screen.
func (p *followPrinter) wipe() {
	if p.lines > 0 {
		fmt.Fprintf(p.c.out, "\x1b[%dA\x1b[J", p.lines)
		p.lines = 0
	}
}

// line prints a line that stays.
func (p *followPrinter) line(s string) {
	if p.quiet {
		return
	}
	p.wipe()
	fmt.Fprintln(p.c.out, s)
}

func (p *followPrinter) document(v map[string]any) {
	if p.quiet {
		return
	}
	var b strings.Builder
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		panic(fmt.Sprintf("cli: a document that JSON cannot hold: %v", err))
	}
	_, _ = p.c.out.Write([]byte(b.String()))
}

// moment shows a time of the trial: on the loggers' clock where that shows dates, else from the start.
func (p *followPrinter) moment(at float64, live *trial.Live) string {
	if math.IsNaN(at) || math.IsInf(at, 0) {
		return "--:--:--"
	}
	if start, ok := live.Start(); ok {
		return start.Add(time.Duration(at * 1e9)).Format("15:04:05")
	}
	s := int(at + 0.5)
	return fmt.Sprintf("%d:%02d:%02d", s/3600, s/60%60, s%60)
}

func (p *followPrinter) note(s string) {
	if p.json {
		p.document(map[string]any{"kind": "note", "text": s})
		return
	}
	p.line("note: " + s)
}

// driven tells once what drives the model, and again where that changes.
func (p *followPrinter) driven(x *follow.Prediction) {
	s := "the model runs as its duty states"
	if len(x.Driven) > 0 {
		s = "the model is driven by " + strings.Join(x.Driven, ", ") + " as measured; beyond now they stay as they are"
	}
	if len(x.Notes) > 0 {
		s += "; " + strings.Join(x.Notes, "; ")
	}
	if s != p.drove {
		p.drove = s
		p.note(s)
	}
}

func (p *followPrinter) logger(i int) string {
	if i < 0 || i >= len(p.what.Setup.Sources) {
		return "the logger"
	}
	return p.what.Setup.Sources[i].Name
}

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
		d := map[string]any{"kind": "call", "what": x.Kind.Word(), "at_s": number(x.At), "moment": p.moment(x.At, live), "logger": p.logger(x.Source), "text": s}
		if x.Channel != "" {
			d["channel"], d["unit"], d["value"] = x.Channel, x.Quantity.Unit(), number(x.Quantity.Shown(x.Value))
		}
		switch x.Kind {
		case follow.Near, follow.Passed, follow.Clear, follow.Reached:
			d["limit"], d["why"], d["source"] = x.Quantity.Shown(x.Limit.At), x.Limit.Why, x.Limit.Source
		case follow.Departed, follow.Returned:
			d["value"], d["boundary"], d["predicted"] = number(inUnit(x.Quantity, x.Value)), number(inUnit(x.Quantity, x.Boundary)), number(x.Quantity.Shown(x.Predicted))
		}
		p.document(d)
		return
	}
	mark := "CALL  "
	switch x.Kind {
	case follow.Back, follow.Heard, follow.Clear, follow.Returned, follow.Reached:
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
	case follow.Reached:
		return fmt.Sprintf("%s has reached %s", x.Channel, reading(q, x.Limit.At))
	}
	return ""
}

func word(yes bool, a, b string) string {
	if yes {
		return a
	}
	return b
}

func reading(q history.Quantity, v float64) string {
	if math.IsNaN(v) {
		return "no reading"
	}
	x := q.Shown(v)
	if q == history.Temperature {
		return fmt.Sprintf("%.1f degC", x)
	}
	return strings.TrimSuffix(fmt.Sprintf("%.4g %s", x, q.Unit()), " 1")
}

func difference(q history.Quantity, v float64) string {
	if q == history.Temperature {
		return fmt.Sprintf("%.1f K", v)
	}
	return strings.TrimSuffix(fmt.Sprintf("%.3g %s", q.Shown(v), q.Unit()), " 1")
}

// leftText is a time left with its interval, "" where nothing is known.
func leftText(l follow.Left) string {
	switch {
	case l.By == "" || math.IsNaN(l.Time):
		return ""
	case math.IsInf(l.Lower, 1):
		return fmt.Sprintf("not within %s (by the %s)", duration(l.Within), l.By)
	case math.IsInf(l.Time, 1):
		return fmt.Sprintf("%s at the earliest, likely not within %s (by the %s)", minutes(l.Lower), duration(l.Within), l.By)
	case math.IsInf(l.Upper, 1):
		return fmt.Sprintf("%s (%s or later, perhaps never; by the %s)", minutes(l.Time), minutes(l.Lower), l.By)
	}
	return fmt.Sprintf("%s (%s to %s, by the %s)", minutes(l.Time), minutes(l.Lower), minutes(l.Upper), l.By)
}

// minutes shows a time left as finely as its interval may need.
func minutes(s float64) string {
	switch {
	case s < 120:
		return fmt.Sprintf("%.0f s", s)
	case s < 6000:
		return fmt.Sprintf("%.3g min", s/60)
	}
	return duration(s)
}

// report prints how things stand.
func (p *followPrinter) report(list []follow.Now, live *trial.Live, now float64) {
	at := math.NaN()
	for _, n := range list {
		if t := n.At; !math.IsNaN(t) && !(t <= at) {
			at = t
		}
	}
	switch {
	case p.quiet:
	case p.json:
		p.document(p.reportDocument(list, live, at))
	case p.block:
		p.renew(list, live, at)
	default:
		if len(list) == 0 {
			p.line("--:--:--  waiting for rows")
			return
		}
		var parts []string
		for _, n := range list {
			parts = append(parts, n.Name+" "+nowText(n, false))
			for _, t := range n.Targets {
				if !t.Reached {
					parts = append(parts, targetText(n, t))
				}
			}
		}
		p.line(p.moment(at, live) + "  " + strings.Join(parts, "; "))
	}
}

func targetText(n follow.Now, t follow.Waiting) string {
	s := n.Name + " to " + reading(n.Quantity, t.At) + ": "
	if t.Reached {
		return s + "reached"
	}
	if l := leftText(t.Left); l != "" {
		return s + l
	}
	return s + "not known yet"
}

// nowText is one channel's reading beside what is predicted.
func nowText(n follow.Now, wide bool) string {
	s := reading(n.Quantity, n.Value)
	switch {
	case n.Lost:
		s += " LOST"
	case n.Standing:
		s += " STANDS STILL"
	}
	if n.Age >= 15 {
		s += fmt.Sprintf(" (%s old)", duration(n.Age))
	}
	if wide && n.Quantity == history.Temperature && !math.IsNaN(n.Rate) {
		s += fmt.Sprintf(", %+.2f K/min", n.Rate*60)
	}
	if !math.IsNaN(n.Predicted) {
		s += fmt.Sprintf(", predicted %s ± %s", reading(n.Quantity, n.Predicted), difference(n.Quantity, n.Band))
		if n.Departed {
			s += " DEPARTS"
		}
	}
	for _, l := range n.Limits {
		s += ", NEAR OR PAST " + reading(n.Quantity, l.At)
	}
	return s
}

// renew draws the block anew. Lines are cut to a terminal's usual width, so that none wraps and stays.
func (p *followPrinter) renew(list []follow.Now, live *trial.Live, at float64) {
	lines := []string{fmt.Sprintf("%s  %s   Ctrl-C ends it with the report", p.moment(at, live), p.what.Name)}
	if len(list) == 0 {
		lines = append(lines, "  waiting for rows")
	}
	for _, n := range list {
		lines = append(lines, fmt.Sprintf("  %-22s %s", n.Name, nowText(n, true)))
		for _, t := range n.Targets {
			lines = append(lines, "    "+targetText(n, t))
		}
	}
	p.wipe()
	var b strings.Builder
	for _, l := range lines {
		if r := []rune(l); len(r) > 100 {
			l = string(r[:99]) + "…"
		}
		b.WriteString(l + "\n")
	}
	_, _ = p.c.out.Write([]byte(b.String()))
	p.lines = len(lines)
}

// end leaves the last block standing.
func (p *followPrinter) end() { p.lines = 0 }

func number(v float64) *float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return &v
}

func (p *followPrinter) reportDocument(list []follow.Now, live *trial.Live, at float64) map[string]any {
	channels := []map[string]any{}
	for _, n := range list {
		q := n.Quantity
		d := map[string]any{
			"name": n.Name, "unit": q.Unit(), "value": number(q.Shown(n.Value)), "at_s": number(n.At), "age_s": number(n.Age),
			"lost": n.Lost, "standing_still": n.Standing, "rate_per_s": number(inUnit(q, n.Rate)),
			"predicted": number(q.Shown(n.Predicted)), "band": number(inUnit(q, n.Band)),
			"mean_difference": number(inUnit(q, n.Mean)), "boundary": number(inUnit(q, n.Boundary)), "departed": n.Departed,
		}
		var targets []map[string]any
		for _, t := range n.Targets {
			targets = append(targets, map[string]any{
				"reaches": q.Shown(t.At), "reached": t.Reached, "left_s": number(t.Time), "lower_s": number(t.Lower), "upper_s": number(t.Upper), "by": t.By,
			})
		}
		if targets != nil {
			d["targets"] = targets
		}
		channels = append(channels, d)
	}
	return map[string]any{"kind": "report", "at_s": number(at), "moment": p.moment(at, live), "channels": channels}
}
