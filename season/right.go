package season

import "emberbank/heat"

// setRight finds the factors by which losses that are tabled, at the nodes' temperatures of the days of building, come to
// what the full model has.
func (m *Model) setRight(days []*observed) {
	paths := len(m.paths)
	full, fast := make([]float64, paths+2), make([]float64, paths+2) // the last two: the window with its cover shut, and the gap
	for _, o := range days {
		lost := make([][]float64, paths)
		for i, name := range m.sur.paths {
			lost[i] = o.column("lost " + name)
		}
		w := m.newWalker(o.rows[0].Heat)
		at := moment{flows: make([]float64, len(m.circuits))} // what is lost hangs on no water and no heater
		for i := range o.rows {
			r := &o.rows[i]
			at.weather, at.shut, at.light = heat.WeatherAt(&o.duty, o.result.History.Time[i]), r.Shut, r.Light
			copy(w.H, r.Heat)
			w.read()
			w.prepare(&at)
			w.evaluate()
			for path := range paths {
				k := path
				if path == m.sur.window.path && at.shut {
					k = paths
				}
				full[k] += lost[path][i]
				fast[k] += w.now.lost[path]
			}
			full[paths+1] += r.Across
			fast[paths+1] += w.across
		}
	}
	set := func(of string, to *float64, full, fast float64) {
		if full/fast > 0.5 && full/fast < 2 {
			*to = full / fast
			m.Factors = append(m.Factors, Factor{of, *to})
		}
	}
	for path := range paths {
		if path == m.sur.window.path {
			set("lost window, open", &m.window[0], full[path], fast[path])
			set("lost window, shut", &m.window[1], full[paths], fast[paths])
			if m.glass != nil {
				set("across the gap", &m.glass.right, full[paths+1], fast[paths+1])
			}
			continue
		}
		set("lost "+m.sur.paths[path], &m.paths[path], full[path], fast[path])
	}
}
