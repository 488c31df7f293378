package cli

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"emberbank/bench"
)

// wetTrial writes a made-up trial: a lumped block of 40 kJ/K behind ten layers of wool, heated twice; kg of water boil off
// evenly while the block is hot for the first time.
func wetTrial(t *testing.T, dir string, kg float64) {
	t.Helper()
	var b strings.Builder
	b.WriteString("time [s],T [degC],P [W],room [degC]\n")
	T, boiled := 20.0, 0.0
	var wall [10]float64
	for i := range wall {
		wall[i] = 20
	}
	for at := 0.0; at <= 14*3600; at += 5 {
		power, sink := 0.0, 0.0
		if at < 5400 || at > 7*3600 && at < 8.25*3600 {
			power = 1900
		}
		if T > 100 && boiled < kg {
			sink = kg * 2.6e6 / 3000
			boiled += sink * 5 / 2.6e6
		}
		if math.Mod(at, 20) == 0 {
			fmt.Fprintf(&b, "%g,%.1f,%.0f,20.0\n", at, T+0.2*math.Sin(37*at), power)
		}
		in := 40 * (T - wall[0])
		T += 5 / 40e3 * (power - sink - in - 0.5*(T-20))
		for i := range wall {
			next := 20.0
			if i+1 < len(wall) {
				next = wall[i+1]
			}
			out := 20 * (wall[i] - next)
			wall[i] += 5 / 900.0 * (in - out)
			in = out
		}
	}
	const description = `schema: emberbank/1
kind: trial
name: wet
block: {mass: 40 kg, heat capacity: 1000 J/(kg K), within: 2 %}
uptake: [{of: lamp power, within: 1 %}]
loggers:
  - file: wet.csv
    channels:
      - {column: T, place: core, uncertainty: 1 K}
      - {column: P, place: lamp power, hold: yes}
      - {column: room, place: ambient, uncertainty: 0.5 K}
`
	for name, text := range map[string]string{"wet.csv": b.String(), "wet.yaml": description} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
}

func TestAMatchLeavesDryingOutWhereItIsAsked(t *testing.T) {
	for _, row := range []struct {
		kg     float64
		out    bool
		leaves int
		says   string
	}{
		{0.4, true, 1, "of the run are left out"},
		{0.4, false, 0, `"drying: leave out" does so`},
		{0, true, 0, "no drying shows"},
		{0, false, 0, ""},
	} {
		dir := t.TempDir()
		wetTrial(t, dir, row.kg)
		at, err := locate(filepath.Join(dir, "wet.yaml"))
		if err != nil {
			t.Fatal(err)
		}
		m := &bench.Match{Trials: []bench.MatchTrial{{Name: "wet", Trial: at.name, DryOut: row.out, Begins: 60}}}
		told, dangers := leaveDrying(at, m)
		notes := strings.Join(told, "\n")
		if len(m.Trials[0].Leave) != row.leaves || !strings.Contains(notes, row.says) || row.says == "" && notes != "" {
			t.Errorf("%g kg: %d stretches are left out, and told is %q", row.kg, len(m.Trials[0].Leave), notes)
		}
		if all := strings.Join(dangers.sentences(), "\n"); !strings.Contains(all, "trial wet: ") || !strings.Contains(all, "burn the skin") {
			t.Errorf("of a hot block is said %q", all)
		}
		for _, l := range m.Trials[0].Leave { // it passes 100 °C after half an hour, and heats for an hour and a half
			if l.From < 1200 || l.From > 2700 || l.To < 5400-120 || l.To > 9000 {
				t.Errorf("left out is %.0f s to %.0f s", l.From, l.To)
			}
		}
	}
}
