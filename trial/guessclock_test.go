package trial

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"
)

// clockFile writes 400 rows of a block that heats and cools, each after the text that stamp makes of its time.
func clockFile(heading string, every time.Duration, stamp func(time.Time) string) string {
	var b strings.Builder
	b.WriteString(heading)
	begin := time.Date(2026, 7, 3, 9, 15, 0, 0, time.UTC)
	for i := range 400 {
		fmt.Fprintf(&b, "%s%8.2f%8.2f\n", stamp(begin.Add(time.Duration(i)*every)), 20+80*math.Sin(float64(i)/130), 20+0.1*math.Sin(float64(i)/9))
	}
	return b.String()
}

func TestTimesOfTwelveHoursSpeakForTheMonthFirst(t *testing.T) {
	comma := func(s string) string { return s + "," }
	text := clockFile("Date Time,Block,Room\n", 10*time.Second, func(m time.Time) string { return comma(m.Format("01/02/2006 03:04:05 PM")) })
	text = strings.NewReplacer("  ", ",", ",   ", ",").Replace(text)
	g, found := Look(strings.NewReader(text), "file")
	if g == nil {
		t.Fatalf("%+v", found)
	}
	if g.Clock.Order != MonthDayYear || g.ClockOK != Doubtful {
		t.Errorf("the order is taken as %v, called %v: %s", g.Clock.Order, g.ClockOK, g.ClockHow)
	}
	text = strings.NewReplacer(" AM", "", " PM", "").Replace(text)
	if g, _ = Look(strings.NewReader(text), "file"); g == nil || g.Clock.Order != DayMonthYear || g.ClockOK != Doubtful {
		t.Errorf("without AM and PM the guess is %+v", g)
	}
}

func TestDaysAndHoursWithoutHeadingsAreFound(t *testing.T) {
	for _, c := range []struct {
		name   string
		every  time.Duration
		second int
		stamp  func(time.Time) string
	}{
		{"minutes", time.Minute, 0, func(m time.Time) string {
			return fmt.Sprintf("%5d%6d", m.YearDay(), m.Hour()*100+m.Minute())
		}},
		{"seconds", 10 * time.Second, 3, func(m time.Time) string {
			return fmt.Sprintf("%5d%6d%4d", m.YearDay(), m.Hour()*100+m.Minute(), m.Second())
		}},
	} {
		g, found := Look(strings.NewReader(clockFile("", c.every, c.stamp)), "file")
		if g == nil {
			t.Errorf("%s: %+v", c.name, found)
			continue
		}
		k := g.Clock
		if k.Kind != Parts || k.DayOfYear.Number != 1 || k.HourMinute.Number != 2 || k.Second.Number != c.second || g.ClockOK != Doubtful {
			t.Errorf("%s: the clock is taken as %+v, called %v: %s", c.name, k, g.ClockOK, g.ClockHow)
		}
		if got := g.Interval; got != c.every.Seconds() {
			t.Errorf("%s: a row each %g s instead of %g s", c.name, got, c.every.Seconds())
		}
	}
}
