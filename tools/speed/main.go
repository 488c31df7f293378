// Speed runs benchmark files by the built program and prints what their performance.json says: wall time,
// cell-steps per second, memory, and the ratios of each file to the first. Absolute times belong to a machine;
// ratios taken in one run say more.
//
//	speed -emberbank build/emberbank -results build/speed small.yaml large.yaml
package main

import (
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// performance is what this program reads of performance.json.
type performance struct {
	Wall    float64 `json:"wall_s"`
	CPU     float64 `json:"cpu_s"`
	Threads int     `json:"threads"`
	Cells   int     `json:"cells"`
	Steps   int     `json:"steps"`
	Stages  int     `json:"stages"`
	Rate    float64 `json:"cell_steps_per_s"`
	Memory  int64   `json:"peak_memory_B"`
}

func main() {
	program := flag.String("emberbank", "build/emberbank", "the built program")
	results := flag.String("results", "build/speed", "folder for the results")
	repeat := flag.Int("repeat", 3, "runs of each file; the fastest counts")
	flag.Parse()
	if err := measure(*program, *results, *repeat, flag.Args()); err != nil {
		fmt.Fprintln(os.Stderr, "error:", err)
		os.Exit(1)
	}
}

func measure(program, results string, repeat int, files []string) error {
	if len(files) == 0 {
		return fmt.Errorf("no files to run")
	}
	fmt.Printf("%-12s %9s %8s %7s %8s %12s %14s %9s %6s\n",
		"file", "cells", "steps", "stages", "wall [s]", "cell-steps/s", "cell-stages/s", "MiB", "ratio")
	var first float64
	for i, file := range files {
		p, err := fastest(program, results, file, repeat)
		if err != nil {
			return err
		}
		if i == 0 {
			first = p.Wall
		}
		fmt.Printf("%-12s %9d %8d %7d %8.3f %12.3g %14.3g %9.1f %6.1f\n", stem(file), p.Cells, p.Steps, p.Stages, p.Wall, p.Rate,
			float64(p.Cells)*float64(p.Stages)/p.Wall, float64(p.Memory)/(1<<20), p.Wall/first)
	}
	fmt.Println("wall: computing only, the fastest of", repeat, "runs; ratio: of wall times to the first file")
	return nil
}

func stem(file string) string {
	return strings.TrimSuffix(filepath.Base(file), filepath.Ext(file))
}

func fastest(program, results, file string, repeat int) (best performance, err error) {
	out := filepath.Join(results, stem(file))
	for i := range repeat {
		c := exec.Command(program, "run", file, "-o", out, "--quiet")
		c.Stderr = os.Stderr
		if err := c.Run(); err != nil {
			return best, fmt.Errorf("running %s: %w", file, err)
		}
		raw, err := os.ReadFile(filepath.Join(out, "performance.json"))
		if err != nil {
			return best, err
		}
		var p performance
		if err := json.Unmarshal(raw, &p); err != nil {
			return best, fmt.Errorf("reading performance.json of %s: %w", file, err)
		}
		if i == 0 || p.Wall < best.Wall {
			best = p
		}
	}
	return best, nil
}
