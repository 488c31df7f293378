package heat

import (
	"context"
	"fmt"
	"math"
	"testing"
)

// However many stages go over the planes in one train, and however many threads share the planes, few or many: the march
// gives the same enthalpies and the same books, to the last bit.
func TestTrainsOfStagesGiveTheBitsOfSingleStages(t *testing.T) {
	for _, planes := range []int{1, 2, 3, 5, 9, 14} {
		run := func(longest, threads int) []float64 {
			p := freezing([3]int{7, 5, planes})
			p.Threads, p.Until = threads, 900
			m, err := newMarch(&p)
			if err != nil {
				t.Fatal(err)
			}
			defer m.s.team.stop()
			if len(m.s.tubes.joined) > 0 || m.s.thin != nil {
				t.Fatal("the case does not test what it should: no trains")
			}
			if m.s.train.job.number == 0 {
				t.Error("trains may be left without a number, once other jobs have taken all")
			}
			m.s.train.longest = longest
			if _, err := m.run(context.Background()); err != nil {
				t.Fatal(err)
			}
			if m.s.train.count == 0 || m.s.evaluations < 3*longest {
				t.Fatalf("%d evaluations: the case does not test what it should", m.s.evaluations)
			}
			if m.rec.residual > 1e-12 {
				t.Errorf("%d planes, trains of %d: the books are off by %v", planes, longest, m.rec.residual)
			}
			return append(append([]float64{float64(m.steps), m.rec.residual}, m.total...), m.s.y0...)
		}
		want := run(1, 1)
		for _, longest := range []int{1, 2, 3, longestTrain} {
			for _, threads := range []int{1, 2, 3, 5} {
				t.Run(fmt.Sprintf("planes=%d/longest=%d/threads=%d", planes, longest, threads), func(t *testing.T) {
					for i, v := range run(longest, threads) {
						if math.Float64bits(v) != math.Float64bits(want[i]) {
							t.Fatalf("number %d is %v, by single stages of one thread %v", i, v, want[i])
						}
					}
				})
			}
		}
	}
}
