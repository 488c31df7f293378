package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"time"
)

// contestant is one program with one task, and what was seen of it, a sample for each round.
type contestant struct {
	name    string
	task    string // what is computed; programs with the same task are compared
	group   group
	command []string
	results string // folder with performance.json; empty: the program says nothing about itself
	threads int    // that the program was asked to use; 0: all
	long    bool   // too long for many rounds
	samples []sample
}

// group is the table in which a contestant stands.
type group int

const (
	wholeRuns group = iota
	seriesRuns
	peerRuns
)

// sample is one run of one program.
type sample struct {
	wall  float64 // s, the whole process, seen from outside
	cpu   float64 // s, user and system, of the whole process
	said  performance
	triad float64 // B/s, just before the run, at its working set and threads
}

// performance is what is read of performance.json.
type performance struct {
	Computing float64 `json:"wall_seconds"` // s, laying the grid and marching; not reading and writing files
	Threads   int     `json:"threads"`
	Kernel    string  `json:"kernel"`
	Cells     int     `json:"cells"`
	Steps     int     `json:"steps"`
	Stages    int     `json:"stages"`
	Memory    int64   `json:"peak_memory_B"`
}

// work is how many cells went through a stage.
func (p performance) work() float64 { return float64(p.Cells) * float64(p.Stages) }

// benchmarks are the runs of benchmarks B1 and B2 with all threads.
func benchmarks(program, results string) []*contestant {
	var out []*contestant
	for _, b := range []struct {
		name, file string
		long       bool
	}{
		{"B1 small", "examples/benchmark-b1/small.yaml", false},
		{"B1 large", "examples/benchmark-b1/large.yaml", true},
		{"B2 coarse", "examples/benchmark-b2/coarse.yaml", false},
		{"B2 whole", "examples/benchmark-b2/whole.yaml", true},
	} {
		c := run(program, b.file, filepath.Join(results, "results", slug(b.name)), 0)
		c.name, c.task, c.group, c.long = b.name, b.name, wholeRuns, b.long
		out = append(out, c)
	}
	return out
}

// run is the built program with one run file.
func run(program, file, results string, threads int) *contestant {
	c := &contestant{command: []string{program, "run", file, "-o", results, "--quiet"}, results: results, threads: threads}
	if threads > 0 {
		c.command = append(c.command, "--threads", fmt.Sprint(threads))
	}
	return c
}

// once runs the program once and keeps what was seen.
func (c *contestant) once() error {
	var s sample
	if n := len(c.samples); n > 0 && c.results != "" { // a first round has no triad: how many cells there are is not known before it
		said := c.samples[n-1].said
		s.triad = triad(said.Cells*workingSet, said.Threads)
	}
	cmd := exec.Command(c.command[0], c.command[1:]...)
	var messages bytes.Buffer
	cmd.Stderr = &messages
	forgetMemory()
	began := time.Now()
	err := cmd.Run()
	s.wall = time.Since(began).Seconds()
	if err != nil {
		return fmt.Errorf("%w: %s", err, messages.String())
	}
	s.cpu = (cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()).Seconds()
	if c.results != "" {
		raw, err := os.ReadFile(filepath.Join(c.results, "performance.json"))
		if err != nil {
			return err
		}
		if err := json.Unmarshal(raw, &s.said); err != nil {
			return fmt.Errorf("reading performance.json: %w", err)
		}
		if s.triad == 0 {
			s.triad = triad(s.said.Cells*workingSet, s.said.Threads)
		}
	}
	c.samples = append(c.samples, s)
	return nil
}
