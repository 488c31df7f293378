package follow

import (
	"math"
	"math/rand/v2"
	"testing"
)

// course fills a trend with y(t) and noise, one row each 10 s over 15 min.
func course(r *rand.Rand, y func(t float64) float64, white, lasting, T float64) *trend {
	var k trend
	for i, x := range remembers(r, 91, 10, white, lasting, T) {
		k.add(10*float64(i), y(10*float64(i))+x, 10)
	}
	return &k
}

func TestTheIntervalOfTheTimeLeftHoldsTheTruth(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	for name, c := range map[string]struct {
		y          func(float64) float64
		level      float64
		lasting, T float64
	}{
		"straight rise":                   {func(t float64) float64 { return 300 + 0.1*t }, 440, 0, 0},
		"heat-up that bends":              {func(t float64) float64 { return 600 - 300*math.Exp(-t/2400) }, 500, 0, 0},
		"heat-up, noise that remembers":   {func(t float64) float64 { return 600 - 300*math.Exp(-t/2400) }, 480, 0.3, 40},
		"cooling":                         {func(t float64) float64 { return 290 + 200*math.Exp(-t/3600) }, 420, 0, 0},
		"level that is hardly come to":    {func(t float64) float64 { return 600 - 300*math.Exp(-t/1200) }, 590, 0, 0},
		"level that is never come to":     {func(t float64) float64 { return 600 - 300*math.Exp(-t/1200) }, 640, 0, 0},
		"straight, noise that remembers ": {func(t float64) float64 { return 300 + 0.05*t }, 360, 0.5, 60},
	} {
		truth := math.Inf(1)
		for s := 900.0; s < 40000; s++ {
			if (c.y(s)-c.level)*(c.y(900)-c.level) <= 0 {
				truth = s - 900
				break
			}
		}
		const repeats = 200
		held := 0
		for range repeats {
			l := course(r, c.y, 0.2, c.lasting, c.T).left(c.level, math.Inf(-1))
			if l.Lower <= truth && truth <= l.Upper {
				held++
			}
		}
		// A right 95 % interval holds fewer than 177 of 200 with a probability below 1 in 3000 (binomial).
		if held < 177 {
			t.Errorf("%s: the interval holds the true %g s in %d of %d", name, truth, held, repeats)
		}
		t.Logf("%s: true %.0f s, held in %d of %d, for example %+v", name, truth, held, repeats, course(r, c.y, 0.2, c.lasting, c.T).left(c.level, math.Inf(-1)))
	}
}

func TestACourseThatBendsIsCalledSoAndAStraightOneToo(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 1))
	if l := course(r, func(t float64) float64 { return 600 - 300*math.Exp(-t/1200) }, 0.1, 0, 0).left(500, math.Inf(-1)); l.By != "exponential course" {
		t.Errorf("%+v", l)
	}
	n := 0
	for range 100 {
		if l := course(r, func(t float64) float64 { return 300 + 0.1*t }, 0.1, 0, 0).left(500, math.Inf(-1)); l.By != "straight course" {
			n++
		}
	}
	if n > 15 { // 5 % of 100 would be 5
		t.Errorf("%d of 100 straight courses are called bent", n)
	}
}

func TestTheTrendForgetsWhatWasBeforeASwitch(t *testing.T) {
	var k trend
	for i := range 200 {
		at, v := 10*float64(i), 300+0.2*10*float64(i)
		if at > 1000 {
			v = 500 - 0.05*(at-1000)
		}
		k.add(at, v, 10)
	}
	if r := k.rate(1010); math.Abs(r+0.05) > 1e-9 {
		t.Errorf("the rate is %g K/s", r)
	}
	if len(k.t) > mostPoints+2 {
		t.Errorf("%d points are kept", len(k.t))
	}
}

// TestACourseThatIsThereBeforeItsReadingHasNothingLeft: the last reading lies below the level, the course through all of them
// above it.
func TestACourseThatIsThereBeforeItsReadingHasNothingLeft(t *testing.T) {
	k := trend{}
	for i := range 60 {
		v := 300 + 0.1*float64(i)
		if i == 59 {
			v -= 0.2
		}
		k.add(10*float64(i), v, 10)
	}
	if l := k.left(305.8, math.Inf(-1)); l.Time != 0 || l.Lower != 0 || l.Upper > 60 {
		t.Errorf("%+v is left", l)
	}
}
