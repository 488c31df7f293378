package account

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"emberbank/balance"
	"emberbank/figure"
	"emberbank/heat"
	"emberbank/history"
)

// Mapped are the maps of one trial, of several together, or of a run.
type Mapped struct {
	Name     string // whose they are, as it stands in pictures
	Of       string // "trial", "trials" or "run", as it stands in tables
	Computed bool   // by a run
	Maps     []balance.Map
	Yields   []balance.Yield // that the maps were made of; of them come the marks
}

// WriteMaps puts maps into the sink: map.csv and map.parquet, map.json, and the picture map.svg.
func WriteMaps(sink Sink, title string, all []Mapped) error {
	docs := inBoth("map", func(t *table) error { return mapTable(t, all) })
	docs = append(docs,
		document{"map.json", func(w io.Writer) error { return writeJSON(w, object{{"maps", mapList(all)}}) }},
		picture("map.svg", func() []byte { return mapPicture(title, all) }))
	for i := range docs {
		if err := docs[i].into(sink); err != nil {
			return err
		}
	}
	return nil
}

// mapTable writes maps as one table: heat flow to the water over block temperature and wetted area, with the 95 %
// band, in total and for each square metre of wetted area where that is known.
func mapTable(t *table, all []Mapped) error {
	for _, s := range []string{
		"of", "from", "wetted area [m2]", "block temperature [degC]", "heat flow [W]", "low [W]", "high [W]",
		"heat flow per area [W/m2]", "low per area [W/m2]", "high per area [W/m2]", "rows of data",
	} {
		t.text(s)
	}
	t.end()
	for k := range all {
		for i := range all[k].Maps {
			m := &all[k].Maps[i]
			area := m.Area
			if area == 0 {
				area = math.NaN()
			}
			for _, r := range m.Rows {
				t.text(all[k].Of)
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
	}
	return t.flush()
}

// mapList is the maps in JSON.
func mapList(all []Mapped) []any {
	list := []any{}
	for k := range all {
		for i := range all[k].Maps {
			m := &all[k].Maps[i]
			var area any
			if m.Area > 0 {
				area = num(m.Area)
			}
			list = append(list, object{
				{"of", all[k].Of},
				{"from", append([]string{}, m.From...)},
				{"wetted_area_m2", area},
				{"memory", num(m.Memory)},
				{"apart_W", num(m.Apart)},
				{"notes", append([]string{}, m.Notes...)},
				{"rows", listOf(m.Rows, func(r balance.MapRow) any {
					return object{
						{"block_temperature_degC", num(shown(history.Temperature, r.T))},
						{"heat_flow_W", num(r.Q)},
						{"low_W", num(r.Low)},
						{"high_W", num(r.High)},
						{"rows_of_data", r.Points},
					}
				})},
			})
		}
	}
	return list
}

// mapPicture draws maps over one another.
func mapPicture(title string, all []Mapped) []byte {
	return figure.Map(title, mapSays(all), charted(all))
}

// charted turns maps into what is drawn.
func charted(all []Mapped) []figure.Charted {
	var out []figure.Charted
	for k := range all {
		for i := range all[k].Maps {
			m := &all[k].Maps[i]
			one := figure.Charted{Name: all[k].Name, Area: m.Area, Computed: all[k].Computed, DataLow: math.NaN(), DataTo: math.NaN()}
			for _, r := range m.Rows {
				one.T, one.Q = append(one.T, r.T-273.15), append(one.Q, r.Q)
				one.Low, one.High = append(one.Low, r.Low), append(one.High, r.High)
			}
			if n := len(one.T); n > 0 {
				one.DataLow, one.DataTo = one.T[0], one.T[n-1]
			}
			if !one.Computed {
				for y := range all[k].Yields {
					if g := &all[k].Yields[y]; slices.Contains(m.From, g.Name) {
						t, q := means(g.T, g.Q, 28)
						for j := range t {
							one.MarksT, one.MarksQ = append(one.MarksT, t[j]-273.15), append(one.MarksQ, q[j])
						}
					}
				}
			}
			out = append(out, one)
		}
	}
	return out
}

// means returns the means of x and y in n parts of the range of x; parts without a value are left out.
func means(x, y []float64, n int) (mx, my []float64) {
	lo, hi := math.Inf(1), math.Inf(-1)
	for i := range x {
		if !math.IsNaN(x[i] + y[i]) {
			lo, hi = math.Min(lo, x[i]), math.Max(hi, x[i])
		}
	}
	sx, sy, count := make([]float64, n), make([]float64, n), make([]float64, n)
	for i := range x {
		if math.IsNaN(x[i]+y[i]) || !(hi > lo) {
			continue
		}
		k := min(n-1, int(float64(n)*(x[i]-lo)/(hi-lo)))
		sx[k], sy[k], count[k] = sx[k]+x[i], sy[k]+y[i], count[k]+1
	}
	for k := range n {
		if count[k] > 0 {
			mx, my = append(mx, sx[k]/count[k]), append(my, sy[k]/count[k])
		}
	}
	return mx, my
}

// MapText prints for a terminal what maps come to.
func MapText(w io.Writer, all []Mapped) error {
	p := &page{}
	for _, s := range mapSays(all) {
		p.paragraph("", s)
	}
	_, err := io.WriteString(w, p.b.String())
	return err
}

// mapSays is what maps come to: the heat flow in the middle of the range with data, and how far a run lies from it.
func mapSays(all []Mapped) []string {
	var out []string
	measured := slices.ContainsFunc(all, func(m Mapped) bool { return !m.Computed })
	for k := range all {
		if all[k].Computed && measured { // said beside what was measured
			for i := range all[k].Maps {
				out = append(out, all[k].Maps[i].Notes...)
			}
			continue
		}
		for i := range all[k].Maps {
			m := &all[k].Maps[i]
			if len(m.Rows) == 0 {
				continue
			}
			whose := ""
			if len(all) > 1 || len(all[k].Maps) > 1 {
				whose = " of " + all[k].Name
				if len(all[k].Maps) > 1 {
					whose += fmt.Sprintf(", %s\u00a0m²,", figure.Number(m.Area, 3))
				}
			}
			r := m.Rows[len(m.Rows)/2]
			if all[k].Computed {
				out = append(out, fmt.Sprintf("At %s the water%s takes %s.", degrees(r.T), whose, wattsTo(r.Q, math.Abs(r.Q)/10)))
				out = append(out, m.Notes...)
				continue
			}
			out = append(out, fmt.Sprintf("At %s the water%s took %s (95\u00a0%%); there is data from %s to %s.",
				degrees(r.T), whose, wattsWith(r.Q, (r.High-r.Low)/2), degrees(m.Rows[0].T), degrees(m.Rows[len(m.Rows)-1].T)))
			for o := range all {
				for j := range all[o].Maps {
					if run := &all[o].Maps[j]; all[o].Computed && alike(m.Area, run.Area) {
						if s := lies(m, run, all[o].Name); s != "" {
							out = append(out, s)
						}
					}
				}
			}
			out = append(out, m.Notes...)
		}
	}
	return out
}

// alike tells whether two areas are the same, or one is not known.
func alike(a, b float64) bool { return a == 0 || b == 0 || math.Abs(a-b) <= 0.001*a }

// lies says where a run's map lies to a measured one.
func lies(m, run *balance.Map, name string) string {
	least, most := math.Inf(1), math.Inf(-1)
	rows, inside := 0, 0
	for _, r := range m.Rows {
		q := valueOf(run, r.T)
		if math.IsNaN(q) {
			continue
		}
		least, most = math.Min(least, q-r.Q), math.Max(most, q-r.Q)
		rows++
		if q >= r.Low && q <= r.High {
			inside++
		}
	}
	if rows == 0 {
		return fmt.Sprintf("Computed, %s has no block temperature in common with it.", name)
	}
	half := 0.0
	for _, r := range m.Rows {
		half = math.Max(half, (r.High-r.Low)/2)
	}
	where := fmt.Sprintf("between %s below and %s above", wattsTo(-least, half), wattsTo(most, half))
	switch {
	case least >= 0:
		where = fmt.Sprintf("%s to %s above", wattsTo(least, half), wattsTo(most, half))
	case most <= 0:
		where = fmt.Sprintf("%s to %s below", wattsTo(-most, half), wattsTo(-least, half))
	}
	return fmt.Sprintf("Computed, %s lies %s what was measured; %s of it within the band.", name, where, figure.Percent(float64(inside)/float64(rows)))
}

// valueOf is a map at a temperature, NaN outside its rows.
func valueOf(m *balance.Map, T float64) float64 {
	for i := 1; i < len(m.Rows); i++ {
		a, b := &m.Rows[i-1], &m.Rows[i]
		if T >= a.T && T <= b.T && b.T > a.T {
			return a.Q + (b.Q-a.Q)*(T-a.T)/(b.T-a.T)
		}
	}
	return math.NaN()
}

func degrees(K float64) string { return figure.Number(K-273.15, 0) + "\u00a0°C" }

// wattsWith prints a heat flow with its half-width.
func wattsWith(q, half float64) string {
	if math.Abs(q) >= 3000 || half >= 3000 {
		return spread(q/1000, half/1000) + "\u00a0kW"
	}
	return spread(q, half) + "\u00a0W"
}

// wattsTo prints a heat flow to the digits that a half-width of its kind supports.
func wattsTo(q, half float64) string {
	if !(half > 0) {
		half = math.Abs(q)
	}
	if half > 0 {
		unit := math.Pow(10, math.Floor(math.Log10(half))-1)
		q = math.Round(q/unit) * unit
	}
	if math.Abs(q) >= 3000 {
		return figure.Number(q/1000, 2) + "\u00a0kW"
	}
	return figure.Number(q, 0) + "\u00a0W"
}

// mapped maps the heat flow of a run's drains over the block's temperature, as a trial's is; nil where there is none.
func mapped(r *heat.Result, info Info) []Mapped {
	title := info.Title
	if title == "" {
		title = "run"
	}
	in := balance.OfRun(title, &r.History)
	if r.Ledger.Steady || len(in.Channels) == 0 {
		return nil
	}
	for _, f := range r.Fillings {
		in.Fill = append(in.Fill, [2]float64{f.From, f.To})
	}
	yields, err := balance.Yields(&in, balance.WettedArea(info.Receiver))
	if err != nil {
		return nil // no drain, or no rows to speak of
	}
	maps, err := balance.FitMap(yields, balance.MapOptions{Seed: 1})
	if err != nil {
		return nil
	}
	return []Mapped{{Name: title, Of: "run", Computed: true, Maps: maps, Yields: yields}}
}
