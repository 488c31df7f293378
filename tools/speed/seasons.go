package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"
)

// played is the worked example's year by its fast model, as it was seen from outside.
type played struct {
	what            string
	wall, cpu       float64 // s, of the whole process
	march           float64 // s, of the year by the fast model once it is built, as the program itself states it
	fullRuns, known int     // of the full model, days apart among them; of these taken from before
}

// seasons computes the year with nothing known, and once more with all days of the full model kept.
func (p plan) seasons() ([]played, error) {
	folder := filepath.Join(p.results, "season")
	if err := os.RemoveAll(folder); err != nil {
		return nil, err
	}
	defer os.RemoveAll(folder)
	if out, err := exec.Command(p.program, "new", folder).CombinedOutput(); err != nil {
		return nil, fmt.Errorf("laying the worked example: %w: %s", err, out)
	}
	var out []played
	for _, what := range []string{"nothing known", "once more, all days kept"} {
		s := played{what: what}
		cmd := exec.Command(p.program, "run", filepath.Join(folder, "season.yaml"), "--quiet")
		var messages bytes.Buffer
		cmd.Stderr = &messages
		began := time.Now()
		if err := cmd.Run(); err != nil {
			return nil, fmt.Errorf("computing the year: %w: %s", err, strings.TrimSpace(messages.String()))
		}
		s.wall = time.Since(began).Seconds()
		s.cpu = (cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()).Seconds()
		if err := s.read(filepath.Join(folder, "results", "season")); err != nil {
			return nil, err
		}
		out = append(out, s)
	}
	return out, nil
}

// read takes what the program says of itself.
func (s *played) read(results string) error {
	var pace struct {
		March float64 `json:"march_s"`
		Kept  int     `json:"full_runs_kept_from_before"`
	}
	var doc struct {
		Model struct {
			Runs  int `json:"full_runs"`
			Apart int `json:"full_runs_apart"`
		} `json:"model"`
	}
	for name, to := range map[string]any{"performance.json": &pace, "season.json": &doc} {
		raw, err := os.ReadFile(filepath.Join(results, name))
		if err != nil {
			return err
		}
		if err := json.Unmarshal(raw, to); err != nil {
			return fmt.Errorf("reading %s: %w", name, err)
		}
	}
	s.march, s.known, s.fullRuns = pace.March, pace.Kept, doc.Model.Runs+doc.Model.Apart
	return nil
}

// seasonsText is the years as the page shows them.
func seasonsText(all []played) string {
	t := table{head: []string{"a year at the bakery", "runs of the full model", "of these kept", "whole process, s", "processor, s", "the year's march, s"}}
	for _, s := range all {
		t.add(s.what, fmt.Sprint(s.fullRuns), fmt.Sprint(s.known), significant(s.wall, 3), significant(s.cpu, 3), significant(s.march, 3))
	}
	return t.text()
}
