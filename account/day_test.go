package account

import (
	"math"
	"strings"
	"testing"
	"time"

	"emberbank/heat"
	"emberbank/history"
	"emberbank/yield"
)

func TestADayIsToldInOneSentence(t *testing.T) {
	h := &history.History{Time: []float64{0, 45600, 61500, 65000, 70000}}
	h.Columns = []history.Column{
		{Name: "stored", Quantity: history.Heat, Values: []float64{1, 9, 5, 4, 3}},
		{Name: "load wanted", Quantity: history.HeatFlow, Values: []float64{0, 100, 100, 100, 0}},
		{Name: "load delivered", Quantity: history.HeatFlow, Values: []float64{0, 100, 60, 20, 0}},
	}
	noon := time.Date(2026, 6, 21, 0, 0, 0, 0, time.FixedZone("", 7200))
	heatLoad := &heat.Served{Wanted: 31 * kWh, Met: 27 * kWh}
	for name, c := range map[string]struct {
		served *heat.Served
		starts time.Time
		span   float64
		want   string
	}{
		"by the clock":           {heatLoad, noon, 86400, "Of 31.0\u00a0kWh wanted 27.0 are met; fullest at 12:40, short from 17:05."},
		"from the start":         {heatLoad, time.Time{}, 86400, "Of 31.0\u00a0kWh wanted 27.0 are met; fullest after 12 h 40 min, short after 17 h 5 min."},
		"several days":           {heatLoad, noon, 2 * 86400, "Of 31.0\u00a0kWh wanted 27.0 are met; fullest at 12:40 of day 1, short from 17:05 of day 1."},
		"begun in the afternoon": {heatLoad, noon.Add(14 * time.Hour), 2 * 86400, "Of 31.0\u00a0kWh wanted 27.0 are met; fullest at 2:40 of day 2, short from 7:05 of day 2."},
		"steam":                  {&heat.Served{Steam: true, Wanted: 7.5, Met: 7.41}, noon, 86400, "Of 7.5\u00a0kg of steam wanted 7.4 are met; fullest at 12:40, short from 17:05."},
		"nothing wanted":         {&heat.Served{}, noon, 86400, "Nothing is wanted of the water; it carries off 2.00\u00a0kWh."},
	} {
		got := DaySentence(&yield.Report{Served: c.served, Span: c.span, Delivered: 2 * kWh}, h, c.starts)
		if strings.ReplaceAll(got, "\u2009", " ") != c.want {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
	h.Columns = h.Columns[:1]
	if got := DaySentence(&yield.Report{Served: &heat.Served{Wanted: 2 * kWh, Met: 2 * kWh}, Span: 86400, Serves: math.NaN()}, h, noon); got != "All of the 2.0\u00a0kWh that are wanted are met; fullest at 12:40." {
		t.Errorf("all met: %q", got)
	}
}
