package cli

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"emberbank/account"
)

var longAgo = time.Date(2020, 1, 2, 3, 4, 5, 0, time.UTC)

const liveTrial = `schema: emberbank/1
kind: trial
name: made-up live trial
zone: UTC
loggers:
  - file: logger.csv
    channels:
      - {column: T core, place: core}
      - {column: T back, place: back}
      - {column: Lamp, place: lamp power, hold: yes}
follow:
  targets: [{of: core, reaches: 80 degC}]
  limits: [{of: core, above: 60 degC, near: 5 K, why: made up}]
`

const liveHeader = "Timestamp;T core [°C];T back [°C];Lamp [kW]\n"

func liveLine(k int) string {
	s := 9*3600 + 10*k
	back := fmt.Sprintf("%.2f", 20+0.04*float64(k)+0.1*math.Cos(float64(k)))
	if k >= 420 && k < 440 {
		back = "OL"
	}
	return fmt.Sprintf("2026-03-14 %02d:%02d:%02d;%.2f;%s;6.50\n", s/3600, s/60%60, s%60, 20+0.08*float64(k)+0.1*math.Sin(float64(k)), back)
}

func liveLines(from, to int) string {
	var b strings.Builder
	for k := from; k < to; k++ {
		b.WriteString(liveLine(k))
	}
	return b.String()
}

// TestFollowingARealFileSurvivesWhatLoggersDo starts the program as a process of its own, writes the logger's file beside it
// as loggers do, and ends it as Ctrl-C does: once with the ends of lines of one system, once with those of another and the mark
// that some programs put before a text.
func TestFollowingARealFileSurvivesWhatLoggersDo(t *testing.T) {
	t.Run("LF", func(t *testing.T) { followARealFile(t, func(text string) string { return text }) })
	t.Run("CRLF and a byte order mark", func(t *testing.T) {
		followARealFile(t, func(text string) string {
			return strings.ReplaceAll(strings.ReplaceAll(text, "\n", "\r\n"), "Timestamp", "\ufeffTimestamp")
		})
	})
}

func followARealFile(t *testing.T, in func(text string) string) {
	program, err := exec.LookPath("emberbank")
	if err != nil {
		t.Skip("the test's own program is not on the path")
	}
	dir := t.TempDir()
	path := filepath.Join(dir, "logger.csv")
	write(t, filepath.Join(dir, "trial.yaml"), liveTrial)
	command := exec.Command(program, "trial", "trial.yaml", "--follow", "--every", "50 ms", "--json", "-o", "out")
	command.Dir = dir
	var complaints bytes.Buffer
	command.Stderr = &complaints
	pipe, err := command.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := command.Start(); err != nil {
		t.Fatal(err)
	}
	defer func() { _ = command.Process.Kill() }()
	lines := make(chan map[string]any, 1000)
	go func() {
		defer close(lines)
		r := bufio.NewReader(pipe)
		for {
			raw, err := r.ReadBytes('\n')
			var d map[string]any
			if json.Unmarshal(raw, &d) == nil && d != nil {
				lines <- d
			}
			if err != nil {
				return
			}
		}
	}()
	var said []string
	until := func(what string, when func(d map[string]any) bool) {
		t.Helper()
		over := time.After(60 * time.Second)
		for {
			select {
			case d, ok := <-lines:
				if !ok {
					t.Fatalf("it ended before %s: %s", what, complaints.String())
				}
				if s, ok := d["text"].(string); ok {
					said = append(said, s)
				}
				if when(d) {
					return
				}
			case <-over:
				t.Fatalf("%s did not come; it said %q", what, said)
			}
		}
	}
	newest := func(k int) func(map[string]any) bool {
		return func(d map[string]any) bool {
			at, _ := d["at_s"].(float64)
			return d["kind"] == "report" && at == 10*float64(k)
		}
	}
	says := func(words string) func(map[string]any) bool {
		return func(d map[string]any) bool { s, _ := d["text"].(string); return strings.Contains(s, words) }
	}
	add := func(text string) {
		f, err := os.OpenFile(path, os.O_APPEND|os.O_WRONLY|os.O_CREATE, 0o666)
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		if _, err := f.WriteString(in(text)); err != nil {
			t.Fatal(err)
		}
	}
	until("word of the missing file", says("not there yet"))
	add(liveHeader + liveLines(0, 100))
	until("row 99", newest(99))
	add(liveLine(100)[:27])
	time.Sleep(200 * time.Millisecond)
	add(liveLine(100)[27:] + liveLines(101, 150))
	until("row 149", newest(149))
	write(t, path, in(liveHeader+liveLines(0, 200))) // written anew
	until("row 199", newest(199))
	if err := os.Rename(path, path+".1"); err != nil {
		t.Fatal(err)
	}
	add(liveHeader + liveLines(200, 300)) // rotated
	until("row 299", newest(299))
	write(t, path, "") // truncated
	time.Sleep(200 * time.Millisecond)
	add(liveHeader + liveLines(300, 400))
	until("row 399", newest(399))
	if err := os.Rename(path, path+".away"); err != nil { // gone for a while
		t.Fatal(err)
	}
	until("word that it is gone", says("is gone; waiting for it"))
	if err := os.Rename(path+".away", path); err != nil {
		t.Fatal(err)
	}
	until("word that it is back", says("is there again"))
	add(liveLines(400, 450))
	until("the call for the limit", says("core is near a limit"))
	until("row 449", newest(449))
	if !slices.ContainsFunc(said, func(s string) bool { return strings.Contains(s, "back is lost: no reading for 50 s") }) {
		t.Errorf("the lost sensor is not called out: %q", said)
	}
	add(liveLines(450, 550))
	until("the limit passed", says("core has passed the limit"))
	add(liveLines(550, 800))
	until("the target", says("core has reached 80.0 degC"))
	if err := command.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	var notes string
	until("the ordinary report", func(d map[string]any) bool {
		if record, ok := d["record"].(map[string]any); ok {
			notes = fmt.Sprint(record["notes"])
		}
		return d["kind"] == "end"
	})
	for _, want := range []string{"This report covers 83 min of the 2 h 13 min that were followed: logger.csv began anew", "file: [logger.csv.1, logger.csv]"} {
		if !strings.Contains(notes, want) {
			t.Errorf("the report does not say %q but %q", want, notes)
		}
	}
	for range lines { // nothing comes after it but its end
		t.Error("something comes after the end")
	}
	if err := command.Wait(); err != nil {
		t.Errorf("it ends with %v: %s", err, complaints.String())
	}
	if n := slices.IndexFunc(said, func(s string) bool { return strings.Contains(s, "clock") || strings.Contains(s, "departs") }); n >= 0 {
		t.Errorf("it says %q", said[n])
	}
	raw, err := os.ReadFile(path)
	if err != nil || string(raw) != in(liveHeader+liveLines(300, 800)) {
		t.Error("the logger's file is not as its logger wrote it")
	}
	if _, err := os.Stat(filepath.Join(dir, "out", "history.csv")); err != nil {
		t.Error(err)
	}
}

