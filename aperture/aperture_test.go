package aperture

import (
	"math"
	"testing"

	"emberbank/heat"
	"emberbank/material"
	"emberbank/receiver"
)

// gaussian is a round spot of 3 m² behind round windows.
func gaussian(sigma, power float64) Catch {
	var c Catch
	for i := range 401 {
		d := 0.5 * float64(i) / 400
		c.Size, c.Power = append(c.Size, d), append(c.Power, power*-math.Expm1(-d*d/(8*sigma*sigma)))
	}
	return c
}

// bare is a face that loses by one film alone.
func bare() *receiver.Receiver {
	return &receiver.Receiver{Window: &receiver.Window{Absorptance: 0.9, Film: receiver.Film{Kind: receiver.FilmFixed, Value: 25}, Cover: 2}}
}

var still = heat.Weather{Air: 300, Sky: 300, Ground: 300}

// B P α [1 − exp(−r²/2σ²)] − h ΔT π r² is largest where r² = 2 σ² ln[B P α/(2 π σ² h ΔT)].
func TestBestRoundWindowOfAGaussianSpotByClosedForm(t *testing.T) {
	const sigma, power, beam = 0.05, 3.0, 900.0
	q := Question{Receiver: bare(), Round: true, Ratio: 1, Most: 0.5, Catch: gaussian(sigma, power), Face: 600, Out: still, Beam: beam}
	a, err := Find(&q)
	if err != nil {
		t.Fatal(err)
	}
	loss := 25.0 * 300
	r := sigma * math.Sqrt(2*math.Log(beam*power*0.9/(2*math.Pi*sigma*sigma*loss)))
	kept := beam*power*0.9*-math.Expm1(-r*r/(2*sigma*sigma)) - loss*math.Pi*r*r
	b := a.Variants[0].Now.Best
	if math.Abs(b.Size/(2*r)-1) > 0.005 || math.Abs(b.Kept/kept-1) > 2e-4 {
		t.Errorf("best is %.4f m with %.2f W, want %.4f m and %.2f W", b.Size, b.Kept, 2*r, kept)
	}
	for _, d := range []float64{b.From, b.To} {
		x := beam*power*0.9*-math.Expm1(-d*d/(8*sigma*sigma)) - loss*math.Pi*d*d/4
		if math.Abs(x/kept-0.99) > 3e-4 {
			t.Errorf("a window of %.4f m keeps %.4f of the best, want 0.99", d, x/kept)
		}
	}
	if !(b.From < b.Size && b.Size < b.To) || b.AtEnd {
		t.Errorf("%+v", b)
	}
}

// A hotter face wants a smaller window; over a day a cover keeps more than none; a dark day keeps nothing.
func TestHotterWantsSmallerAndACoverKeepsMore(t *testing.T) {
	q := Question{Receiver: bare(), Round: true, Ratio: 1, Most: 0.5, Catch: gaussian(0.05, 3), Face: 500, Out: still, Beam: 900}
	q.Day = []Moment{{0, 0}, {6 * 3600, 0}, {12 * 3600, 900}, {18 * 3600, 0}, {24 * 3600, 0}}
	cool, err := Find(&q)
	if err != nil {
		t.Fatal(err)
	}
	q.Face = 800
	hot, err := Find(&q)
	if err != nil {
		t.Fatal(err)
	}
	c, h := &cool.Variants[0], &hot.Variants[0]
	if !(h.Now.Best.Size < c.Now.Best.Size) || !(h.Covered.Best.Size < c.Covered.Best.Size) {
		t.Errorf("best sizes %.3f and %.3f m at 500 K, %.3f and %.3f m at 800 K", c.Now.Best.Size, c.Covered.Best.Size, h.Now.Best.Size, h.Covered.Best.Size)
	}
	for i := range c.Open.Kept {
		if c.Covered.Kept[i] < c.Open.Kept[i]-1e-6 {
			t.Fatalf("at %.3f m the cover keeps %g J, none %g J", c.Open.Size[i], c.Covered.Kept[i], c.Open.Kept[i])
		}
	}
	for i := range q.Day {
		q.Day[i].Beam = 0
	}
	q.Beam = 0
	dark, err := Find(&q)
	if err != nil {
		t.Fatal(err)
	}
	if b := dark.Variants[0].Covered.Best; b.Size != 0 || b.Kept > 0 {
		t.Errorf("in the dark the best window is %+v", b)
	}
}

