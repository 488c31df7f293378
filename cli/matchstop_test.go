package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// TestStoppedMatchKeepsWhatItFound stops a match of an example once its search is under way: what it has found so far
// is written and says that it is unfinished, its runs are kept, and no later run takes its parameters.
func TestStoppedMatchKeepsWhatItFound(t *testing.T) {
	root := t.TempDir()
	if err := os.CopyFS(root, os.DirFS("../examples/small-match")); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(root, "match.yaml")
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	tty := &console{press: cancel, when: regexp.MustCompile(`squares [1-9]`)} // beyond the spread of starts
	var out bytes.Buffer
	code := Main(ctx, []string{"match", file}, Streams{&out, tty})
	if code != ExitStopped || !strings.Contains(tty.String(), "unfinished") {
		t.Fatalf("exit %d: %s", code, tty.String())
	}
	raw, err := os.ReadFile(filepath.Join(root, "results", "match", "match.json"))
	if err != nil {
		t.Fatal(err)
	}
	var m struct {
		Unfinished bool `json:"unfinished"`
		Parameters []struct {
			Name  string
			Value float64
			Lower *float64 `json:"lower_95"`
		} `json:"parameters"`
	}
	if err := json.Unmarshal(raw, &m); err != nil {
		t.Fatal(err)
	}
	if !m.Unfinished || len(m.Parameters) != 3 || !(m.Parameters[0].Value > 0) || m.Parameters[0].Lower != nil {
		t.Errorf("match.json says %+v", m)
	}
	if _, err := os.Stat(filepath.Join(root, "results", ".match.resume")); err != nil {
		t.Error(err)
	}
	var later bytes.Buffer
	code = Main(context.Background(), []string{"run", filepath.Join(root, "trial-1.yaml"), "--match", filepath.Join(root, "results", "match")}, Streams{&later, &later})
	if code != ExitInput || !strings.Contains(later.String(), "of a match that was stopped") {
		t.Errorf("a run takes it: exit %d, %s", code, later.String())
	}
}
