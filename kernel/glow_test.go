package kernel

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// faces draws n faces: what is brought to them, conductances, areas, and guesses near and far.
func faces(r *rand.Rand, n int) (x, s, g, area []float64, to Glow) {
	to = Glow{H: 20 * r.Float64(), E: 5.67e-8 * r.Float64(), Air: 250 + 100*r.Float64(), Sky: math.Pow(200+900*r.Float64(), 4)}
	for range n {
		A := math.Pow(10, -6+5*r.Float64())
		half := A * math.Pow(10, -1+5*r.Float64())
		x, area, g = append(x, 250+1500*r.Float64()), append(area, A), append(g, half)
		s = append(s, half*(250+1500*r.Float64())+A*1e5*r.Float64())
	}
	return x, s, g, area, to
}

func TestGlowGivesTheSameBitsInAllSets(t *testing.T) {
	eachTwin(t, func(t *testing.T, twin *Set) {
		lists(func(n int, r *rand.Rand) {
			x, s, g, area, to := faces(r, n)
			if n > 0 && r.IntN(4) == 0 { // what is no number, or cannot be, comes to an end too
				s[r.IntN(n)], g[r.IntN(n)], x[r.IntN(n)] = math.NaN(), math.Inf(1), -1e300
			}
			y := append([]float64(nil), x...)
			lost, wanted := make([]float64, n), make([]float64, n)
			twin.Glow(x, lost, s, g, area, to)
			Plain().Glow(y, wanted, s, g, area, to)
			for i := range x {
				if !alike(x[i], y[i]) || !alike(lost[i], wanted[i]) {
					t.Fatalf("face %d of %d: %v K and %v W, plain %v and %v", i, n, x[i], lost[i], y[i], wanted[i])
				}
			}
		})
	})
}

// Halving finds the same temperature, and heat comes and goes alike.
func TestGlowFindsWhereWhatComesIsLost(t *testing.T) {
	for _, set := range sets(t) {
		r := rand.New(rand.NewPCG(7, 7))
		x, s, g, area, to := faces(r, 997)
		lost := make([]float64, len(x))
		set.Glow(x, lost, s, g, area, to)
		for i, T := range x {
			loss := func(T float64) float64 { return area[i] * (to.H*(T-to.Air) + to.E*(math.Pow(T, 4)-to.Sky)) }
			low, high := 1.0, 1e5
			for range 200 {
				if mid := (low + high) / 2; g[i]*mid+loss(mid) < s[i] {
					low = mid
				} else {
					high = mid
				}
			}
			if math.Abs(T-low) > 1e-5 {
				t.Errorf("%s: face %d has %.8f K, wanted %.8f", set.Name, i, T, low)
			}
			if want := loss(T); math.Abs(lost[i]-want) > 1e-12*(math.Abs(want)+area[i]*to.E*(to.Sky+math.Pow(T, 4))) {
				t.Errorf("%s: face %d loses %v W, wanted %v", set.Name, i, lost[i], want)
			}
		}
	}
}

func TestGlowRefusesShortSlicesAndAllocatesNothing(t *testing.T) {
	long, short := make([]float64, 41), make([]float64, 40)
	for _, set := range sets(t) {
		if a := testing.AllocsPerRun(5, func() { set.Glow(long, long, long, long, long, Glow{}) }); a != 0 {
			t.Errorf("%s: %v allocations", set.Name, a)
		}
		for i := 1; i < 5; i++ {
			v := [5][]float64{long, long, long, long, long}
			v[i] = short
			refused(t, fmt.Sprintf("%s: glow, slice %d", set.Name, i), func() { set.Glow(v[0], v[1], v[2], v[3], v[4], Glow{}) })
		}
	}
}

func BenchmarkGlow(b *testing.B) {
	for _, set := range All() {
		b.Run("kernel="+set.Name, func(b *testing.B) {
			guess, s, g, area, to := faces(rand.New(rand.NewPCG(1, 1)), 1000)
			lost, found := make([]float64, len(guess)), append([]float64(nil), guess...)
			set.Glow(found, lost, s, g, area, to)
			for i := range found { // as after a step
				guess[i] = found[i] + 0.3
			}
			for b.Loop() {
				copy(found, guess)
				set.Glow(found, lost, s, g, area, to)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/1000, "ns/face")
		})
	}
}
