package follow

import (
	"math"
	"math/rand/v2"
	"testing"
)

// remembers draws noise that is white and noise that remembers.
func remembers(r *rand.Rand, n int, dt, white, lasting, T float64) []float64 {
	out := make([]float64, n)
	phi := 0.0
	if T > 0 {
		phi = math.Exp(-dt / T)
	}
	a := lasting * r.NormFloat64()
	for i := range out {
		if i > 0 {
			a = phi*a + math.Sqrt(1-phi*phi)*lasting*r.NormFloat64()
		}
		out[i] = a + white*r.NormFloat64()
	}
	return out
}

func TestTheChartKnowsTheVarianceOfItsMean(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	noise := Noise{White: 0.4, Lasting: 0.7, Time: 90}
	for _, rows := range []int{3, 12, 200} {
		const repeats = 4000
		sum, want := 0.0, 0.0
		for range repeats {
			c := newChart()
			for i, x := range remembers(r, rows, 10, 0.4, 0.7, 90) {
				c.Add(10*float64(i), x, 180, noise, false)
			}
			sum += c.Mean * c.Mean
			want = c.v
		}
		got := sum / repeats
		if math.Abs(got/want-1) > 5*math.Sqrt(2.0/repeats) { // five standard deviations of a variance
			t.Errorf("after %d rows the mean has the variance %g, not %g", rows, got, want)
		}
	}
}

// alarms counts the trials of 8 h, one row each 10 s and three columns, that are called a departure; bend is added from
// the middle on.
func alarms(seed uint64, trials int, lasting, T float64, given bool, bend func(s float64) float64) (called int, delay float64) {
	r := rand.New(rand.NewPCG(seed, 7))
	noise := Noise{White: 0.2, Lasting: math.NaN()}
	alarm := NewAlarm(0.01, 8*3600, 180, 0, 3)
	if given {
		noise.Lasting, noise.Time = lasting, T
	}
	for range trials {
		at := math.NaN()
		for range 3 {
			c := newChart()
			offset := 0.8 * r.NormFloat64()
			for i, x := range remembers(r, 2880, 10, 0.2, lasting, T) {
				s := 10 * float64(i)
				before := alarm.Boundary(0.8, c.SD())
				c.Add(s, x+offset+bend(s), 180, noise, c.Ready(noise, 180) && math.Abs(c.Mean) > before/2)
				if c.Ready(noise, 180) && math.Abs(c.Mean) > alarm.Boundary(0.8, c.SD()) {
					if !(at < s) {
						at = s
					}
					break
				}
			}
		}
		if !math.IsNaN(at) {
			called++
			delay += at - 4*3600
		}
	}
	return called, delay / float64(max(called, 1))
}

func none(float64) float64 { return 0 }

func TestUndisturbedTrialsAreCalledNoMoreOftenThanStated(t *testing.T) {
	for _, c := range []struct {
		lasting, T float64
		given      bool
	}{{0, 0, false}, {0.5, 60, true}, {0.5, 60, false}, {1, 300, true}, {1, 300, false}} {
		const trials = 300
		n, _ := alarms(11, trials, c.lasting, c.T, c.given, none)
		// 1 % of 300 is 3; a right chart gives more than 10 with a probability below 1 in 3000 (binomial).
		if n > 10 {
			t.Errorf("noise of %g K that remembers %g s (given: %v): %d of %d undisturbed trials are called", c.lasting, c.T, c.given, n, trials)
		}
		t.Logf("%+v: %d of %d called", c, n, trials)
	}
}

func TestADepartureIsCalledSoon(t *testing.T) {
	step := func(s float64) float64 {
		if s > 4*3600 {
			return 8
		}
		return 0
	}
	ramp := func(s float64) float64 { return max(0, (s-4*3600)*20/3600) } // 20 K an hour
	for name, bend := range map[string]func(float64) float64{"step of 8 K": step, "ramp of 20 K/h": ramp} {
		for _, given := range []bool{true, false} {
			n, delay := alarms(12, 40, 0.5, 60, given, bend)
			if n < 39 || delay < -600 || delay > 3000 {
				t.Errorf("%s (noise given: %v): %d of 40 called, %g s after it began", name, given, n, delay)
			}
			t.Logf("%s (noise given: %v): %d of 40 called, %.0f s after it began", name, given, n, delay)
		}
	}
}

func TestABoundaryGrowsWithColumnsAndTime(t *testing.T) {
	one, many := NewAlarm(0.01, 3600, 180, 0, 1).Boundary(1, 1), NewAlarm(0.01, 10*3600, 180, 0, 8).Boundary(1, 1)
	if many <= one || many > 1.5*one {
		t.Errorf("the boundary goes from %g to %g", one, many)
	}
	// An offset drawn once, one column: half of 1 % on two sides is the normal distribution's quantile of 0.9975, 2.8070.
	// Source: tables of the standard normal distribution.
	if b := NewAlarm(0.01, 3600, 180, 0, 1).Lasts; math.Abs(b-2.8070) > 1e-3 {
		t.Errorf("the part for what lasts is %g standard deviations", b)
	}
}
