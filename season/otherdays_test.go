package season

import (
	"context"
	"flag"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"emberbank/bench"
	"emberbank/heat"
)

// Held to other days than a season chooses by itself: their numbers, from 1; "12h" begins hot, "12e" empty, "12" as the season
// has it. The days that the model is built from are left out.
var (
	yearApart = flag.String("year.apart", "", "days of the worked example's year to be held against, such as 15,46h,74e")
	tenApart  = flag.String("ten.apart", "", "the same of the ten days of the small receiver")
)

func TestYearOfTheWorkedExampleIsMetOnOtherDays(t *testing.T) {
	if *yearApart == "" {
		t.Skip("some minutes: give -year.apart")
	}
	loaded, problems := bench.LoadSeason(os.DirFS("../bench/scenario"), "season.yaml")
	if problems.Failed() {
		t.Fatal(problems)
	}
	p := loaded.Run.Problem
	p.Threads = 1
	holdOther(t, p, *yearApart, DefaultFrom)
}

func TestTenDaysAreMetOnOtherDays(t *testing.T) {
	if *tenApart == "" {
		t.Skip("give -ten.apart")
	}
	for _, load := range []string{makesSteam, warmsWater} {
		holdOther(t, smallProblem(t, load), *tenApart, 3)
	}
}

// holdOther builds as Make does and holds the model against the days.
func holdOther(t *testing.T, p heat.Problem, list string, from int) {
	t.Helper()
	p.Duty = p.Duty.Over(p.Until)
	light := lightOf(&p.Duty, int(p.Until/daySeconds))
	b, err := begin(context.Background(), &p, Options{Run: heat.Run, Workers: 2}, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer b.still.Close()
	m, out, err := b.cover(chooseFrom(light, from, nil, p.Initial, hotOf(&p)))
	if err != nil {
		t.Fatal(err)
	}
	var days []Day
	for _, word := range strings.Split(list, ",") {
		n, err := strconv.Atoi(strings.Trim(word, "he"))
		if err != nil {
			t.Fatal(err)
		}
		d := DayAt(n-1, out.Days[n-1].First)
		switch {
		case strings.HasSuffix(word, "h"):
			d.Block = hotOf(&p)
		case strings.HasSuffix(word, "e"):
			d.Block = math.NaN()
		}
		if shared([]Day{d}, b.taken()) == nil {
			days = append(days, d)
		}
	}
	if err := b.hold(m, days); err != nil {
		t.Fatal(err)
	}
	t.Logf("built from %v", m.Built)
	for i := range m.Checks {
		c := &m.Checks[i]
		t.Logf("%s | heat off %.2f %% (%s) of %.3g kWh | mean %.2f K | any row %.2f K | rms %.2f K | met %.4g for %.4g of %.4g | delivered %.4g for %.4g kWh | %s", c.Day, 100*c.Off, c.Worst, c.Heat/3.6e6, c.Mean, c.Peak, c.Spread,
			c.Fast.Met, c.Full.Met, c.Full.Wanted, c.Fast.Delivered/3.6e6, c.Full.Delivered/3.6e6, c.Told())
		if !c.Passes(m.Allowed) {
			t.Errorf("%s: off by %.2f %% of its heat and %.2f K", c.Day, 100*c.Off, c.Mean)
		}
	}
}