// A day whose beam does not change keeps what the moment keeps, times its length.
func TestAnEvenDayIsTheMomentTimesItsLength(t *testing.T) {
	e, _ := material.Lookup("borosilicate-glass")
	r := bare()
	r.Media = []material.Medium{e.Medium()}
	r.Window.Emissivity = 0.9
	r.Window.Glass = &receiver.Glass{Thickness: 0.004, Gap: 0.02, Transmittance: 0.9, Absorptance: 0.03, Emissivity: 0.88, OutsideFilm: receiver.Film{Kind: receiver.FilmOutside}}
	q := Question{Receiver: r, Ratio: 1, Most: 0.3, Catch: gaussian(0.05, 3), Face: 600, Out: heat.Weather{Air: 300, Sky: 280, Ground: 300, Tilt: 0.5}, Beam: 700, Day: []Moment{{0, 700}, {3600, 700}}}
	a, err := Find(&q)
	if err != nil {
		t.Fatal(err)
	}
	if len(a.Variants) != 2 || !a.Variants[0].Glass || a.Variants[1].Glass {
		t.Fatalf("variants %+v", a.Variants)
	}
	for _, v := range a.Variants {
		for i := range v.Now.Kept {
			if x := 3600 * v.Now.Kept[i]; math.Abs(v.Open.Kept[i]-x) > 1e-9*math.Abs(x)+1e-6 {
				t.Fatalf("%s, %.3f m: %g J, want %g J", v.Name, v.Now.Size[i], v.Open.Kept[i], x)
			}
		}
	}
	// What the parabola through three balances says between them is what a balance there says.
	s := q.sized(0.2, true, 900)
	light := 0.7 * s.light
	w := *r.Window
	w.Opening.Max = [3]float64{0, 0.2, 0.2}
	want := heat.LossOfWindow(&receiver.Receiver{Media: r.Media, Window: &w}, q.Out, 600, s.pane*light, false).Lost
	if got := s.loses(light); math.Abs(got/want-1) > 1e-4 {
		t.Errorf("loses %g W between the balances, want %g W", got, want)
	}
}

// Twice the half-width in the power moves what is kept twice as far, and two causes add as squares.
func TestBandsAddAsSquares(t *testing.T) {
	q := Question{Receiver: bare(), Round: true, Ratio: 1, Most: 0.5, Catch: gaussian(0.05, 3), Face: 600, Out: still, Beam: 900}
	lo, hi := gaussian(0.05, 2.7), gaussian(0.05, 3.3)
	q.Sides = []Side{{"power", &lo, &hi}}
	one, err := Find(&q)
	if err != nil {
		t.Fatal(err)
	}
	q.Sides = append(q.Sides, q.Sides[0])
	two, err := Find(&q)
	if err != nil {
		t.Fatal(err)
	}
	a, b := one.Variants[0].Now, two.Variants[0].Now
	for i := range a.Half {
		want := 0.1 * a.Taken[i]
		if math.Abs(a.Half[i]-want) > 1e-9*want || math.Abs(b.Half[i]-math.Sqrt2*want) > 1e-9*want {
			t.Fatalf("at %.3f m the band is %g and %g W, want %g and %g", a.Size[i], a.Half[i], b.Half[i], want, math.Sqrt2*want)
		}
	}
	if !(a.Best.SizeHalf > 0) || !(a.Best.KeptHalf > 0) {
		t.Errorf("%+v", a.Best)
	}
}

func TestQuestionsWithoutSenseAreRefused(t *testing.T) {
	good := Question{Receiver: bare(), Ratio: 1, Most: 0.3, Catch: gaussian(0.05, 3), Face: 600, Out: still, Beam: 700}
	for name, spoil := range map[string]func(q *Question){
		"no window": func(q *Question) { q.Receiver = &receiver.Receiver{} },
		"no size":   func(q *Question) { q.Most = 0 },
		"no catch":  func(q *Question) { q.Catch = Catch{} },
		"NaN face":  func(q *Question) { q.Face = math.NaN() },
		"a day that runs back": func(q *Question) {
			q.Day = []Moment{{3600, 1}, {0, 1}}
		},
	} {
		q := good
		spoil(&q)
		if _, err := Find(&q); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}
