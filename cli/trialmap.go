package cli

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"emberbank/account"
	"emberbank/balance"
	"emberbank/history"
	"emberbank/shelf"
)

// computed is a run that is laid over a trial.
type computed struct {
	name    string
	area    float64 // m², wetted; 0: not known
	history *history.History
	fill    [][2]float64 // from and to in s, in which its tubes filled
	input   shelf.Entry  // history.csv, for the list of what results came from
}

// readComputed reads a run's results folder. An empty name gives none.
func readComputed(dir string) (*computed, error) {
	if dir == "" {
		return nil, nil
	}
	h, err := readHistory(dir)
	if err != nil {
		return nil, err
	}
	path := filepath.Join(dir, "history.csv")
	raw, err := os.ReadFile(path)
	if err != nil {
		return nil, disk("reading "+path, err)
	}
	return &computed{
		name: filepath.Base(filepath.Clean(dir)), area: areaOf(dir), history: h, fill: fillingsOf(dir),
		input: shelf.Entry{Name: filepath.ToSlash(path), SHA256: shelf.Sum(raw)},
	}, nil
}

// mapped maps the run's heat flow to the water. The block's temperature is taken as the trial takes its own: the mean of
// the columns named like the trial's thermocouples in the block, where the run has sensors of all these names, so that
// like lies over like; else the block's mean.
func (r *computed) mapped(in *balance.Input) (*account.Mapped, error) {
	run := balance.OfRun(r.name, r.history)
	run.Fill = r.fill
	var block []balance.Channel
	has := true
	for _, c := range in.Channels {
		if c.Role == balance.Block {
			has = has && r.history.Column(c.Column) != nil
			block = append(block, balance.Channel{Column: c.Column, Role: balance.Block, Weight: c.Weight})
		}
	}
	if has && len(block) > 0 {
		for _, c := range run.Channels {
			if c.Role != balance.Block {
				block = append(block, c)
			}
		}
		run.Channels = block
	}
	yields, err := balance.Yields(&run, r.area)
	if err != nil {
		return nil, err
	}
	maps, err := balance.FitMap(yields, balance.MapOptions{Seed: 1})
	if err != nil {
		return nil, err
	}
	return &account.Mapped{Name: r.name, Of: "run", Computed: true, Maps: maps, Yields: yields}, nil
}

// readHistory reads what a run has written back into SI.
func readHistory(dir string) (*history.History, error) { return readOverTime(dir, "history.csv") }

// readBands reads the half-widths at 95 % of a run's columns, as they are: nil where the run has none.
func readBands(dir string) (*history.History, error) {
	const name = "history-half-width.csv"
	if !isFile(filepath.Join(dir, name)) {
		return nil, nil
	}
	return readOverTime(dir, name)
}

// readOverTime reads a table of columns over time back into SI.
func readOverTime(dir, name string) (*history.History, error) {
	f, err := os.Open(filepath.Join(dir, name))
	var h *history.History
	if err == nil {
		h, err = account.ReadHistory(f)
		_ = f.Close()
	}
	if err != nil {
		return nil, &failure{code: ExitInput, message: "reading " + name + " of the run in " + dir, err: err, hint: "name the results folder of emberbank run"}
	}
	return h, nil
}

// fillingsOf returns when the tubes of a run filled, by its summary; none where it says nothing.
func fillingsOf(dir string) [][2]float64 {
	raw, err := os.ReadFile(filepath.Join(dir, "summary.json"))
	if err != nil {
		return nil
	}
	var said struct {
		Fillings []struct {
			From float64  `json:"from_s"`
			To   *float64 `json:"to_s"` // null: the run ended before
		} `json:"fillings"`
	}
	if json.Unmarshal(raw, &said) != nil {
		return nil
	}
	var out [][2]float64
	for _, f := range said.Fillings {
		one := [2]float64{f.From, math.Inf(1)}
		if f.To != nil {
			one[1] = *f.To
		}
		out = append(out, one)
	}
	return out
}

// areaOf is the wetted area of a run by its own map, 0 where it has none.
func areaOf(dir string) float64 {
	rows, err := readTable(filepath.Join(dir, "map.csv"))
	if err != nil || len(rows) < 2 || len(rows[0]) < 3 || !strings.HasPrefix(rows[0][2], "wetted area") {
		return 0
	}
	area, err := strconv.ParseFloat(rows[1][2], 64)
	if err != nil {
		return 0
	}
	return area
}

func readTable(path string) ([][]string, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer func() { _ = f.Close() }()
	return csv.NewReader(f).ReadAll()
}
