package main

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// peerSettings are what the other program is run with: the loosest tolerances with which it still meets the accuracy
// that the benchmark asks for, found by search on each grid.
var peerSettings = []struct{ task, grid, settings string }{
	{"B1 small", "1", "prec=none rtol=1e-3 atol=30 maxl=20 epslin=0.1 maxord=5 ls=bcgs"},
	{"B1 large", "2", "prec=none rtol=1e-3 atol=100 maxl=40 epslin=0.2 maxord=5 ls=bcgs"},
}

// buildPeer copies the other program's folder, builds it there and returns it with both grids of B1.
func (p plan) buildPeer() ([]*contestant, error) {
	if p.peer == "" {
		return nil, errors.New("no folder was given (make speed PEER=FOLDER)")
	}
	folder := filepath.Join(p.results, "peer")
	if err := os.RemoveAll(folder); err != nil {
		return nil, err
	}
	if err := os.CopyFS(folder, os.DirFS(p.peer)); err != nil {
		return nil, fmt.Errorf("copying it: %w", err)
	}
	build := exec.Command("make", "-B", "cvode_b1")
	build.Dir = folder
	if said, err := build.CombinedOutput(); err != nil {
		lines := strings.Split(strings.TrimSpace(string(said)), "\n")
		return nil, fmt.Errorf("building it, are its libraries there? %w: %s", err, lines[max(0, len(lines)-3):])
	}
	program, err := filepath.Abs(filepath.Join(folder, "cvode_b1"))
	if err != nil {
		return nil, err
	}
	var out []*contestant
	for _, s := range peerSettings {
		c := &contestant{name: s.task + ", peer", task: s.task, group: peerRuns, threads: 1, long: s.grid == "2"}
		c.command = append([]string{program, s.grid, filepath.Join(folder, slug(s.task)+".csv")}, strings.Fields(s.settings)...)
		out = append(out, c)
	}
	return out, nil
}
