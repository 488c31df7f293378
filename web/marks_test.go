package web

import (
	"fmt"
	"testing"

	"emberbank/duty"
	"emberbank/heat"
)

func TestAnEventSaysWhatItSwitches(t *testing.T) {
	circuits, heaters := []string{"near", "far"}, []string{"bar"}
	flowing := func(i int) duty.Action {
		return duty.Action{What: duty.SetWater, Index: i, Value: float64(duty.Flowing)}
	}
	for _, c := range []struct {
		do   []duty.Action
		want string
	}{
		{[]duty.Action{{What: duty.SetLight}, {What: duty.SetCover, Value: 1}}, "[light off cover on]"},
		{[]duty.Action{flowing(0), flowing(1)}, "[water on]"},
		{[]duty.Action{flowing(1)}, "[water far on]"},
		{[]duty.Action{flowing(0), {What: duty.SetWater, Index: 1, Value: float64(duty.Closed)}}, "[water near on water far shut in]"},
		{[]duty.Action{{What: duty.SetHeater, Value: 1}, {What: duty.StopRun}}, "[heater on stops]"},
	} {
		if got := fmt.Sprint(does(c.do, circuits, heaters)); got != c.want {
			t.Errorf("%v: %s, want %s", c.do, got, c.want)
		}
	}
	d := &duty.Duty{
		Events: []duty.Event{{At: 60, Name: "steam", Do: []duty.Action{flowing(0)}}},
		Rules:  []duty.Rule{{Name: "hot", Do: []duty.Action{{What: duty.SetLight}}, Else: []duty.Action{{What: duty.SetLight, Value: 1}}}},
	}
	for what, want := range map[string]string{"steam": "[water near on]", "hot": "[light off]", "hot: back": "[light on]", "other": "[]"} {
		if got := fmt.Sprint(does(actionsOf(d, heat.Mark{At: 60, What: what}), circuits, heaters)); got != want {
			t.Errorf("%s: %s, want %s", what, got, want)
		}
	}
}
