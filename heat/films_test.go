package heat

import (
	"math"
	"strings"
	"testing"

	"emberbank/film"
)

// At a part s of its spread a film is as computed times (1 + spread)^s: half as far in the logarithm at half the part,
// and as far down as up.
func TestFilmIsTakenAtItsPartOfItsSpread(t *testing.T) {
	c := film.Coefficient{H: 5000, Spread: 1}
	for s, want := range map[float64]float64{0: 5000, 1: 10000, -1: 2500, 0.5: 5000 * math.Sqrt2} {
		tb := tubes{films: s, more: larger{1, 1, 1}}
		closeTo(t, "film", tb.within(c), want, 1e-9)
	}
}

// With no other resistance but the block's, the heat of a pass full of liquid goes with its film, by the film's own
// spread: what a run at films 1 takes lies above that at 0, that at −1 below, and by how much the chain says.
func TestFilmsAtTheirSpreadMoveTheHeatAsTheChainSays(t *testing.T) {
	heat := map[float64]float64{}
	var chain Chain
	for _, s := range []float64{-1, 0, 1} {
		p := served(90, 5e5, 0.05)
		p.Films = s
		r := solve(t, p)
		heat[s] = values(t, r, "heat to passes")[0]
		if s == 0 {
			chain = r.Chains[0]
		}
	}
	if !(heat[-1] < heat[0] && heat[0] < heat[1]) {
		t.Fatalf("heat %v W", heat)
	}
	// Turbulent liquid is good to 0.10 by film.Tube, so that the whole spread is the tenth that the gain is about.
	tenth := chain.Links[inFilm].Gain
	got := heat[1]/heat[0] - 1
	if !(math.Abs(got-tenth) < 0.1*tenth) {
		t.Errorf("the films' whole spread gives %.3g more heat, a tenth more film %.3g", got, tenth)
	}
}

func TestFixedFilmHasNoSpread(t *testing.T) {
	p := served(90, 5e5, 0.05)
	for i := range p.Receiver.Passes {
		p.Receiver.Passes[i].FilmFixed = 3000
	}
	base := values(t, solve(t, p), "heat to passes")[0]
	p.Films = 1
	closeTo(t, "heat, W", values(t, solve(t, p), "heat to passes")[0], base, 0)
}

// A trickle of 25 kg/(m² s) in a level tube boils outside the range of its correlation (Froude number below 0.05, all
// at 0.02 MPa and more): the run says which it was, for how long, and how much of the heat went through it.
func TestFilmsOutsideTheirRangeAreToldWithTimeAndShare(t *testing.T) {
	p := served(250, 3e5, 0.002)
	p.every(10, 60)
	r := solve(t, p)
	if len(r.Films) == 0 {
		t.Fatal("no film was outside its range")
	}
	sum := 0.0
	for _, f := range r.Films {
		sum += f.Share
		if f.Circuit != "A" || f.Law == "" || !(f.Factor >= 2) {
			t.Errorf("film outside its range: %+v", f)
		}
		closeTo(t, "time with water, s", f.Wet, 60, 1e-6)
		closeTo(t, "time outside, s", f.Time, 60, 1e-6) // it boils all the while
	}
	if !(sum > 0.5 && sum <= 1+1e-9) {
		t.Errorf("%.3g of the heat went through films outside their range", sum)
	}
	said := strings.Join(r.Warnings, "\n")
	for _, want := range []string{"films in circuit A were outside the range", "for 60 s of the 60 s with water", "Liu & Winterton", "factor of 2 either way"} {
		if !strings.Contains(said, want) {
			t.Errorf("no warning says %q: %s", want, said)
		}
	}

	liquid := served(90, 5e5, 0.3) // a full tap of cold water lies inside every range
	liquid.every(10, 20)
	if r = solve(t, liquid); len(r.Films) != 0 || strings.Contains(strings.Join(r.Warnings, "\n"), "films in circuit") {
		t.Errorf("a full tap of liquid was called outside: %+v", r.Films)
	}
}

func TestSteadyStateTellsTheShareOfItsFilms(t *testing.T) {
	p := served(250, 3e5, 0.002)
	p.Steady = true
	p.hold(0, 250+zero)
	r := solve(t, p)
	if len(r.Films) == 0 || !(r.Films[0].Share > 0.1 && r.Films[0].Share <= 1) {
		t.Errorf("films of the steady state: %+v", r.Films)
	}
	if len(r.Profiles) != 1 {
		t.Errorf("a steady state keeps %d profiles", len(r.Profiles))
	}
}

func TestSharesAndTimesAreSaidWithoutPowersOfTen(t *testing.T) {
	for share, want := range map[float64]string{1: "100 %", 0.9999: "100 %", 0.8342: "83 %", 0.0995: "10 %", 0.0421: "4.2 %", 0.0046: "0.46 %"} {
		if got := percent(share); got != want {
			t.Errorf("a share of %g is said as %q, want %q", share, got, want)
		}
	}
	for time, want := range map[float64]string{0.3: "0.3 s", 1.26: "1.3 s", 14.6: "15 s", 148: "150 s", 599: "600 s", 1800: "30 min"} {
		if got := seconds(time); got != want {
			t.Errorf("%g s are said as %q, want %q", time, got, want)
		}
	}
}
