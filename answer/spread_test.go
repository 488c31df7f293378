package answer

import (
	"math"
	"math/rand/v2"
	"testing"

	"emberbank/internal/testkit"
)

func TestSampleSizesOfWilks(t *testing.T) {
	for _, row := range []struct {
		share, confidence float64
		ends, want        int
		source            string
	}{
		{0.95, 0.95, 1, 59, "1 − 0.95ⁿ ≥ 0.95; printed in many places, from memory"},
		{0.95, 0.95, 2, 93, "Wilks 1941, two-sided; from memory"},
		{0.90, 0.95, 1, 29, "ln 0.05/ln 0.9 = 28.43, rounded up (entropicthoughts.com/wilks-tolerance-intervals)"},
		{0.99, 0.95, 1, 299, "ln 0.05/ln 0.99, as there"},
		{0.90, 0.999, 1, 66, "as there"},
	} {
		if got := WilksSize(row.share, row.confidence, row.ends); got != row.want {
			t.Errorf("%g %%/%g %%, %d ends: %d, want %d: %s", 100*row.share, 100*row.confidence, row.ends, got, row.want, row.source)
		}
	}
}

func TestRanksOfAQuantilesInterval(t *testing.T) {
	const source = "by hand: for the median of 10, P(K ≤ 1) = 11/1024, P(K ≤ 2) = 56/1024, so ranks 2 and 9, confidence 1 − 22/1024"
	values := make([]float64, 10)
	for i := range values {
		values[i] = float64(10 - i)
	}
	s, err := NewSpread(values)
	if err != nil {
		t.Fatal(err)
	}
	q, err := s.Quantile(0.5, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	testkit.CloseAll(t, source, []float64{q.Value, q.Low, q.High, q.Confidence}, []float64{5.5, 2, 9, 1 - 22.0/1024}, 0, 1e-9)
	if q, _ = s.Quantile(0.99, 0.95); !math.IsInf(q.High, 1) || math.IsInf(q.Low, 0) {
		t.Errorf("the 99 %% quantile of ten values is from %g to %g", q.Low, q.High)
	}
}

// TestIntervalsOfADistributionHoldTheTruth draws 1000 samples of 100 from a skew distribution. The intervals of quantiles
// and the tolerance interval suppose no shape; the mean's supposes a normal one and is let off to 90 %.
func TestIntervalsOfADistributionHoldTheTruth(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	var held [4]int
	const draws = 1000
	for range draws {
		v := make([]float64, 100)
		for i := range v {
			v[i] = r.ExpFloat64()
		}
		s, err := NewSpread(v)
		if err != nil {
			t.Fatal(err)
		}
		for k, share := range []float64{0.1, 0.9} {
			q, _ := s.Quantile(share, 0.95)
			if truth := -math.Log(1 - share); q.Low <= truth && truth <= q.High {
				held[k]++
			}
		}
		if low, high := s.MeanWithin(0.95); low <= 1 && 1 <= high {
			held[2]++
		}
		w, _ := s.Within(0.9, 0.95)
		if !w.Enough || w.Needed != 46 { // Wilks, 90/95 on two sides; from memory
			t.Fatalf("%+v", w)
		}
		if math.Exp(-w.Low)-math.Exp(-w.High) >= 0.9 {
			held[3]++
		}
	}
	for k, least := range []int{935, 935, 900, 935} { // of 1000 at 950, two standard deviations of a count are 14
		if held[k] < least {
			t.Errorf("interval %d holds the truth in %d of %d", k, held[k], draws)
		}
	}
	t.Log(held)
}

func TestASampleTooSmallForAToleranceSaysWhatIsNeeded(t *testing.T) {
	s, _ := NewSpread([]float64{1, 2, 3, math.NaN(), 4})
	w, err := s.Within(0.95, 0.95)
	if err != nil || w.Enough || w.Needed != 93 || s.Left != 1 || w.Low != 1 || w.High != 4 {
		t.Errorf("%+v, %v, %d left out", w, err, s.Left)
	}
	if _, err := NewSpread([]float64{1, math.NaN()}); err == nil {
		t.Error("one value passes")
	}
	if _, err := s.Quantile(0, 0.95); err == nil {
		t.Error("a quantile of share 0 passes")
	}
	if _, err := s.Within(1, 0.95); err == nil {
		t.Error("a tolerance of all passes")
	}
}