// screen is a terminal as standard output.
type screen struct{ bytes.Buffer }

func (s *screen) Stat() (os.FileInfo, error) { return characterDevice{}, nil }

func TestOnATerminalTheBlockIsRenewedInPlaceAndElsewhereLinesStand(t *testing.T) {
	t.Setenv("TERM", "xterm")
	dir := t.TempDir()
	file := filepath.Join(dir, "trial.yaml")
	write(t, file, liveTrial)
	write(t, filepath.Join(dir, "logger.csv"), liveHeader+liveLines(0, 480))
	for _, terminal := range []bool{true, false} {
		var out io.Writer = &bytes.Buffer{}
		if terminal {
			out = &screen{}
		}
		var err bytes.Buffer
		if code := Main(context.Background(), []string{"trial", file, "--follow", "--every", "100 ms", "--for", "350 ms"}, Streams{out, &err}); code != ExitDone {
			t.Fatal(err.String())
		}
		s := out.(fmt.Stringer).String()
		if strings.Contains(s, "\x1b[") != terminal {
			t.Errorf("terminal %v: %q", terminal, s)
		}
		for _, want := range []string{"core is near a limit", "core to 80.0 degC: ", "by the straight course", "back is lost", "rows, one each 10 s"} {
			if !strings.Contains(s, want) {
				t.Errorf("nothing says %q in %s", want, s)
			}
		}
	}
}

func TestMistakesOfFollowingAreToldAtOnce(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "trial.yaml")
	write(t, file, liveTrial)
	for _, c := range []struct {
		args []string
		code int
		want string
	}{
		{[]string{"--every", "10 s"}, ExitUsage, "--every and --for go with --follow"},
		{[]string{"--follow", "--every", "often"}, ExitUsage, "no length of time"},
		{[]string{"--follow", "--for", "0 s"}, ExitUsage, "no length of time"},
		{[]string{"--follow", "--for", "100 ms"}, ExitInput, "there is no such file"}, // the ordinary report, without a logger's file
	} {
		var out, err bytes.Buffer
		if code := Main(context.Background(), append([]string{"trial", file}, c.args...), Streams{&out, &err}); code != c.code || !strings.Contains(err.String(), c.want) {
			t.Errorf("%q ends with %d: %s", c.args, code, err.String())
		}
		if c.code != ExitInput {
			continue
		}
		out.Reset()
		Main(context.Background(), append([]string{"trial", file, "--json"}, c.args...), Streams{&out, &err})
		last := ""
		for line := range strings.Lines(out.String()) {
			var d map[string]any
			if json.Unmarshal([]byte(line), &d) != nil {
				t.Errorf("%q is no document of its own", line)
			}
			last = line
		}
		if !strings.Contains(last, c.want) {
			t.Errorf("the last line is %q", last)
		}
	}
}

