package verify

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"math"
	"os"
	"strings"
	"testing"
	"testing/fstest"
	"time"
)

func TestEveryRowAgreesWithItsReference(t *testing.T) {
	rows, err := Run(context.Background(), Options{})
	if err != nil {
		t.Fatal(err)
	}
	want := 0
	for _, c := range cases() {
		want += len(c.rows)
	}
	if len(rows) != want {
		t.Errorf("%d rows came, the cases have %d", len(rows), want)
	}
	for _, r := range rows {
		if r.Verdict != Agrees {
			t.Errorf("%s: %s: expected %.8g %s, computed %.8g, %s %.3g\n%s", r.Topic, r.Name, r.Expected, r.Unit, r.Computed, r.Means, r.Tolerance, r.Detail)
		}
	}
}

func TestRowsAreManyAndSpreadOverTopics(t *testing.T) {
	all, runs := 0, 0
	topics := map[string]int{}
	for _, c := range cases() {
		all += len(c.rows)
		topics[c.topic] += len(c.rows)
		if c.file != "" {
			runs += len(c.rows)
		}
	}
	if all < 60 || len(topics) < 10 {
		t.Errorf("%d rows over %d topics, wanted at least 60 over 10", all, len(topics))
	}
	if runs < 160 { // sun, glass and light are asked directly: the heat goes the way of a run
		t.Errorf("%d of %d rows come from run files, wanted at least 160", runs, all)
	}
	for topic, n := range topics {
		if n < 3 || 4*n > all {
			t.Errorf("%q has %d of %d rows, wanted 3 to a quarter", topic, n, all)
		}
	}
	if len(Topics()) != len(topics) {
		t.Errorf("a topic's rows do not stand together: %q", Topics())
	}
}

func TestEveryRowHasSourceUnitAndItsOwnName(t *testing.T) {
	seen := map[string]bool{}
	for _, c := range cases() {
		if c.title == "" {
			t.Errorf("a case of %s has no title", c.topic)
		}
		for _, w := range c.rows {
			if w.source == "" || w.unit == "" || w.detail == "" || seen[w.name] || len(w.name) > 80 {
				t.Errorf("%q: source %q, unit %q, detail %q, longer than a line, or another row has this name", w.name, w.source, w.unit, w.detail)
			}
			seen[w.name] = true
			if math.IsNaN(w.expected) || w.tolerance < 0 || w.get == nil {
				t.Errorf("%q expects %v ± %v", w.name, w.expected, w.tolerance)
			}
		}
	}
}

func TestJudgingKeepsToTheTolerance(t *testing.T) {
	for _, c := range []struct {
		means                         Means
		expected, computed, tolerance float64
		want                          string
	}{
		{Absolute, 10, 10.1, 0.11, Agrees},
		{Absolute, 10, 10.1, 0.09, Departs},
		{Absolute, 10, 9.9, 0.09, Departs},
		{Relative, -200, -201, 0.0051, Agrees},
		{Relative, -200, -201, 0.0049, Departs},
		{AtMost, 5, 5, 0, Agrees},
		{AtMost, 5, 5.001, 0, Departs},
		{AtLeast, 10, 10.001, 0, Agrees},
		{AtLeast, 10, 9.999, 0, Departs},
		{Absolute, 10, math.NaN(), 100, Departs},
		{AtMost, 10, math.NaN(), 0, Departs},
		{AtLeast, 10, math.NaN(), 0, Departs},
		{"", 10, 10, 100, Departs},
	} {
		r := Row{Means: c.means, Expected: c.expected, Computed: c.computed, Tolerance: c.tolerance}
		if r.judge(); r.Verdict != c.want {
			t.Errorf("%s %v ± %v, computed %v: %s", c.means, c.expected, c.tolerance, c.computed, r.Verdict)
		}
	}
}

func TestACaseThatCannotBeReadDepartsInEveryRow(t *testing.T) {
	c := known{
		topic: "broken", title: "broken", file: "bar.yaml", fill: bar{Name: "broken", Length: -1, Cells: 3, Density: 1, HeatCapacity: 1, Conductivity: "1 W/(m K)"},
		rows: from("none", "none", within("one", "1", 0, math.Inf(1), lastValue("stored", 1)), near("two", "1", 1, 10, lastValue("stored", 1))),
	}
	rows := c.answer(context.Background(), nil)
	if len(rows) != 2 {
		t.Fatalf("%d rows, wanted 2", len(rows))
	}
	for _, r := range rows {
		if r.Verdict != Departs || !math.IsNaN(r.Computed) || !strings.Contains(r.Detail, "depth") {
			t.Errorf("%+v does not show that the file is wrong", r)
		}
	}
}

