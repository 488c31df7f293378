package trial

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// slowWater is a fast logger in the block and a slow one in the water, which stands for more than half of the time; the
// readings of the slow one are truth plus noise of 0.05 K, and flows written to 0.01 l/min.
func slowWater(t *testing.T, missing func(x int) bool) (*Setup, []string) {
	t.Helper()
	r := rand.New(rand.NewPCG(3, 7))
	var block, water strings.Builder
	block.WriteString("time [s],core [degC]\n")
	for x := 0; x <= 7200; x += 10 {
		if missing == nil || !missing(x) {
			fmt.Fprintf(&block, "%d,%.2f\n", x, 200-0.01*float64(x)+0.1*r.NormFloat64())
		}
	}
	water.WriteString("time [s],out [degC],flow [l/min]\n")
	for x := 0; x <= 7200; x += 60 {
		out, flow := 20.0, 0.02
		if x >= 4560 {
			out, flow = 30-0.001*float64(x-4560), 1.2
		}
		fmt.Fprintf(&water, "%d,%.2f,%.2f\n", x, out+0.05*r.NormFloat64(), flow)
	}
	s := &Setup{Axis: -1, Sources: []Source{
		{Name: "block.csv", Layout: open, Channels: []Channel{channel(t, "core", "core", Body, "degC")}},
		{Name: "water.csv", Layout: open, Channels: []Channel{
			channel(t, "out", "circuit main outlet", Outlet, "degC"), channel(t, "flow", "circuit main flow", Flow, "l/min"),
		}},
	}}
	return s, []string{block.String(), water.String()}
}

// TestNoiseIsThatOfTheLoggersOwnRows: rows drawn between those of a slow logger are smooth, and tell nothing of its
// noise. Bounds: a median of squares over some hundred rows is right to within a third.
func TestNoiseIsThatOfTheLoggersOwnRows(t *testing.T) {
	s, text := slowWater(t, nil)
	r := read(t, s, text...)
	if len(r.History.Time) != 721 {
		t.Fatalf("%d rows", len(r.History.Time))
	}
	if n := r.Columns[r.Index("circuit main outlet")].Noise; n < 0.03 || n > 0.08 {
		t.Errorf("the noise of the outlet is %g K, made with 0.05 K", n)
	}
	if n := r.Columns[r.Index("core")].Noise; n < 0.07 || n > 0.14 {
		t.Errorf("the noise of the block is %g K, made with 0.1 K", n)
	}
	at, v := r.Own(r.Index("circuit main outlet"))
	if len(at) != 121 || len(v) != 121 || at[1]-at[0] != 60 {
		t.Errorf("the water has %d rows of its own, want 121 each 60 s", len(at))
	}
}

// TestAFlowSetToZeroHasTheNoiseOfItsRounding: a steady flow that is written to 0.01 l/min is known to 0.01/√12 l/min
// at best (JCGM 100:2008, F.2.2.1), also where the meter dribbles for most of the record.
func TestAFlowSetToZeroHasTheNoiseOfItsRounding(t *testing.T) {
	s, text := slowWater(t, nil)
	r := read(t, s, text...)
	c := r.Columns[r.Index("circuit main flow")]
	want := 0.01 / 60 / math.Sqrt(12) // kg/s, of water at 1 kg/l
	if c.Noise < 0.98*want || c.Noise > 1.02*want {
		t.Errorf("the noise of the flow is %g kg/s, want %g", c.Noise, want)
	}
	_, own := r.Own(r.Index("circuit main flow"))
	if own[0] != 0 || math.Abs(own[100]-0.02) > 2e-4 {
		t.Errorf("its own rows are %g and %g kg/s, want 0 and 0.02", own[0], own[100])
	}
}

// TestAGapInTheFastestLoggerKeepsTheOthersRows: what another logger wrote while the one of the axis was silent stays.
func TestAGapInTheFastestLoggerKeepsTheOthersRows(t *testing.T) {
	s, text := slowWater(t, func(x int) bool { return x >= 5000 && x < 5600 })
	r := read(t, s, text...)
	out, core := column(t, r, "circuit main outlet"), column(t, r, "core")
	n := 0
	for k, at := range r.History.Time {
		if k > 0 && at <= r.History.Time[k-1] {
			t.Fatalf("time falls at %g s", at)
		}
		if at > 4995 && at < 5595 {
			n++
			if math.IsNaN(out[k]) || !math.IsNaN(core[k]) {
				t.Errorf("at %g s the outlet reads %g and the block %g, want a value and none", at, out[k], core[k])
			}
		}
	}
	if n != 10 {
		t.Errorf("%d rows stand in the gap, want the ten of the water", n)
	}
	s, text = slowWater(t, func(x int) bool { return x >= 5000 && x < 5600 })
	s.Axis = 0
	if r = read(t, s, text...); len(r.History.Time) != 661 {
		t.Errorf("an axis that was asked for has %d rows, want its own 661", len(r.History.Time))
	}
}

func TestDecimalsAreCounted(t *testing.T) {
	for text, want := range map[string]int{"12.50": 2, "7": 0, "-0.003": 3, "1.25e-3": 5, "1.2e3": -2, "1500": 0} {
		if got := decimals([]byte(text), '.'); got != want {
			t.Errorf("%q has %d decimals, counted %d", text, want, got)
		}
	}
	if got := decimals([]byte("1.234,5"), ','); got != 1 {
		t.Errorf("groups of three digits were counted as decimals: %d", got)
	}
}
