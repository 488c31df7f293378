package main

import (
	"fmt"
	"math"
	"strings"
)

// report is everything that was seen.
type report struct {
	at          machine
	contestants []*contestant
	short, long int    // rounds
	noPeer      string // why there is no other program
	profile     []part
	profiled    float64 // s of processor time in the profile
	studies     []studied
	seasons     []played
}

// text is the report as the page shows it.
func (r *report) text() string {
	var b strings.Builder
	paragraph := func(s string) { fmt.Fprintf(&b, "%s\n\n", s) }
	paragraph(r.at.text())
	paragraph(fmt.Sprintf("Shown is the median, in brackets the quartiles; rounds: %d of the small and the coarse run, %d of the others.", r.short, r.long))

	paragraph("### Whole runs")
	t := table{head: []string{"run", "cells", "steps", "stages", "kernel", "threads", "whole process, s", "processor, s", "computing, s"}}
	for _, c := range r.in(wholeRuns) {
		p := c.last()
		t.add(c.name, thousands(p.Cells), thousands(p.Steps), thousands(p.Stages), p.Kernel, fmt.Sprint(p.Threads),
			c.of(wall).text(3), c.of(cpu).text(3), c.of(computing).text(3))
	}
	b.WriteString(t.text())

	paragraph("### Rates, bandwidth and memory")
	t = table{head: []string{"run", "10⁶ cells × stages/s", "ns per cell and stage", "bandwidth, GB/s", "triad, GB/s", "share of the triad", "memory, MB", "60 MB + 200 B a cell, MB"}}
	for _, c := range append(r.in(wholeRuns), r.in(seriesRuns)...) {
		p := c.last()
		t.add(c.name, significant(c.of(rate).middle/1e6, 3), c.of(perCell).text(3), significant(c.of(bandwidth).middle/1e9, 3),
			significant(c.of(yardstick).middle/1e9, 3), percent(c.of(share)), significant(c.of(memory).middle/1e6, 3),
			significant(60+200e-6*float64(p.Cells), 3))
	}
	b.WriteString(t.text())

	paragraph("### How time grows with the grid and falls with threads")
	b.WriteString(r.growth())

	paragraph("### Beside a general-purpose integrator")
	b.WriteString(r.beside())

	if len(r.studies) > 0 {
		paragraph("### Studies")
		b.WriteString(studiesText(r.studies))
	}

	if len(r.seasons) > 0 {
		paragraph("### A year")
		b.WriteString(seasonsText(r.seasons))
	}

	if len(r.profile) > 0 {
		paragraph("### What takes the time in B2")
		paragraph(fmt.Sprintf("The whole run of B2 with all threads, %s s of processor time in the profile.", significant(r.profiled, 3)))
		t = table{head: []string{"part", "share of the processor's time"}}
		for _, p := range r.profile {
			t.add(p.name, fmt.Sprintf("%.1f %%", 100*p.share))
		}
		b.WriteString(t.text())
	}
	return b.String()
}

// growth compares the runs of the series with each other.
func (r *report) growth() string {
	byName := map[string]*contestant{}
	var tasks []string
	for _, c := range r.in(seriesRuns) {
		byName[fmt.Sprint(c.task, c.threads)] = c
		if c.threads == 1 {
			tasks = append(tasks, c.task)
		}
	}
	t := table{head: []string{"cells", "one thread, ns per cell and stage", "two threads", "two over one", "triad, two over one", "share of that"}}
	for _, task := range tasks {
		one, two := byName[task+"1"], byName[task+"2"]
		gain := one.of(perCell).middle / two.of(perCell).middle
		possible := two.of(yardstick).middle / one.of(yardstick).middle
		t.add(task, one.of(perCell).text(3), two.of(perCell).text(3), significant(gain, 3), significant(possible, 3), fmt.Sprintf("%.0f %%", 100*gain/possible))
	}
	out := t.text()
	if len(tasks) < 2 {
		return out
	}
	first, last := tasks[0], tasks[len(tasks)-1]
	for _, threads := range []int{1, 2} {
		a, z := byName[fmt.Sprint(first, threads)], byName[fmt.Sprint(last, threads)]
		out += fmt.Sprintf("With %s a cell and stage of %s cells took %+.0f %% against one of %s; by the triads' bandwidth alone it would be %+.0f %%.\n",
			threadsText(threads), last, 100*(z.of(perCell).middle/a.of(perCell).middle-1), first, 100*(a.of(yardstick).middle/z.of(yardstick).middle-1))
	}
	a, z := byName[first+"2"], byName[last+"2"]
	out += fmt.Sprintf("From %s to %s cells memory grew by %.0f bytes a cell.\n\n", first, last,
		(z.of(memory).middle-a.of(memory).middle)/float64(z.last().Cells-a.last().Cells))
	return out
}

