package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"testing"

	"emberbank/verify"
)

func TestVerifyFailsOnOneRowThatDeparts(t *testing.T) {
	c := &call{err: &bytes.Buffer{}}
	good, bad := verify.Row{Verdict: verify.Agrees}, verify.Row{Verdict: verify.Departs}
	if code := c.report(judged([]verify.Row{good, good}), false); code != ExitDone {
		t.Errorf("rows that agree end with %d", code)
	}
	if code := c.report(judged([]verify.Row{good, bad, good}), false); code != ExitFailed {
		t.Errorf("a row that departs ends with %d", code)
	}
}

func TestVerifyPrintsEveryRowAsJSON(t *testing.T) {
	var out, err bytes.Buffer
	code := Main(context.Background(), []string{"verify", "--only", "tubes", "--json"}, Streams{&out, &err})
	if code != ExitDone && code != ExitFailed {
		t.Fatalf("exit %d: %s", code, err.String())
	}
	var rows []map[string]any
	if err := json.Unmarshal(out.Bytes(), &rows); err != nil {
		t.Fatal(err)
	}
	if len(rows) < 3 {
		t.Errorf("%d rows", len(rows))
	}
	for _, r := range rows {
		for _, key := range []string{"name", "topic", "source", "expected", "computed", "tolerance", "verdict"} {
			if v, ok := r[key]; !ok || v == "" {
				t.Errorf("row %v lacks %s", r["name"], key)
			}
		}
	}
}

func TestVerifyStopsOnCtrlC(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	var out, err bytes.Buffer
	if code := Main(ctx, []string{"verify"}, Streams{&out, &err}); code != ExitStopped {
		t.Errorf("exit %d: %s", code, err.String())
	}
}
