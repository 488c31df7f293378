package follow

import (
	"math"
	"testing"

	"emberbank/history"
	"emberbank/trial"
)

// judged is a follower with one temperature, "core", that is predicted at 300 K for ever; rows come every 10 s.
type judged struct {
	f    *Follower
	own  float64 // K, the sensor's lasting error
	move float64 // what one unit of the parameter changes
	now  float64 // s
}

func (g *judged) rows(n int, r float64) (kinds []CallKind) {
	rows := trial.Fresh{
		Columns:  []trial.Column{{Name: "core", Quantity: history.Temperature, Role: trial.Body, Noise: 0.1, Parts: []trial.Part{{Group: "own", Constant: g.own}}}},
		Interval: 10, Newest: []float64{300 + r}, Stuck: []bool{false}, Values: [][]float64{nil},
	}
	for range n {
		g.now += 10
		rows.Time, rows.Values[0] = append(rows.Time, g.now), append(rows.Values[0], 300+r)
	}
	rows.Now = g.now
	g.f.Take(rows, g.now)
	p := &Prediction{Known: g.now, Columns: map[string]*Course{"core": {Moves: [][]float64{nil}}}}
	c := p.Columns["core"]
	for t := 0.0; t <= g.now+3600; t += 10 {
		p.Time, c.Value, c.Moves[0] = append(p.Time, t), append(c.Value, 300), append(c.Moves[0], g.move)
	}
	g.f.Predicted(p)
	for _, x := range g.f.Calls() {
		kinds = append(kinds, x.Kind)
	}
	return kinds
}

func (g *judged) says() Now { return g.f.Now(g.now)[0] }

const lastsLong = 1200.0 // s

func judging(slow, own, move, sd, within float64) *judged {
	f := New(Plan{Within: within})
	f.Use(&Model{
		Parameters: []Parameter{{Name: "made up", Value: 1, SD: sd}}, Covariance: [][]float64{{sd * sd}},
		Departures: map[string]Departing{"core": {White: 0.1, Lasting: 0.2, Time: 60, Slow: slow, SlowTime: lastsLong}},
	})
	return &judged{f: f, own: own, move: move}
}

// TestWhatLastsWidensTheBoundaryByItsSumOfSquares: what the model's slow error, parameters and the sensor add to the boundary is
// z √(s² + (J σ)² + o²). z is the normal distribution's quantile of 1 − α/(4 m) with α = 1 % over m = 25 chances: one at the
// beginning and one in each 20 min of the 8 h. At 0.9999 it is 3.7190. Source: tables of the standard normal distribution.
func TestWhatLastsWidensTheBoundaryByItsSumOfSquares(t *testing.T) {
	of := func(slow, own, move, sd, within float64) (boundary, band float64) {
		g := judging(slow, own, move, sd, within)
		g.rows(100, 0)
		return g.says().Boundary, g.says().Band
	}
	noise, _ := of(0, 0, 0, 0, math.NaN())
	if noise <= 0 || noise > 1.5 {
		t.Fatalf("noise alone gives a boundary of %g K", noise)
	}
	for _, c := range []struct{ slow, own, move, sd, within, lasts float64 }{
		{2, 0, 0, 0, math.NaN(), 2},
		{0, 1.5, 0, 0, math.NaN(), 1.5},
		{0, 0, -3, 0.5, math.NaN(), 1.5},
		{2, 1.5, -3, 0.5, math.NaN(), math.Sqrt(4 + 2.25 + 2.25)},
		{2, 0, 0, 0, 1.96 * 5, 5}, // "within" counts in the place of what the match found
	} {
		boundary, band := of(c.slow, c.own, c.move, c.sd, c.within)
		if want := 3.7190 * c.lasts; math.Abs(boundary-noise-want) > 2e-4*want {
			t.Errorf("%+v: the boundary is %g K, %g K of it by noise; what lasts should be %g K", c, boundary, noise, want)
		}
		if want := 1.96 * math.Sqrt(c.lasts*c.lasts+0.1*0.1+0.2*0.2); math.Abs(band-want) > 1e-9 {
			t.Errorf("%+v: the band is %g K, not %g K", c, band, want)
		}
	}
}