func TestACaseWhoseQuestionCannotBeComputedSaysWhyInEveryRow(t *testing.T) {
	var r played
	c := known{
		topic: "broken", title: "broken", rows: from("none", "none", within("one", "1", 0, math.Inf(1), asked(func() float64 { return r.out.Ended })), near("two", "1", 1, 10, asked(func() float64 { return r.out.Ended }))),
		first: func(ctx context.Context) error {
			return r.play(ctx, fstest.MapFS{"broken.yaml": {Data: []byte("schema: emberbank/1\nkind: season\nrun: nowhere.yaml\n")}}, "broken.yaml", false)
		},
	}
	rows := c.answer(context.Background(), nil)
	if len(rows) != 2 {
		t.Fatalf("%d rows, wanted 2", len(rows))
	}
	for _, r := range rows {
		if r.Verdict != Departs || !math.IsNaN(r.Computed) || !strings.Contains(r.Detail, "nowhere.yaml") {
			t.Errorf("%+v does not show that the file is not there", r)
		}
	}
}

func TestRowsAreTheSameForAnyNumberOfThreads(t *testing.T) {
	texts := make([]string, 2)
	for i, n := range []int{1, 4} {
		rows, err := Run(context.Background(), Options{Only: "melting", Threads: n})
		if err != nil {
			t.Fatal(err)
		}
		raw, err := json.Marshal(rows)
		if err != nil {
			t.Fatal(err)
		}
		texts[i] = string(raw)
	}
	if texts[0] != texts[1] {
		t.Errorf("rows differ:\n%s\n%s", texts[0], texts[1])
	}
}

func TestOnlyPicksTopicsAndRefusesOthers(t *testing.T) {
	rows, err := Run(context.Background(), Options{Only: "Water"})
	if err != nil || len(rows) == 0 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	for _, r := range rows {
		if r.Topic != waterTopic {
			t.Errorf("asked for water, got %s", r.Topic)
		}
	}
	if _, err := Run(context.Background(), Options{Only: "astrology"}); !errors.Is(err, ErrNoTopic) || !strings.Contains(err.Error(), waterTopic) {
		t.Errorf("an unknown topic gives %v, which does not name those there are", err)
	}
}

func TestCancellingStopsWithWhatIsDone(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	done := 0
	rows, err := Run(ctx, Options{Only: "tubes", Threads: 1, Progress: func(n, total int, name string) {
		if done = n; n == 2 {
			cancel()
		}
	}})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
	if done != 2 || len(rows) < 2 || len(rows) > 4 {
		t.Errorf("%d cases reported, %d rows", done, len(rows))
	}
}

func TestSecondsComeFromTheClockOnly(t *testing.T) {
	now := time.Unix(0, 0)
	rows, err := Run(context.Background(), Options{Only: "boiling", Clock: func() time.Time { now = now.Add(time.Second); return now }})
	if err != nil || rows[0].Seconds <= 0 {
		t.Errorf("%v, %v s", err, rows[0].Seconds)
	}
	rows, err = Run(context.Background(), Options{Only: "boiling"})
	if err != nil || rows[0].Seconds != 0 {
		t.Errorf("%v, %v s without a clock", err, rows[0].Seconds)
	}
}

func TestRowsAsJSONHaveTheirKeysAndNoNaN(t *testing.T) {
	raw, err := json.Marshal([]Row{{Name: "a", Computed: math.NaN(), Means: Absolute, Verdict: Departs}, {Name: "b", Expected: 2, Computed: 3}})
	if err != nil {
		t.Fatal(err)
	}
	var rows []map[string]any
	if err := json.Unmarshal(raw, &rows); err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{"name", "topic", "source", "unit", "expected", "computed", "difference", "tolerance", "tolerance_is", "verdict", "detail", "from_run", "duration_s"} {
		if _, ok := rows[0][key]; !ok {
			t.Errorf("no key %q in %s", key, raw)
		}
	}
	if rows[0]["computed"] != nil || rows[1]["difference"] != 1.0 {
		t.Errorf("%s", raw)
	}
}

func TestPrintShowsEveryRowAndCounts(t *testing.T) {
	var b bytes.Buffer
	err := Print(&b, []Row{
		{Name: "short", Topic: "one", Unit: "K", Expected: 1, Computed: 1.5, Tolerance: 1, Means: Absolute, Verdict: Agrees, FromRun: true},
		{Name: "à longer", Topic: "one", Unit: "W", Expected: 100, Computed: 103, Tolerance: 0.02, Means: Relative, Verdict: Departs, Source: "a book", Detail: "why"},
		{Name: "bound", Topic: "two", Unit: "1", Expected: 1, Computed: math.NaN(), Means: AtMost, Verdict: Departs, Source: "a norm"},
	})
	if err != nil {
		t.Fatal(err)
	}
	want, err := os.ReadFile("testdata/print.txt")
	if err != nil {
		t.Fatal(err)
	}
	if b.String() != string(want) {
		t.Errorf("printed:\n%s\nwanted:\n%s", b.String(), want)
	}
}
