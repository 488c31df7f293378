package dossier

import (
	"io"
	"math"
	"strings"

	"emberbank/balance"
	"emberbank/heat"
)

// WriteMaps writes maps as one table: heat flow to the water over block temperature and wetted area, with the 95 %
// band, in total and for each square metre of wetted area where that is known. names says whose each map is, such as
// "trials" or "run"; it has the length of maps.
func WriteMaps(w io.Writer, names []string, maps []balance.Map) error {
	t := newTable(w)
	for _, s := range []string{
		"of", "from", "wetted area [m2]", "block temperature [degC]", "heat flow [W]", "low [W]", "high [W]",
		"heat flow per area [W/m2]", "low per area [W/m2]", "high per area [W/m2]", "rows of data",
	} {
		t.text(s)
	}
	t.end()
	for i := range maps {
		m := &maps[i]
		area := m.Area
		if area == 0 {
			area = math.NaN()
		}
		for _, r := range m.Rows {
			t.text(names[i])
			t.text(strings.Join(m.From, "; "))
			t.number(area)
			t.number(r.T - 273.15)
			for _, per := range []float64{1, area} {
				t.number(r.Q / per)
				t.number(r.Low / per)
				t.number(r.High / per)
			}
			t.number(float64(r.Points))
			t.end()
		}
	}
	return t.flush()
}

// mapped maps the heat flow of a run's drains over the block's temperature, as a trial's is; nil where there is none.
func mapped(r *heat.Result, info Info) []balance.Map {
	title := info.Title
	if title == "" {
		title = "run"
	}
	in := balance.OfRun(title, &r.History)
	if r.Ledger.Steady || len(in.Channels) == 0 {
		return nil
	}
	yields, err := balance.Yields(&in, balance.WettedArea(info.Receiver))
	if err != nil {
		return nil // no drain, or no rows to speak of
	}
	maps, err := balance.FitMap(yields, balance.MapOptions{Seed: 1})
	if err != nil {
		return nil
	}
	return maps
}

func sameName(name string, n int) []string {
	all := make([]string, n)
	for i := range all {
		all[i] = name
	}
	return all
}
