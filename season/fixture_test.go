package season

import (
	"context"
	"fmt"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"emberbank/bench"
	"emberbank/heat"
)

// small is a small receiver with a filler that melts and one circuit, under days of invented sun and load. Of its two kinds of
// water one stays liquid and one makes steam; that one has a pane before its window. Where it stays liquid,
// the rule that stops the charge leaves the cover to the rule that looks at the sun.
const small = `schema: emberbank/1
kind: run
receiver:
  block: {depth: 120 mm, width: 120 mm, height: 120 mm, medium: tin-in-aluminium}
  composites:
    - {name: tin-in-aluminium, matrix: aluminium, filler: tin, filler fraction: 30 %, void fraction: 3 %, mixing: maxwell-eucken}
  insulation:
    around: [{material: mineral-wool, thickness: 60 mm}]
    back: [{material: mineral-wool, thickness: 60 mm}]
    front: [{material: mineral-wool, thickness: 30 mm}]
  window: {width: 80 mm, height: 80 mm, absorptance: 0.95, emissivity: 0.9, %GLASS%cover: {conductance: 0.8 W/(m2 K)}}
  surfaces: {all: {film: outside, emissivity: 0.4}}
  tube: {outer: 12 mm, wall: 1 mm, material: stainless-304, contact: 400 W/(m2 K)}
  passes: [{along: width, depth: 60 mm, height: [40 mm, 80 mm]}]
  circuits: [{name: main, passes: [1, 2]}]
duty:
  ambient: {table: [[0 h, 10 degC], [14 h, 22 degC], [24 h, 10 degC]], every: 1 d}
  wind: {table: [[0 h, 1 m/s], [30 h, 4 m/s], [60 h, 1 m/s]]}
  light: {power: {table: %LIGHT%}}
  cover: shut
  water: {all: {inlet: 15 degC, pressure: %PRESSURE%, state: drained}}
  load: {%LOAD%, between: [0.5 kg/h, 20 kg/h]}
  rules:
    - {name: sun, when: {place: light, above: 60 W}, back by: 30 W, do: {cover: open}, else: {cover: shut}}
    - {name: full, when: {place: block mean, above: 280 degC}, back by: 5 K, do: %DO%, else: %ELSE%}
until: 10 d
output: {every: 1 h}
initial: 12 degC
tolerance: 0.5 K
grid: {size: 40 mm, cells per layer: 2}
`

const (
	makesSteam = "steam: {steps: [[0 h, 0 kg/h], [15 h, 0.8 kg/h], [17 h, 0 kg/h]], every: 1 d}"
	warmsWater = "heat: {steps: [[0 h, 0 W], [6 h, 300 W], [8 h, 0 W], [15 h, 500 W], [17 h, 0 W]], every: 1 d}, serves: 50 degC"
)

// suns is ten days of light of changing strength.
func suns() string {
	var rows []string
	for d, x := range []float64{1, 0.7, 0.15, 0.9, 0.5, 0.05, 0.8, 0.6, 0.3, 0.95} {
		for _, k := range [][2]float64{{6, 0}, {9, 0.8}, {12, 1}, {15, 0.8}, {18, 0}} {
			rows = append(rows, fmt.Sprintf("[%g h, %g W]", float64(24*d)+k[0], 620*x*k[1]))
		}
	}
	return "[" + strings.Join(rows, ", ") + "]"
}

func smallProblem(t testing.TB, load string) heat.Problem {
	t.Helper()
	pressure, glass := "3 bar", "glass: {material: borosilicate-glass, thickness: 4 mm, gap: 20 mm, transmittance: 0.9, absorptance: 0.02}, "
	do, back := "{light: off, cover: shut}", "{light: on, cover: open}"
	if load == warmsWater {
		pressure, glass = "10 bar", ""
		do, back = "{light: off}", "{light: on}"
	}
	text := strings.NewReplacer("%LIGHT%", suns(), "%LOAD%", load, "%PRESSURE%", pressure, "%GLASS%", glass, "%DO%", do, "%ELSE%", back).Replace(small)
	run, problems := bench.LoadRun(fstest.MapFS{"run.yaml": {Data: []byte(text)}}, "run.yaml", bench.Options{})
	if problems.Failed() {
		t.Fatal(problems)
	}
	p := run.Problem
	p.Threads = 1
	return p
}

// made is a season of the small receiver, computed once for all tests.
type made struct {
	p   heat.Problem
	m   *Model
	out *Outcome
	err error
}

var makeOnce = map[string]func(t testing.TB) *made{makesSteam: once(makesSteam), warmsWater: once(warmsWater)}

func once(load string) func(t testing.TB) *made {
	var mu sync.Mutex
	var kept *made
	return func(t testing.TB) *made {
		mu.Lock()
		defer mu.Unlock()
		if kept == nil {
			kept = &made{p: smallProblem(t, load)}
			kept.m, kept.out, kept.err = Make(context.Background(), kept.p, Plan{FromCount: 3, ApartCount: 3}, 3600, Options{Run: heat.Run, Workers: 2})
		}
		return kept
	}
}
