package trial

import (
	"math/rand/v2"
	"os"
	"testing"
	"time"

	"emberbank/internal/testkit"
)

// TestExamplesAreWhatTheToyGives keeps the made-up loggers' files of examples/bakery-trial to the model that made them:
// two days with the same sensors and another flow.
func TestExamplesAreWhatTheToyGives(t *testing.T) {
	second := usualPlan()
	second.flow, second.heatFor, second.inlet = 0.035, 4800, 13
	keepExample(t, "logger.csv", usualPlan(), 314, time.Date(2026, 3, 14, 9, 30, 0, 0, time.UTC))
	keepExample(t, "second-day.csv", second, 321, time.Date(2026, 3, 21, 8, 45, 0, 0, time.UTC))
}

func keepExample(t *testing.T, file string, plan toyPlan, seed uint64, start time.Time) {
	t.Helper()
	rng := rand.New(rand.NewPCG(2026, seed))
	y := runToy(plan, rng)
	f := &toyFile{
		sep: ";", decimal: ",", clock: "dotted", start: start, every: 10,
		preamble: []string{"Bakery bench, block of tin in aluminium: all numbers here are made up", "Logger 1, interval 10 s", ""},
		missing:  "OL", missingShare: 0.0005,
		columns: []toyColumn{
			{"front", "T front", "°C", 0.08, 1, 0.4},
			{"core", "T core", "°C", 0.08, 1, -0.3},
			{"back", "T back", "°C", 0.08, 1, 0.2},
			{"circuit main inlet", "T in", "°C", 0.05, 2, 0.05},
			{"circuit main outlet", "T out", "°C", 0.05, 2, 0.08},
			{"circuit main flow", "Flow", "l/min", 0.015, 3, 0},
			{"ambient", "T room", "°C", 0.05, 1, 0},
			{"lamp power", "Lamp", "kW", 0.004, 3, 0},
		},
	}
	name := "../examples/bakery-trial/" + file
	made := []byte(f.write(y, rng))
	if testkit.Updating() {
		if err := os.WriteFile(name, made, 0o666); err != nil {
			t.Fatal(err)
		}
		return
	}
	have, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if diff := testkit.Diff(have, made); diff != "" {
		t.Errorf("the example is not what the model gives (go test ./trial -update rewrites it):\n%s", diff)
	}
}
