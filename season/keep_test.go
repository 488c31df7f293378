package season

import (
	"context"
	"fmt"
	"math"
	"reflect"
	"sync"
	"testing"

	"emberbank/farm"
	"emberbank/heat"
)

// shelfOf keeps in memory.
type shelfOf struct {
	mu   sync.Mutex
	held map[string]*Kept
}

func (s *shelfOf) Load(key string) *Kept {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.held[key]
}

func (s *shelfOf) Save(key string, k *Kept) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.held[key] = k
}

// What was computed before is taken: nothing is computed twice, numbers are the same, and what has changed is computed anew.
func TestKeptDaysGiveTheSameNumbersAndChangedOnesAreComputedAnew(t *testing.T) {
	p := smallProblem(t, warmsWater)
	p.Duty.Load = nil
	held := &shelfOf{held: map[string]*Kept{}}
	build := func(p heat.Problem, apart int) (m *Model, computed int) {
		t.Helper()
		var mu sync.Mutex
		m, err := Build(context.Background(), p, []Day{DayAt(5, math.NaN())}, []Day{DayAt(apart, math.NaN())}, Options{
			Keep: held, Key: func(p *heat.Problem) string { return farm.Key(p, "this program") },
			Run: func(ctx context.Context, q heat.Problem) (*heat.Result, error) {
				mu.Lock()
				computed++
				mu.Unlock()
				return heat.Run(ctx, q)
			},
		})
		if err != nil {
			t.Fatal(err)
		}
		return m, computed
	}
	first, computed := build(p, 8)
	if computed != 3 || first.Kept != 0 {
		t.Errorf("at first %d runs are computed and %d taken", computed, first.Kept)
	}
	again, computed := build(p, 8)
	if computed != 0 || again.Kept != 3 {
		t.Errorf("again %d runs are computed and %d taken", computed, again.Kept)
	}
	if !reflect.DeepEqual(first.Checks, again.Checks) || fmt.Sprint(first.links, first.outlets, first.Factors, first.Cautions) != fmt.Sprint(again.links, again.outlets, again.Factors, again.Cautions) {
		t.Error("what was kept gives other numbers")
	}
	if _, computed = build(p, 2); computed != 1 {
		t.Errorf("for another day apart %d runs are computed", computed)
	}
	other := p
	other.Receiver.Window.Emissivity *= 0.9
	if _, computed = build(other, 8); computed != 3 {
		t.Errorf("for another window %d runs are computed", computed)
	}
}
