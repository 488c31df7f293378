package cli

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
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

// outsideText says what leaves the match's envelope.
func outsideText(o follow.Outside) string {
	if o.Ahead {
		return "the model will leave the envelope in which it was trusted, if nothing is changed: " + o.Sentence
	}
	return "the model is outside the envelope in which it was trusted: " + o.Sentence
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
		return fmt.Sprintf("%s (%s or later, perhaps not within %s; by the %s)", minutes(l.Time), minutes(l.Lower), duration(l.Within), l.By)
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
func (p *followPrinter) report(list []follow.Now, outside []follow.Outside, live *trial.Live) {
	at := math.NaN()
	for _, n := range list {
		if t := n.At; !math.IsNaN(t) && !(t <= at) {
			at = t
		}
	}
	switch {
	case p.quiet:
	case p.json:
		p.document(p.reportDocument(list, outside, live, at))
	case p.block:
		p.renew(list, outside, live, at)
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
		if beyond := slices.IndexFunc(outside, func(o follow.Outside) bool { return !o.Ahead }); beyond >= 0 {
			parts = append(parts, "OUTSIDE THE ENVELOPE: "+outside[beyond].Sentence)
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
		if !math.IsNaN(n.Moved) && t.By == "model" {
			l = strings.TrimSuffix(l, ")") + fmt.Sprintf(" moved by %+.1f ± %s)", inUnit(n.Quantity, n.Moved), difference(n.Quantity, n.MovedBand))
		}
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
func (p *followPrinter) renew(list []follow.Now, outside []follow.Outside, live *trial.Live, at float64) {
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
	for _, o := range outside {
		lines = append(lines, "  "+outsideText(o))
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

func (p *followPrinter) reportDocument(list []follow.Now, outside []follow.Outside, live *trial.Live, at float64) map[string]any {
	channels := []map[string]any{}
	for _, n := range list {
		q := n.Quantity
		d := map[string]any{
			"name": n.Name, "unit": q.Unit(), "value": number(q.Shown(n.Value)), "at_s": number(n.At), "age_s": number(n.Age),
			"moved": number(inUnit(q, n.Moved)), "moved_band": number(inUnit(q, n.MovedBand)), "lost": n.Lost, "standing_still": n.Standing, "rate_per_s": number(inUnit(q, n.Rate)),
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
	beyond := []map[string]any{}
	for _, o := range outside {
		beyond = append(beyond, map[string]any{"quantity": o.Name, "direction": o.Direction, "by": o.By, "by_unit": o.Unit, "ahead": o.Ahead, "text": o.Sentence})
	}
	return map[string]any{"kind": "report", "at_s": number(at), "moment": p.moment(at, live), "channels": channels, "outside_envelope": beyond}
}
