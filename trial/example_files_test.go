package trial

import (
	"math/rand/v2"
	"os"
	"testing"
	"time"

	"emberbank/internal/testkit"
)

// TestExampleIsWhatTheToyGives keeps the made-up logger's file of examples/bakery-trial to the model that made it.
func TestExampleIsWhatTheToyGives(t *testing.T) {
	rng := rand.New(rand.NewPCG(2026, 314))
	y := runToy(usualPlan(), rng)
	f := &toyFile{
		sep: ";", decimal: ",", clock: "dotted", start: time.Date(2026, 3, 14, 9, 30, 0, 0, time.UTC), every: 10,
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
	const name = "../examples/bakery-trial/logger.csv"
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
