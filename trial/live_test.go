package trial

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"emberbank/history"
)

func liveSetup() *Setup {
	return &Setup{Name: "live", Axis: -1, Sources: []Source{{Name: "a.csv", Layout: Layout{Skip: -1, Headings: -1}, Channels: []Channel{
		{Column: Ref{Heading: "T core"}, Name: "core", Role: Body, Quantity: history.Temperature},
		{Column: Ref{Heading: "Lamp"}, Name: "lamp power", Role: LampPower, Quantity: history.HeatFlow, Hold: true},
	}}}}
}

const liveHead = "Made up\n\nTimestamp;T core [°C];Lamp [kW]\n"

// liveRow is row k, one each 10 s, of a made-up course.
func liveRow(k int) string {
	s := 9*3600 + 10*k
	return fmt.Sprintf("14.03.2026 %02d:%02d:%02d;%.1f;%.3f\n", s/3600, s/60%60, s%60, 20+0.1*float64(k)+0.3*math.Sin(float64(k)), 6.5)
}

func liveRows(from, to int) string {
	var b strings.Builder
	for k := from; k < to; k++ {
		b.WriteString(liveRow(k))
	}
	return b.String()
}

// gathered is what a Live gave.
type gathered struct {
	*Live
	time, core []float64
	now        float64
	kinds      []NoticeKind
}

func follow() *gathered {
	g := &gathered{}
	g.Live = NewLive(liveSetup(), []int{1}, func(f Fresh) {
		g.time = append(g.time, f.Time...)
		g.core = append(g.core, f.Values[0]...)
		g.now = f.Now
	})
	return g
}

func (g *gathered) feed(text string) { g.feedAfter(text, math.NaN()) }

func (g *gathered) feedAfter(text string, since float64) {
	g.Feed(0, 0, []byte(text), since)
	g.Flush(false)
	for _, n := range g.Notices() {
		g.kinds = append(g.kinds, n.Kind)
	}
}

// rows asserts that exactly the first n rows came, each once, with the values of a whole reading.
func (g *gathered) rows(t *testing.T, n int) {
	t.Helper()
	g.Flush(true)
	if len(g.time) != n {
		t.Fatalf("%d rows came, not %d; the last at %g s", len(g.time), n, g.time[max(0, len(g.time)-1)])
	}
	for k := range n {
		want := 20 + 0.1*float64(k) + 0.3*math.Sin(float64(k))
		if g.time[k] != 10*float64(k) || math.Abs(g.core[k]-zeroDegC-want) > 0.0501 {
			t.Fatalf("row %d is %g degC at %g s", k, g.core[k]-zeroDegC, g.time[k])
		}
	}
}

func (g *gathered) told(t *testing.T, want ...NoticeKind) {
	t.Helper()
	if fmt.Sprint(g.kinds) != fmt.Sprint(want) {
		t.Errorf("the notices are %v, not %v", g.kinds, want)
	}
}

func TestAGrowingFileGivesEveryRowOnceHoweverItIsCut(t *testing.T) {
	for _, cut := range []int{1, 7, 64, 5000, 1 << 20} {
		whole := liveHead + liveRows(0, 3000)
		if cut == 1 {
			whole = liveHead + liveRows(0, 200)
		}
		g := follow()
		for b := whole; len(b) > 0; {
			n := min(cut, len(b))
			g.Feed(0, 0, []byte(b[:n]), 10)
			if cut > 7 {
				g.Flush(false)
			}
			b = b[n:]
		}
		g.rows(t, strings.Count(whole, "\n")-3)
		g.told(t)
		if n := len(g.streams[0].time); n > window+1 {
			t.Errorf("%d rows are kept", n)
		}
	}
}

func TestAHalfLineWaitsForItsEnd(t *testing.T) {
	g := follow()
	g.feed(liveHead + liveRows(0, 20) + liveRow(20)[:25])
	if g.now != 190 {
		t.Errorf("the newest row is at %g s", g.now)
	}
	g.feed(liveRow(20)[25:])
	if g.now != 200 {
		t.Errorf("the newest row is at %g s", g.now)
	}
	g.rows(t, 21)
	g.told(t)
}

