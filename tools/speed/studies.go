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

// The study that is measured: a small receiver whose hold and drain are computed for many conductances of its contact.
const (
	studyBench = "examples/small-match"
	studyRun   = "trial-1.yaml"
	studyCells = "{size: 13 mm, cells per layer: 3}" // some thousand cells: as coarse as a coarse answer about a real receiver
	studyFile  = `schema: emberbank/1
kind: study
name: speed of studies
run: ` + studyRun + `
sweep:
  axes:
    - {name: contact, path: receiver.tube.contact, from: 200 W/(m2 K), to: 800 W/(m2 K), count: %d}
responses:
  - {name: kept, read: ledger stored block}
  - {name: drained, read: ledger to passes}
`
)

// studied is one study, as it was seen from outside.
type studied struct {
	variants, workers int
	wall              float64 // s, the whole process
	computing         float64 // s, the runs of all variants, added up over the workers, as the study itself states it
	waiting           float64 // s, of the workers for the queue, as the study itself states it
	memory            float64 // B, the peak of the process
	again             float64 // s, the same command once more, when all is known
}

// overhead is the share of the workers' time in which no variant was run.
func (s studied) overhead() float64 { return 1 - s.computing/(s.wall*float64(s.workers)) }

// studies runs a study of many variants by two workers, and a tenth of it by one and by two.
func (p plan) studies() ([]studied, error) {
	var out []studied
	for _, s := range []studied{{variants: max(p.variants/10, 2), workers: 1}, {variants: max(p.variants/10, 2), workers: 2}, {variants: p.variants, workers: 2}} {
		tell(fmt.Sprintf("a study of %s by %d", thousands(s.variants), s.workers))
		if err := p.study(&s); err != nil {
			return nil, fmt.Errorf("a study of %d variants: %w", s.variants, err)
		}
		out = append(out, s)
	}
	return out, nil
}

// study runs one study in a folder of its own, which is removed at the end.
func (p plan) study(s *studied) error {
	folder := filepath.Join(p.results, fmt.Sprintf("study-%d-%d", s.variants, s.workers))
	if err := os.RemoveAll(folder); err != nil {
		return err
	}
	if err := layStudy(folder, s.variants); err != nil {
		return err
	}
	defer os.RemoveAll(folder)
	var err error
	if s.wall, s.memory, err = p.timed(folder, s.workers); err != nil {
		return err
	}
	if s.computing, s.waiting, err = timesOf(folder); err != nil {
		return err
	}
	s.again, _, err = p.timed(folder, s.workers)
	return err
}

// layStudy copies the bench into the folder, with a finer grid, and writes the study beside it.
func layStudy(folder string, variants int) error {
	if err := os.CopyFS(folder, os.DirFS(studyBench)); err != nil {
		return err
	}
	run := filepath.Join(folder, studyRun)
	raw, err := os.ReadFile(run)
	if err != nil {
		return err
	}
	if n := len(gridLine.FindAllString(string(raw), -1)); n != 1 {
		return fmt.Errorf("%s has %d lines with a grid, not one", studyRun, n)
	}
	raw = gridLine.ReplaceAllLiteral(raw, []byte("grid: "+studyCells))
	if err := os.WriteFile(run, raw, 0o666); err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(folder, "study.yaml"), []byte(fmt.Sprintf(studyFile, variants)), 0o666)
}

// timed starts the study and waits for its end.
func (p plan) timed(folder string, workers int) (wall, memory float64, err error) {
	program, err := filepath.Abs(p.program)
	if err != nil {
		return 0, 0, err
	}
	cmd := exec.Command(program, "study", filepath.Join(folder, "study.yaml"), "--workers", fmt.Sprint(workers), "--yes", "--quiet")
	var messages bytes.Buffer
	cmd.Stderr = &messages
	forgetMemory()
	began := time.Now()
	if err := cmd.Run(); err != nil {
		return 0, 0, fmt.Errorf("%w: %s", err, strings.TrimSpace(messages.String()))
	}
	return time.Since(began).Seconds(), peakOf(cmd.ProcessState), nil
}

// timesOf is what a study says of its workers' time: running variants, and waiting for the queue, both added up over them.
func timesOf(folder string) (running, waiting float64, err error) {
	found, err := filepath.Glob(filepath.Join(folder, "results", "*", "outcome", "performance.json"))
	if err == nil && len(found) != 1 {
		err = fmt.Errorf("%d of them in %s, not one", len(found), folder)
	}
	if err != nil {
		return 0, 0, fmt.Errorf("looking for the study's times: %w", err)
	}
	raw, err := os.ReadFile(found[0])
	if err != nil {
		return 0, 0, err
	}
	var said struct {
		Running float64 `json:"running_s"`
		Waiting float64 `json:"waiting_for_the_queue_s"`
	}
	if err := json.Unmarshal(raw, &said); err != nil {
		return 0, 0, fmt.Errorf("reading %s: %w", found[0], err)
	}
	return said.Running, said.Waiting, nil
}

// studiesText is the studies as the page shows them.
func studiesText(all []studied) string {
	t := table{head: []string{"variants", "workers", "whole process, s", "runs, added up, s", "a run, ms", "beside the runs", "for the queue", "memory, MB", "once more, all known, s"}}
	for _, s := range all {
		t.add(thousands(s.variants), fmt.Sprint(s.workers), significant(s.wall, 3), significant(s.computing, 3), significant(1e3*s.computing/float64(s.variants), 3),
			fmt.Sprintf("%.1f %%", 100*s.overhead()), fmt.Sprintf("%.1f %%", 100*s.waiting/(s.wall*float64(s.workers))), significant(s.memory/1e6, 3), significant(s.again, 3))
	}
	out := t.text()
	if len(all) > 1 {
		out += fmt.Sprintf("Two workers are %s times as fast as one.\n\n", significant(all[0].wall/all[1].wall, 3))
	}
	return out
}