// TestADepartureEndsWellBelowTheBoundary: a difference that lies just below the boundary is no departure, but ends none
// either; one below four fifths of it does.
func TestADepartureEndsWellBelowTheBoundary(t *testing.T) {
	g := judging(1, 0.5, 0, 0, math.NaN())
	expect(t, "undisturbed", g.rows(200, 0))
	b := g.says().Boundary
	expect(t, "below the boundary from below", g.rows(200, 0.9*b))
	expect(t, "beyond it", g.rows(200, 1.2*b), Departed)
	if !g.says().Departed {
		t.Error("it is not said to depart")
	}
	expect(t, "below the boundary from above", g.rows(200, 0.9*b))
	if !g.says().Departed {
		t.Error("it has come back already")
	}
	expect(t, "well below", g.rows(200, 0.7*b), Returned)
	expect(t, "near it once more", g.rows(200, 0.9*b))
	expect(t, "to the other side", g.rows(400, -1.2*b), Departed)
}

// TestTheCorrectionIsWhatSlowErrorOffsetAndNoiseSayOfOneDifference holds the correction by one mean difference d against the
// conditional mean and variance of two normal variables, e = d c/v and u² = w − c²/v, with v = s² + o² + a² + σ²/n,
// c = s² ρ + o² and w = s² + o². ρ at a slow time of 20 min: 0.8286 after 10 min, 0.5240 after 20 min, by (1 + b + b²/3) e^(−b)
// with b = √5 Δt/T, computed by hand.
func TestTheCorrectionIsWhatSlowErrorOffsetAndNoiseSayOfOneDifference(t *testing.T) {
	const slow, own, d = 2.0, 0.5, 3.0
	g := judging(slow, own, 0, 0, math.NaN())
	g.rows(1, d)
	k := g.f.channels[0]
	g.f.correct(k, []float64{1})
	for _, c := range []struct{ after, rho float64 }{{0, 1}, {600, 0.8286}, {1200, 0.5240}} {
		v, cross, w := slow*slow+own*own+0.2*0.2+0.1*0.1, slow*slow*c.rho+own*own, slow*slow+own*own
		by, sd, ok := k.corrected.at(10 + c.after)
		if !ok || math.Abs(by-d*cross/v) > 1e-3 || math.Abs(sd-math.Sqrt(w-cross*cross/v)) > 1e-3 {
			t.Errorf("after %g s the course is moved by %g ± %g, not %g ± %g", c.after, by, sd, d*cross/v, math.Sqrt(w-cross*cross/v))
		}
	}
}

// TestTheCorrectionOfAParameterGrowsAsThatMovesTheCourse: with a parameter that moves the course in proportion to time
// as the only error, differences of 1 K at 1000 s mean 2 K at 2000 s.
func TestTheCorrectionOfAParameterGrowsAsThatMovesTheCourse(t *testing.T) {
	g := judging(0, 0, 1, 1, math.NaN())
	f := g.f
	f.model.Departures["core"] = Departing{White: 0.01, Lasting: 1e-6, Time: 60}
	rows := trial.Fresh{Columns: []trial.Column{{Name: "core", Quantity: history.Temperature, Noise: 0.01}}, Interval: 10, Newest: []float64{301}, Stuck: []bool{false}, Values: [][]float64{nil}, Now: 1000}
	p := &Prediction{Known: 1000, Columns: map[string]*Course{"core": {Moves: [][]float64{nil}}}}
	c := p.Columns["core"]
	for at := 0.0; at <= 2000; at += 10 {
		if at <= 1000 {
			rows.Time, rows.Values[0] = append(rows.Time, at), append(rows.Values[0], 300+at/1000)
		}
		p.Time, c.Value, c.Moves[0] = append(p.Time, at), append(c.Value, 300), append(c.Moves[0], at/1000)
	}
	f.Take(rows, 1000)
	f.Predicted(p)
	by, sd, ok := f.channels[0].corrected.at(2000)
	if !ok || math.Abs(by-2) > 0.05 || sd > 0.1 {
		t.Errorf("at 2000 s it is moved by %g ± %g K", by, sd)
	}
}

// TestWhatIsShownIsKeptFineForRecentTimesOnly follows for ten hours.
func TestWhatIsShownIsKeptFineForRecentTimesOnly(t *testing.T) {
	g := judging(1, 0, 0, 0, math.NaN())
	for range 60 {
		g.rows(60, 0.5)
	}
	s := g.f.channels[0].shown
	n := len(s)
	if n > mostShown {
		t.Fatalf("%d stretches are kept", n)
	}
	readings := 0.0
	for i := range s {
		readings += s[i].n
		if i > 0 && s[i].from < s[i-1].to-1e-9 {
			t.Errorf("stretch %d begins before the one before has ended", i)
		}
	}
	if last := s[n-1].to - s[n-1].from; readings != 3600 || last > 60 || g.now-s[n-1].to > 60 {
		t.Errorf("%g readings are in it; the last is %g s long and ends at %g s of %g s", readings, last, s[n-1].to, g.now)
	}
}

