package bench

import (
	"strings"
	"testing"

	"emberbank/history"
)

func TestReadingsSayWhatIsRead(t *testing.T) {
	for _, c := range []struct {
		text string
		want Reading
		of   history.Quantity // of the column that is watched
	}{
		{"block mean [degC]", Reading{Of: "block mean"}, 0},
		{"mean of heat to passes", Reading{Of: "heat to passes", How: ReadMean}, 0},
		{"heat to passes at 1.5 h", Reading{Of: "heat to passes", How: ReadAt, At: 5400}, 0},
		{"largest circuit main wall max", Reading{Of: "circuit main wall max", How: ReadLargest}, 0},
		{"least block mean [degC]", Reading{Of: "block mean", How: ReadLeast}, 0},
		{"time with block mean above 0 degC", Reading{Of: "block mean", How: ReadBeyond, Watch: "block mean", Level: 273.15}, history.Temperature},
		{"time with heat to passes below 2 kW", Reading{Of: "heat to passes", How: ReadBeyond, Watch: "heat to passes", Level: 2000, Falls: true}, history.HeatFlow},
		{"time when block mean falls to 1 degC", Reading{Of: "block mean", How: ReadWhen, Watch: "block mean", Level: 274.15, Falls: true}, history.Temperature},
		{"time when melted rises to 50 %", Reading{Of: "melted", How: ReadWhen, Watch: "melted", Level: 0.5}, history.Fraction},
		{"heat to passes [W] when block mean [degC] falls to 1 degC", Reading{Of: "heat to passes", How: ReadAtCrossing, Watch: "block mean", Level: 274.15, Falls: true}, history.Temperature},
		{"total of heat to passes from 1 h to 2 h 30 min", Reading{Of: "heat to passes", How: ReadTotal, At: 3600, To: 9000}, 0},
		{"ledger lost front", Reading{Of: "lost front", How: ReadLedger}, 0},
		{"mass of insulation", Reading{Of: "insulation", How: ReadMass}, 0},
		{"mass", Reading{How: ReadMass}, 0},
		{"cost", Reading{How: ReadCost}, 0},
	} {
		got, err := ReadReading(c.text)
		if err == nil {
			got, err = got.WithLevel(c.of)
		}
		got.level, c.want.Text = "", c.text
		if err != nil || got != c.want {
			t.Errorf("%s: %+v, %v", c.text, got, err)
		}
	}
}

func TestReadingsThatCannotBeReadSayHowToMendThem(t *testing.T) {
	for text, want := range map[string]string{
		"block mean at noon":                            "noon",
		"total of heat to passes":                       "from 1 h to 2 h",
		"total of heat to passes from 1 h":              "lacks its end",
		"total of heat to passes from 2 h to 1 h":       "before it begins",
		"total of heat to passes from 1 h to 3 K":       "3 K",
		"time when block mean falls to 3 W":             "3 W",
		"heat to passes when block mean falls to often": "often",
	} {
		q, err := ReadReading(text)
		if err == nil {
			_, err = q.WithLevel(history.Temperature)
		}
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", text, err)
		}
	}
}
