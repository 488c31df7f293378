package season

import (
	"context"
	"testing"

	"emberbank/duty"
)

// BenchmarkYear marches a built model through a year of ten-minute weather with a load: 52 560 steps and more.
func BenchmarkYear(b *testing.B) {
	s := makeOnce[makesSteam](b)
	if s.m == nil {
		b.Fatal(s.err)
	}
	d := s.p.Duty.Over(10 * daySeconds)
	over := func(q *duty.Signal) { // ten days again and again, a knot every ten minutes
		out := duty.Signal{}
		for i := 0; i <= 365*144; i++ {
			t := float64(i) * 600
			out.T, out.V = append(out.T, t), append(out.V, q.At(t-10*daySeconds*float64(int(t/(10*daySeconds)))))
		}
		*q = out
	}
	for _, q := range []*duty.Signal{&d.Ambient, &d.Wind, &d.Light.Power} {
		over(q)
	}
	d.Load.Wanted = duty.Signal{T: []float64{0, 15 * 3600, 17 * 3600}, V: []float64{0, 0.8 / 3600, 0}, Step: true, Every: daySeconds}
	for b.Loop() {
		out, err := s.m.run(context.Background(), &d, s.m.uniform(285), 365*daySeconds, 3600)
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(out.Steps), "steps")
	}
}
