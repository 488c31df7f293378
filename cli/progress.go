package cli

import (
	"fmt"
	"io"
	"strings"
	"sync"
	"time"

	"emberbank/web"
)

// progress is one line on a terminal that says how far long work has got. Off a terminal it says nothing, or, of work that may
// take days, a line now and then. Who started the work from the page is told step by step.
type progress struct {
	step  func(web.Step) // nil: nobody listens
	w     io.Writer      // nil: silent
	log   bool           // w is no terminal
	label string
	now   func() time.Time
	mu    sync.Mutex
	began time.Time
	drawn time.Time
	width int // of what stands on the line
}

func (c *call) progress(label string, quiet bool) *progress {
	p := &progress{step: c.tell.Step, label: label, now: time.Now}
	if c.terminal && !quiet {
		p.w = c.err
	}
	p.began = p.now()
	return p
}

// logged is progress that is written off a terminal as well, as into the log of a batch scheduler.
func (c *call) logged(label string, quiet bool) *progress {
	p := c.progress(label, quiet)
	if p.w == nil && !quiet {
		p.w, p.log, p.drawn = c.err, true, p.began
	}
	return p
}

// everyLog is how often a line is written off a terminal.
const everyLog = 30 * time.Second

// at draws the line for a share of the work done, at most ten times a second. What says how far it has got, such
// as "1 h 10 min of 6 h".
func (p *progress) at(share float64, what string) { p.counted(share, web.Step{Text: what}) }

// counted draws the line for a step of which more is known than its text.
func (p *progress) counted(share float64, s web.Step) {
	if p != nil && p.step != nil {
		p.step(s)
	}
	if p != nil && p.w != nil {
		p.draw(share, s.Text)
	}
}

func (p *progress) draw(share float64, what string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	t := p.now()
	if since := t.Sub(p.drawn); since < 100*time.Millisecond || p.log && since < everyLog {
		return
	}
	p.drawn = t
	s := fmt.Sprintf("%s: %s", p.label, what)
	if share > 0 && share <= 1 {
		s += fmt.Sprintf(" (%.0f %%)", 100*share)
		if spent := t.Sub(p.began).Seconds(); spent > 1 && share > 0.02 {
			s += ", about " + duration(spent*(1-share)/share) + " left"
		}
	}
	if p.log {
		fmt.Fprintln(p.w, s)
		return
	}
	if r := []rune(s); len(r) > 79 { // a longer line would wrap and stay
		s = string(r[:78]) + "…"
	}
	n := len([]rune(s))
	fmt.Fprintf(p.w, "\r%s%s", s, strings.Repeat(" ", max(0, p.width-n)))
	p.width = n
}

// done clears the line.
func (p *progress) done() {
	if p == nil || p.w == nil || p.width == 0 {
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	fmt.Fprintf(p.w, "\r%s\r", strings.Repeat(" ", p.width))
	p.width = 0
}

// duration writes seconds as a person would: "45 s", "12 min", "3 h 20 min", "14.4 days".
func duration(s float64) string {
	switch {
	case s < 1:
		return fmt.Sprintf("%.2g s", s)
	case s < 99.5:
		return fmt.Sprintf("%.0f s", s)
	case s < 5970:
		return fmt.Sprintf("%.0f min", s/60)
	}
	if d := s / 86400; d >= 3 {
		return fmt.Sprintf("%.1f days", d)
	}
	m := int(s/60 + 0.5)
	if m%60 == 0 {
		return fmt.Sprintf("%d h", m/60)
	}
	return fmt.Sprintf("%d h %d min", m/60, m%60)
}