func TestARewrittenFileGivesNoRowTwice(t *testing.T) {
	g := follow()
	for n := 30; n < 2000; n += 97 {
		if n > 30 {
			g.Restart(0, 0)
		}
		g.feedAfter(liveHead+liveRows(0, n), 10) // written anew at each save
	}
	g.rows(t, 30+97*20)
	g.told(t)
}

func TestARotatedFileGoesOn(t *testing.T) {
	g := follow()
	g.feed(liveHead + liveRows(0, 700))
	g.Restart(0, 0)
	g.feedAfter(liveHead+liveRows(700, 720), 10)
	g.feedAfter(liveRows(720, 900), 10)
	g.rows(t, 900)
	g.told(t)
}

func TestAFileThatDropsItsOldestRowsGoesOn(t *testing.T) {
	g := follow()
	g.feed(liveHead + liveRows(0, 1500))
	for n := 1500; n < 1600; n += 20 {
		g.Restart(0, 0)
		g.feedAfter(liveHead+liveRows(n-1400, n+20), 10)
	}
	g.rows(t, 1600)
	g.told(t)
}

func TestAClockSetBackIsToldAndRunsOn(t *testing.T) {
	g := follow()
	g.feed(liveHead + liveRows(360, 460))
	for k := 100; k < 150; k++ { // an hour earlier
		g.feedAfter(liveRow(k), 10)
	}
	g.Flush(true)
	g.told(t, ClockBack)
	if g.now < 990+400 || g.now > 990+500 {
		t.Errorf("after 50 rows of 10 s the newest is at %g s", g.now)
	}
	for i := 1; i < len(g.time); i++ {
		if g.time[i] <= g.time[i-1] {
			t.Fatalf("time goes back at %g s", g.time[i])
		}
	}
}

func TestAClockThatLeapsAheadIsToldAndAPauseIsAGap(t *testing.T) {
	for _, c := range []struct {
		since float64
		want  NoticeKind
		now   float64
	}{{10, ClockAhead, 990 + 10 + 90}, {36000, LongGap, 37090}} {
		g := follow()
		g.feed(liveHead + liveRows(0, 100))
		for k := range 10 {
			since := 10.0
			if k == 0 {
				since = c.since
			}
			g.feedAfter(liveRow(3700+k), since)
		}
		g.Flush(true)
		g.told(t, c.want)
		if g.now != c.now {
			t.Errorf("the newest row is at %g s, not %g", g.now, c.now)
		}
	}
}

func TestAStrayStampIsLeftOut(t *testing.T) {
	g := follow()
	g.feed(liveHead + liveRows(0, 50) + "14.03.2099 12:00:00;25.0;6.5\n" + liveRows(50, 100))
	g.rows(t, 100)
	g.told(t, Stray)
}

func TestACountingClockThatBeginsAnewRunsOn(t *testing.T) {
	row := func(k int) string { return fmt.Sprintf("%d,%.2f,6.5\n", 10*k, 20+0.1*float64(k)) }
	g := follow()
	head := "Time [s],T core [degC],Lamp [kW]\n"
	s := head
	for k := range 100 {
		s += row(k)
	}
	g.feed(s)
	g.Restart(0, 0)
	s = head
	for k := range 20 {
		s += row(k + 1)
	}
	g.feedAfter(s, 60)
	g.Flush(true)
	g.told(t, BeganAnew)
	if g.now != 990+60+190 {
		t.Errorf("the newest row is at %g s", g.now)
	}
}

func TestUTF16AndMissingColumnsAreReadAsAWholeFileWouldBe(t *testing.T) {
	wide := []byte{0xFF, 0xFE}
	for _, r := range liveHead + liveRows(0, 40) {
		wide = append(wide, byte(r), byte(r>>8))
	}
	g := follow()
	for _, b := range wide {
		g.Feed(0, 0, []byte{b}, 1)
	}
	g.rows(t, 40)

	g = follow()
	g.feed(strings.ReplaceAll(liveHead, "Lamp", "Sun") + liveRows(0, 40))
	g.feed(liveRows(40, 80))
	if n := len(g.kinds); n != 1 || g.kinds[0] != Unreadable {
		t.Errorf("the notices are %v", g.kinds)
	}
}
