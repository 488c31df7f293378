package cli

import (
	"bytes"
	"strings"
	"testing"
	"time"
)

func TestProgressIsSilentOffATerminal(t *testing.T) {
	var b bytes.Buffer
	c := &call{err: &b}
	p := c.progress("drain", false)
	p.at(0.5, "half")
	p.done()
	if b.Len() != 0 {
		t.Errorf("a pipe gets %q", b.String())
	}
	c.terminal = true
	p = c.progress("drain", true)
	p.at(0.5, "half")
	if b.Len() != 0 {
		t.Errorf("--quiet prints %q", b.String())
	}
}

// TestLongWorkWritesALineNowAndThenOffATerminal: every half minute, each with its end.
func TestLongWorkWritesALineNowAndThenOffATerminal(t *testing.T) {
	var b bytes.Buffer
	c := &call{err: &b}
	p := c.logged("choice", false)
	clock := time.Unix(1000, 0)
	p.now = func() time.Time { return clock }
	p.drawn = clock
	for range 65 {
		p.at(0, clock.Format("05")+" done")
		clock = clock.Add(time.Second)
	}
	p.done()
	if got := b.String(); got != "choice: 10 done\nchoice: 40 done\n" {
		t.Errorf("a log gets %q", got)
	}
	if p := c.logged("choice", true); p.w != nil {
		t.Error("--quiet writes a log")
	}
}

func TestProgressIsOneLineThatCleansUp(t *testing.T) {
	var b bytes.Buffer
	c := &call{err: &b, terminal: true}
	p := c.progress("drain", false)
	clock := time.Unix(1000, 0)
	p.now = func() time.Time { return clock }
	p.began = clock
	for i := range 21 { // 2 s in steps of 0.1 s, half of the work
		p.at(float64(i)/40, strings.Repeat("long ", 30))
		p.at(float64(i)/40, "not drawn: too soon after")
		clock = clock.Add(100 * time.Millisecond)
	}
	p.at(0.5, "3 h of 6 h")
	p.done()
	out := b.String()
	if strings.Contains(out, "\n") || strings.Contains(out, "not drawn") {
		t.Errorf("printed %q", out)
	}
	if !strings.Contains(out, "drain: 3 h of 6 h (50 %), about 2 s left") {
		t.Errorf("printed %q", out)
	}
	for _, line := range strings.Split(out, "\r") {
		if n := len([]rune(line)); n > 79 {
			t.Errorf("a line of %d columns: %q", n, line)
		}
	}
	if !strings.HasSuffix(out, "\r"+strings.Repeat(" ", p.widest(out))+"\r") {
		t.Errorf("the line is not cleared: %q", out[len(out)-100:])
	}
}

// widest is the width of the last line drawn, which done must clear.
func (p *progress) widest(out string) int {
	lines := strings.Split(strings.TrimSuffix(out, "\r"), "\r")
	return len([]rune(strings.TrimRight(lines[len(lines)-2], " ")))
}

func TestDurationsReadWell(t *testing.T) {
	for s, want := range map[float64]string{0.25: "0.25 s", 45: "45 s", 600: "10 min", 7200: "2 h", 7800: "2 h 10 min", 21600: "6 h", 1248300: "14.4 days"} {
		if got := duration(s); got != want {
			t.Errorf("%v s prints %q, want %q", s, got, want)
		}
	}
}
