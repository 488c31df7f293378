package heat

import (
	"math"
	"testing"

	"emberbank/duty"
)

// A flow that lasts leaves with what it was given, from the first row on: also where a pump's circuits take different
// shares.
func TestPumpedCircuitsStartAsTheyFlow(t *testing.T) {
	p := twoBranches()
	p.Duty.Pumps[0].Flow = duty.Fixed(0.02)
	p.every(1, 2)
	r := solve(t, p)
	closes(t, r)
	for _, c := range []struct {
		name   string
		passes []string
	}{{"A", []string{"pass 1 heat"}}, {"B", []string{"pass 2 heat", "pass 3 heat"}}} {
		heat := 0.0
		for _, name := range c.passes {
			heat += values(t, r, name)[0]
		}
		rise := values(t, r, "circuit "+c.name+" outlet")[0] - 20 - zero
		want := heat / (values(t, r, "circuit "+c.name+" flow")[0] * 4181)
		if math.Abs(rise/want-1) > 0.005 {
			t.Errorf("circuit %s leaves %.4g K warmer, its heat warms its flow by %.4g K", c.name, rise, want)
		}
	}
}