// smallTrial follows the third trial of the example, whose match is made up here: the example's own takes a minute.
const smallTrial = `schema: emberbank/1
kind: trial
receiver: receiver.yaml
loggers:
  - file: measured-3.csv
    clock: {column: time, unit: s}
    channels:
      - {column: T1, place: T1, noise: 0.1 K, uncertainty: 1 K}
      - {column: T2, place: corner, noise: 0.1 K, uncertainty: 1 K}
follow: {run: trial-3.yaml, match: found, targets: [{of: T1, reaches: 60 degC}]}
`

const smallFound = `{"schema": "emberbank/match-1", "name": "made up",
 "parameters": [{"name": "wool", "paths": ["receiver.materials[1].conductivity"], "value": 0.05, "standard_deviation": 0.005},
  {"name": "absorptance", "paths": ["receiver.window.absorptance"], "value": 0.9, "standard_deviation": 0.01}],
 "covariance": [[0.000025, 0], [0, 0.0001]],
 "envelope": {"trials": ["cooler"], "ranges": [{"name": "block temperature", "unit": "K", "low": 290, "high": 373.15}], "states": ["cover open", "tubes drained"]},
 "departures": [{"column": "T1", "noise": 0.1, "lasting": 0.2, "lasting_time_s": 60, "slow": 1, "slow_in_common": 1, "slow_time_s": 1200}]}`

func TestFollowingHoldsReadingsAgainstAMatchedRun(t *testing.T) {
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("../examples/small-match")); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(dir, "live.yaml")
	write(t, file, smallTrial)
	write(t, filepath.Join(dir, "found", "match.json"), strings.Replace(smallFound, "emberbank/match-1", account.MatchSchema, 1))
	raw, err := os.ReadFile(filepath.Join(dir, "measured-3.csv"))
	if err != nil {
		t.Fatal(err)
	}
	rows := strings.SplitAfter(string(raw), "\n")
	write(t, filepath.Join(dir, "measured-3.csv"), strings.Join(rows[:40], "")) // 37 min of the charge
	ctx, cancel := context.WithTimeout(context.Background(), 60*time.Second)
	defer cancel()
	var complaints bytes.Buffer
	predicted := func(line string) bool {
		var d struct {
			Channels []struct {
				Name      string   `json:"name"`
				Value     float64  `json:"value"`
				Predicted *float64 `json:"predicted"`
				Band      float64  `json:"band"`
				Mean      *float64 `json:"mean_difference"`
				Moved     *float64 `json:"moved"`
			} `json:"channels"`
			Outside []struct {
				Quantity string  `json:"quantity"`
				By       float64 `json:"by"`
				Ahead    bool    `json:"ahead"`
			} `json:"outside_envelope"`
		}
		if json.Unmarshal([]byte(line), &d) != nil {
			return false
		}
		beyond := false // the block comes to some 280 degC, trust was shown to 100 degC
		for _, o := range d.Outside {
			beyond = beyond || o.Quantity == "block temperature" && !o.Ahead && o.By > 30 && o.By < 300
		}
		if !beyond {
			return false
		}
		for _, c := range d.Channels {
			if c.Moved == nil {
				continue
			}
			if c.Name == "T1" && c.Predicted != nil && c.Mean != nil && math.Abs(*c.Predicted-c.Value) < 60 && c.Band > 3 && c.Band < 60 {
				return true
			}
		}
		return false
	}
	out := &pressing{press: cancel, when: predicted}
	if code := Main(ctx, []string{"trial", file, "--follow", "--every", "100 ms", "--json"}, Streams{out, &complaints}); code != ExitDone {
		t.Fatalf("it ends with %d: %s%s", code, complaints.String(), out.String())
	}
	if !out.pressed {
		t.Errorf("nothing is predicted: %s", tailOf(out.String()))
	}
	for _, want := range []string{"the model runs as its duty states", "corner is no column of the run", "the model is outside the envelope in which it was trusted: block temperature reaches", `"kind":"end"`} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("nothing says %q", want)
		}
	}
}

// pressing is an output at which somebody presses Ctrl-C when a line says enough.
type pressing struct {
	bytes.Buffer
	press   func()
	when    func(line string) bool
	pressed bool
}

func (p *pressing) Write(b []byte) (int, error) {
	if !p.pressed && p.when(string(b)) {
		p.pressed = true
		p.press()
	}
	return p.Buffer.Write(b)
}
