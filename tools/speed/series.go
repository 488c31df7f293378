package main

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
)

// largest is the run whose grid the series changes.
const largest = "examples/benchmark-b1/large.yaml"

// scaling writes the runs of the series, the large B1 on other grids, and returns each with one and two threads. Each marches through
// the file's whole time: were a fine grid's end set sooner, what is done once a run would weigh more there than on a coarse one.
func scaling(program, results string) ([]*contestant, error) {
	raw, err := os.ReadFile(largest)
	if err != nil {
		return nil, err
	}
	var out []*contestant
	for _, g := range []struct {
		depth, width, height int
	}{{57, 42, 42}, {81, 61, 61}, {121, 91, 91}} {
		text, err := regrid(string(raw), fmt.Sprintf("{depth: %d, width: %d, height: %d}", g.depth, g.width, g.height))
		if err != nil {
			return nil, fmt.Errorf("changing %s: %w", largest, err)
		}
		cells := thousands(g.depth * g.width * g.height)
		file := filepath.Join(results, "series-"+slug(cells)+".yaml")
		if err := os.WriteFile(file, []byte(text), 0o666); err != nil {
			return nil, err
		}
		for _, threads := range []int{1, 2} {
			c := run(program, file, filepath.Join(results, "results", fmt.Sprintf("series-%s-%d", slug(cells), threads)), threads)
			c.name, c.task = cells+", "+threadsText(threads), cells
			c.group, c.long = seriesRuns, true
			out = append(out, c)
		}
	}
	return out, nil
}

var gridLine = regexp.MustCompile(`(?m)^grid: .*$`)

// regrid returns a run file's text with another grid. It returns an error where the file does not have exactly one line for it.
func regrid(text, cells string) (string, error) {
	if n := len(gridLine.FindAllString(text, -1)); n != 1 {
		return "", fmt.Errorf("wanted one line that begins with \"grid: \", found %d", n)
	}
	return gridLine.ReplaceAllLiteralString(text, "grid: {cells: "+cells+"}"), nil
}

func threadsText(n int) string {
	if n == 1 {
		return "1 thread"
	}
	return fmt.Sprintf("%d threads", n)
}

// slug is a name as part of a file's name.
func slug(s string) string {
	return strings.ReplaceAll(strings.ToLower(s), " ", "-")
}

// thousands prints a count with its thousands apart.
func thousands(n int) string {
	s := fmt.Sprint(n)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + " " + s[i:]
	}
	return s
}
