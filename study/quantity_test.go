package study

import (
	"errors"
	"math"
	"testing"

	"emberbank/heat"
	"emberbank/history"
)

// sawtooth rises from 0 to 10 in 10 s, falls to -10 in 20 s, stands, and rises to 0 in 5 s; power is steady but where it has
// no value; water begins at a level and falls.
func sawtooth() *heat.Result {
	nan := math.NaN()
	return &heat.Result{History: history.History{
		Time: []float64{0, 10, 30, 35, 40},
		Columns: []history.Column{
			{Name: "saw", Quantity: history.Temperature, Values: []float64{0, 10, -10, -10, 0}},
			{Name: "power", Quantity: history.HeatFlow, Values: []float64{2, 4, 8, 8, nan}},
			{Name: "flow", Quantity: history.MassFlow, Values: []float64{nan, 1, 3, 1, 1}},
			{Name: "water", Quantity: history.Temperature, Values: []float64{5, 4, 6, 3, 7}},
		},
	}}
}

// TestQuantitiesAreThoseOfStraightLines: every wanted number was computed by hand from the lines between the rows.
func TestQuantitiesAreThoseOfStraightLines(t *testing.T) {
	none := math.NaN()
	for _, c := range []struct {
		what string
		q    Quantity
		want float64
	}{
		{"largest", Quantity{Of: "saw", Take: Largest}, 10},
		{"least", Quantity{Of: "saw", Take: Least}, -10},
		{"largest where rows have no value", Quantity{Of: "power", Take: Largest}, 8},
		{"time above 5: from 5 s to 15 s", Quantity{Of: "saw", Take: Beyond, Level: 5}, 10},
		{"time below -5: from 25 s to 37.5 s", Quantity{Of: "saw", Take: Beyond, Level: -5, Falls: true}, 12.5},
		{"time above 0, which it touches at both ends", Quantity{Of: "saw", Take: Beyond, Level: 0}, 20},
		{"time above its top", Quantity{Of: "saw", Take: Beyond, Level: 10}, 0},
		{"time below the level at which it stands", Quantity{Of: "saw", Take: Beyond, Level: -10, Falls: true}, 0},
		{"time above where a row has no value", Quantity{Of: "power", Take: Beyond, Level: 1}, 35},
		{"first rise to 5", Quantity{Of: "saw", Watch: "saw", Take: When, Level: 5}, 5},
		{"first fall to 5", Quantity{Of: "saw", Watch: "saw", Take: When, Level: 5, Falls: true}, 15},
		{"first fall to 0: not at the start, where it rises", Quantity{Of: "saw", Watch: "saw", Take: When, Level: 0, Falls: true}, 20},
		{"rise to 0, from which it begins", Quantity{Of: "saw", Watch: "saw", Take: When, Level: 0}, 0},
		{"rise to the top that it only touches", Quantity{Of: "saw", Watch: "saw", Take: When, Level: 10}, 10},
		{"rise beyond the top", Quantity{Of: "saw", Watch: "saw", Take: When, Level: 10.1}, none},
		{"fall below the bottom", Quantity{Of: "saw", Watch: "saw", Take: When, Level: -11, Falls: true}, none},
		{"fall from the first row", Quantity{Of: "water", Watch: "water", Take: When, Level: 5, Falls: true}, 0},
		{"power when saw falls to 5", Quantity{Of: "power", Watch: "saw", Take: AtCrossing, Level: 5, Falls: true}, 5},
		{"power when saw rises to -5: the last row has none", Quantity{Of: "power", Watch: "saw", Take: AtCrossing, Level: -5}, none},
		{"power when saw falls to -11: never", Quantity{Of: "power", Watch: "saw", Take: AtCrossing, Level: -11, Falls: true}, none},
		{"total over two whole rows", Quantity{Of: "power", Take: Total, At: 0, To: 10}, 30},
		{"total within one row, from 3 to 3.4", Quantity{Of: "power", Take: Total, At: 5, To: 7}, 2 * 3.2},
		{"total over parts of three rows", Quantity{Of: "power", Take: Total, At: 5, To: 32}, 5*3.5 + 20*6 + 2*8},
		{"total up to where the values end", Quantity{Of: "power", Take: Total, At: 30, To: 35}, 40},
		{"total over a row without a value", Quantity{Of: "power", Take: Total, At: 30, To: 36}, none},
		{"total before the first value", Quantity{Of: "flow", Take: Total, At: 9, To: 20}, none},
		{"value at a time", Quantity{Of: "saw", Take: AtTime, At: 20}, 0},
	} {
		got, err := c.q.Value(sawtooth())
		if err != nil {
			t.Errorf("%s: %v", c.what, err)
		} else if math.IsNaN(got) != math.IsNaN(c.want) || math.Abs(got-c.want) > 1e-12*math.Abs(c.want) {
			t.Errorf("%s: %g, not %g", c.what, got, c.want)
		}
	}
}

func TestQuantitiesSayWhatTheyAre(t *testing.T) {
	r := sawtooth()
	for _, c := range []struct {
		q    Quantity
		want history.Quantity
	}{
		{Quantity{Of: "saw", Take: Largest}, history.Temperature},
		{Quantity{Of: "saw", Take: Beyond}, history.Time},
		{Quantity{Of: "saw", Take: When}, history.Time},
		{Quantity{Of: "power", Watch: "saw", Take: AtCrossing}, history.HeatFlow},
		{Quantity{Of: "power", Take: Total}, history.Heat},
		{Quantity{Of: "flow", Take: Total}, history.Mass},
		{Quantity{Of: "lost", Take: InLedger}, history.Heat},
	} {
		if got := c.q.Unit(&r.History); got != c.want {
			t.Errorf("%+v is in %s, not in %s", c.q, got.Unit(), c.want.Unit())
		}
	}
}

func TestWhatIsNotThereIsToldApartFromATimeOutside(t *testing.T) {
	for _, c := range []struct {
		q      Quantity
		absent bool
	}{
		{Quantity{Of: "core"}, true},
		{Quantity{Of: "saw", Watch: "core", Take: When}, true},
		{Quantity{Of: "pass 9", Take: InLedger}, true},
		{Quantity{Of: "saw", Take: AtTime, At: 41}, false},
		{Quantity{Of: "power", Take: Total, At: 10, To: 41}, false},
		{Quantity{Of: "power", Take: Total, At: -1, To: 4}, false},
	} {
		if _, err := c.q.Value(sawtooth()); err == nil || errors.Is(err, ErrAbsent) != c.absent {
			t.Errorf("%+v: %v", c.q, err)
		}
	}
	if (Quantity{Take: Total, At: 1, To: 2}).Until() != 2 || (Quantity{Take: AtTime, At: 1}).Until() != 1 || (Quantity{Take: Largest, At: 5}).Until() != 0 {
		t.Error("the time that a run has to reach is another")
	}
}
