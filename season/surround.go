package season

import (
	"context"
	"fmt"
	"math"

	"emberbank/duty"
	"emberbank/heat"
)

// weatherRange is what a season's surroundings and light span.
type weatherRange struct {
	air, sky, ground [2]float64 // K; of sky and ground the difference from the air
	wind, tilt       [2]float64 // m/s, rad
	light            [2]float64 // of the light's signal
}

// rangeOf looks at a season every so many seconds and at its light's knots.
func rangeOf(d *duty.Duty, until, every float64) weatherRange {
	r := weatherRange{}
	first := true
	widen := func(s *[2]float64, x float64) {
		if first {
			s[0], s[1] = x, x
		}
		s[0], s[1] = math.Min(s[0], x), math.Max(s[1], x)
	}
	for i := 0; float64(i)*every <= until; i++ {
		w := heat.WeatherAt(d, float64(i)*every)
		widen(&r.air, w.Air)
		widen(&r.sky, w.Sky-w.Air)
		widen(&r.ground, w.Ground-w.Air)
		widen(&r.wind, w.Wind)
		widen(&r.tilt, w.Tilt)
		first = false
	}
	if d.Light != nil {
		_, r.light[1], _ = span(&d.Light.Power)
	}
	return r
}

// The differences from the air, in K, at which losses are tabled.
var (
	outerOver  = axis{-40, -20, -10, -4, 0, 4, 10, 20, 40, 70, 120, 200}
	windowOver = axis{-40, -10, 0, 10, 30, 60, 100, 140, 180, 220, 260, 300, 350, 400, 500, 600, 800}
)

// surroundings is what surfaces and window lose, tabled over what the cells behind them stand above the air, by weather.
type surroundings struct {
	paths  []string
	outer  []*table // W, by path; the window's stays empty
	window struct {
		path       int    // -1: there is no window
		open, shut *table // W
	}
}

// askSurroundings tables the losses. Every cell is set to one temperature: only those behind the faces count.
func askSurroundings(ctx context.Context, still *heat.Still, r weatherRange, hasWindow, glazed bool) (*surroundings, error) {
	air, sky, ground := spread(r.air[0], r.air[1], 3), spread(r.sky[0], r.sky[1], 3), spread(r.ground[0], r.ground[1], 2)
	tilt := spread(r.tilt[0], r.tilt[1], 4)
	wind := axis{r.wind[0]}
	if r.wind[1] > r.wind[0]+1e-9 { // closer together where natural convection gives way to the wind
		for _, x := range []float64{0.04, 0.15, 0.4, 1} {
			wind = append(wind, r.wind[0]+x*(r.wind[1]-r.wind[0]))
		}
	}
	s := &surroundings{paths: still.Paths()}
	s.window.path = -1
	weather := func(at []float64) heat.Weather {
		return heat.Weather{Air: at[0], Sky: at[0] + at[1], Ground: at[0] + at[2], Wind: at[3], Tilt: at[4]}
	}
	for range s.paths {
		s.outer = append(s.outer, newTable(outerOver, air, sky, ground, wind, tilt))
	}
	// The cells are set seldom, the weather often: setting them costs more.
	ask := func(t *table, answer func(at []float64, k, q int)) {
		for _, a := range air {
			for k, above := range t.over {
				if ctx.Err() != nil {
					return
				}
				still.Set(func(int) float64 { return a + above })
				q := 0
				t.each(func(at, _ []float64) {
					if at[0] == a {
						answer(at, k, q)
					}
					q++
				})
			}
		}
	}
	ask(s.outer[0], func(at []float64, k, q int) {
		for i, lost := range still.Lost(weather(at), true, 0) {
			s.outer[i].values[q*len(outerOver)+k] = lost
		}
	})
	if !hasWindow {
		return s, stopped(ctx)
	}
	s.window.path = 0
	if glazed {
		s.glaze(still, weather, []axis{air, sky, ground, wind, tilt})
		return s, stopped(ctx)
	}
	s.window.open = newTable(windowOver, air, sky, ground, wind, tilt, spread(r.light[0], r.light[1], 2))
	s.window.shut = newTable(windowOver, air, sky, ground, wind, tilt)
	ask(s.window.shut, func(at []float64, k, q int) {
		s.window.shut.values[q*len(windowOver)+k] = still.Lost(weather(at), true, 0)[0]
	})
	ask(s.window.open, func(at []float64, k, q int) {
		s.window.open.values[q*len(windowOver)+k] = still.Lost(weather(at), false, at[5])[0]
	})
	return s, stopped(ctx)
}

// stopped is the error of asking that was stopped; nil where it was not.
func stopped(ctx context.Context) error {
	if err := ctx.Err(); err != nil {
		return fmt.Errorf("asking what surroundings and water take: %w", err)
	}
	return nil
}

// glaze tables what the pane gives to the outside over what it stands above the air.
func (s *surroundings) glaze(still *heat.Still, weather func(at []float64) heat.Weather, by []axis) {
	for _, t := range []struct {
		to   **table
		shut bool
	}{{&s.window.open, false}, {&s.window.shut, true}} {
		*t.to = newTable(windowOver, by...)
		(*t.to).each(func(at, curve []float64) {
			for i, above := range windowOver {
				curve[i] = still.Outward(weather(at), t.shut, math.Max(1, at[0]+above))
			}
		})
	}
}