// TestNoiseThatRemembersCountsTwoDifferencesForLessThanTwo is the same with two differences 10 s apart, whose covariance is
// turned round by hand: e = (p (d₁ v − d₂ q) + r (d₂ v − d₁ q))/(v² − q²) with v as above, q = s² ρ(10 s) + o² + a² exp(−10/60),
// and p, r the covariances of the error after a while with both.
func TestNoiseThatRemembersCountsTwoDifferencesForLessThanTwo(t *testing.T) {
	const slow, own, d1, d2 = 0.4, 0.3, 3.0, 1.0
	g := judging(slow, own, 0, 0, math.NaN())
	g.rows(1, d1)
	g.rows(1, d2)
	k := g.f.channels[0]
	g.f.correct(k, []float64{1})
	rho := func(dt float64) float64 {
		b := math.Sqrt(5) * dt / lastsLong
		return (1 + b + b*b/3) * math.Exp(-b)
	}
	v, q := slow*slow+own*own+0.2*0.2+0.1*0.1, slow*slow*rho(10)+own*own+0.2*0.2*math.Exp(-10.0/60)
	p, r := slow*slow*rho(610)+own*own, slow*slow*rho(600)+own*own
	want := (p*(d1*v-d2*q) + r*(d2*v-d1*q)) / (v*v - q*q)
	if by, _, ok := k.corrected.at(620); !ok || math.Abs(by-want) > 1e-6 {
		t.Errorf("it is moved by %g, not %g", by, want)
	}
}

// TestAMeanOverAStretchHasLessNoise compares with the mean of exp(−|t − t′|/T) over both times, summed numerically.
func TestAMeanOverAStretchHasLessNoise(t *testing.T) {
	for _, x := range []float64{0.1, 1, 10} {
		sum := 0.0
		const n = 400
		for i := range n {
			for j := range n {
				sum += math.Exp(-math.Abs(float64(i-j))*x/n) / (n * n)
			}
		}
		s := shown{from: 100, to: 100 + 60*x, n: 5}
		if got := meaned(&s, 60); math.Abs(got*got-sum) > 1e-3 {
			t.Errorf("over %g times its memory the variance is %g of that of one reading, not %g", x, got*got, sum)
		}
	}
	if got := meaned(&shown{n: 4}, 0); got != 0.5 {
		t.Errorf("of four readings without memory it is %g, not a half", got)
	}
}

// TestAPredictionThatKnowsNothingOfASwitchSaysNothingOfNow: the lamp goes off after the last prediction.
func TestAPredictionThatKnowsNothingOfASwitchSaysNothingOfNow(t *testing.T) {
	g := judging(1, 0, 0, 0, math.NaN())
	lamp := func(n int, power float64) {
		rows := trial.Fresh{Columns: []trial.Column{{Name: "lamp power", Quantity: history.HeatFlow, Role: trial.LampPower}}, Interval: 10, Newest: []float64{power}, Stuck: []bool{false}, Values: [][]float64{nil}}
		for i := range n {
			rows.Time, rows.Values[0] = append(rows.Time, g.now-10*float64(n-1-i)), append(rows.Values[0], power)
		}
		rows.Now, rows.Source = g.now, 1
		g.f.Take(rows, g.now)
	}
	g.rows(100, 0)
	lamp(100, 6000)
	if n := g.says(); n.Predicted != 300 || math.IsNaN(n.Moved) {
		t.Errorf("before, it says %+v", n)
	}
	course := g.f.course
	g.rows(12, 0)
	g.f.course = course // the model is not done yet
	lamp(12, 0)
	g.f.model.AsStated = true
	if n := g.says(); n.Predicted != 300 {
		t.Errorf("of a run as stated it says %+v", n)
	}
	g.f.model.AsStated = false
	n := g.says()
	if _, ok := g.f.modelLeft(g.f.channels[0], 310); ok || !math.IsNaN(n.Predicted) || !math.IsNaN(n.Moved) {
		t.Errorf("it says %+v", n)
	}
	g.rows(1, 0)
	if n := g.says(); n.Predicted != 300 {
		t.Errorf("with the next prediction it says %+v", n)
	}
}