// beside compares the built program with the other one.
func (r *report) beside() string {
	peers := r.in(peerRuns)
	if len(peers) == 0 {
		return fmt.Sprintf("Not measured: %s.\n\n", r.noPeer)
	}
	t := table{head: []string{"task", "emberbank, s", "CVODE, s", "times faster", "less processor time, times"}}
	for _, p := range peers {
		for _, c := range r.in(wholeRuns) {
			if c.task == p.task {
				t.add(c.task, c.of(wall).text(3), p.of(wall).text(3), significant(p.of(wall).middle/c.of(wall).middle, 3),
					significant(p.of(cpu).middle/c.of(cpu).middle, 3))
			}
		}
	}
	return t.text()
}

func (r *report) in(g group) []*contestant {
	var out []*contestant
	for _, c := range r.contestants {
		if c.group == g && len(c.samples) > 0 {
			out = append(out, c)
		}
	}
	return out
}

// last is what the program said of its last run; cells, steps and stages are the same in each.
func (c *contestant) last() performance { return c.samples[len(c.samples)-1].said }

func wall(s sample) float64      { return s.wall }
func cpu(s sample) float64       { return s.cpu }
func computing(s sample) float64 { return s.said.Computing }
func memory(s sample) float64    { return float64(s.said.Memory) }
func yardstick(s sample) float64 { return s.triad }
func rate(s sample) float64      { return s.said.work() / s.said.Computing }
func perCell(s sample) float64   { return 1e9 * s.said.Computing / s.said.work() } // ns
func bandwidth(s sample) float64 { return stageBytes * rate(s) }
func share(s sample) float64     { return bandwidth(s) / s.triad }

func percent(s spread) string {
	if math.IsNaN(s.middle) {
		return "–"
	}
	return fmt.Sprintf("%.0f %% (%.0f–%.0f)", 100*s.middle, 100*s.low, 100*s.high)
}

// table is a table of the page.
type table struct {
	head []string
	rows [][]string
}

func (t *table) add(cells ...string) { t.rows = append(t.rows, cells) }

// text lays the table in columns, so that it reads on a screen as well as on the page: words to the left, the rest to
// the right.
func (t *table) text() string {
	width := make([]int, len(t.head))
	for _, row := range append([][]string{t.head}, t.rows...) {
		for i, cell := range row {
			width[i] = max(width[i], len([]rune(cell)))
		}
	}
	var b strings.Builder
	line := func(row []string) {
		for i, cell := range row {
			gap := strings.Repeat(" ", width[i]-len([]rune(cell)))
			if i == 0 {
				fmt.Fprintf(&b, "| %s%s |", cell, gap)
			} else {
				fmt.Fprintf(&b, " %s%s |", gap, cell)
			}
		}
		b.WriteByte('\n')
	}
	line(t.head)
	for i, w := range width {
		if i == 0 {
			b.WriteString("|" + strings.Repeat("-", w+2) + "|")
		} else {
			b.WriteString(strings.Repeat("-", w+1) + ":|")
		}
	}
	b.WriteByte('\n')
	for _, row := range t.rows {
		line(row)
	}
	b.WriteByte('\n')
	return b.String()
}
