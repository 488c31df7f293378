// Speed measures the built program: benchmark B1, benchmark B2 and a series of grids, each a run of the whole
// program, beside a triad of the same working set and, where there is one, beside another program for B1. It prints
// what it saw and writes it into docs/performance.md. It is run from the project's root:
//
//	build/tools/speed -emberbank build/emberbank -page docs/performance.md [-peer FOLDER]
//
// All contestants run in turns, round by round, so that a noisy moment meets all of them. Absolute times belong to a
// machine; ratios taken in one run say more.
package main

import (
	"flag"
	"fmt"
	"os"
	"os/exec"
)

// plan is what is measured, and with what.
type plan struct {
	program string // the built program
	results string // folder for run files and results
	page    string // the page to write into; empty: print only
	peer    string // folder of another program for B1; empty: none
	goTool  string // the go command, for the profile; empty: no profile
	short   int    // rounds of runs of a second or less
	long    int    // rounds of all runs
	// variants is how many the largest study has; 0: no studies are measured
	variants int
	season   bool // whether the year of the worked example is measured
}

func main() {
	var p plan
	flag.StringVar(&p.program, "emberbank", "build/emberbank", "the built program")
	flag.StringVar(&p.results, "results", "build/speed", "folder for run files and results")
	flag.StringVar(&p.page, "page", "", "page to write the tables into, between its marks")
	flag.StringVar(&p.peer, "peer", "", "folder of another program for B1, with a Makefile")
	flag.StringVar(&p.goTool, "go", "go", "the go command, for the profile; empty: no profile")
	flag.IntVar(&p.short, "short", 5, "rounds of the short runs")
	flag.IntVar(&p.long, "long", 3, "rounds of the long runs")
	flag.IntVar(&p.variants, "variants", 10_000, "variants of the largest study; 0: no studies")
	flag.BoolVar(&p.season, "season", true, "measure the year of the worked example: some minutes")
	flag.Parse()
	if err := p.measure(); err != nil {
		fmt.Fprintln(os.Stderr, "error:", err)
		os.Exit(1)
	}
}

// measure runs everything, prints the report and writes it into the page.
func (p plan) measure() error {
	if err := os.MkdirAll(p.results, 0o777); err != nil {
		return err
	}
	r := report{at: look(), short: p.short, long: p.long}
	contestants := benchmarks(p.program, p.results)
	series, err := scaling(p.program, p.results)
	if err != nil {
		return err
	}
	contestants = append(contestants, series...)
	switch peers, err := p.buildPeer(); {
	case err != nil:
		r.noPeer = err.Error()
		fmt.Fprintln(os.Stderr, "the peer is left out:", err)
	default:
		contestants = append(contestants, peers...)
	}
	for round := range max(p.short, p.long) {
		for _, c := range contestants {
			if c.long && round >= p.long || !c.long && round >= p.short {
				continue
			}
			tell(fmt.Sprintf("round %d: %s", round+1, c.name))
			if err := c.once(); err != nil {
				tell("")
				return fmt.Errorf("running %s: %w", c.name, err)
			}
		}
	}
	tell("")
	r.contestants = contestants
	if p.goTool != "" {
		if _, err := exec.LookPath(p.goTool); err != nil {
			return fmt.Errorf("the profile needs the go command: %w", err)
		}
		tell("the profile")
		if r.profile, r.profiled, err = p.takeProfile(); err != nil {
			return fmt.Errorf("taking the profile: %w", err)
		}
	}
	if p.variants > 0 {
		if r.studies, err = p.studies(); err != nil {
			return err
		}
	}
	if p.season {
		tell("a year")
		if r.seasons, err = p.seasons(); err != nil {
			return err
		}
	}
	tell("")
	text := r.text()
	fmt.Print(text)
	if p.page == "" {
		return nil
	}
	return writeBetweenMarks(p.page, text)
}

// tell shows on a screen, and only there, what is being done; nothing wipes it.
func tell(what string) {
	if s, err := os.Stderr.Stat(); err == nil && s.Mode()&os.ModeCharDevice != 0 {
		fmt.Fprintf(os.Stderr, "\r%-60s\r%s", "", what)
	}
}
