package bench

import (
	"strings"

	"emberbank/trial"
)

// refuse marks what problems speak of as refused: a channel first by its heading, then by its place, then as a whole; a logger where its
// file or clock is spoken of; and where it is the trial, the last logger that is left. It tells whether anything is
// left to try.
func (d *draft) refuse(name string, problems Problems) bool {
	marked := false
	again := map[channelOf]bool{} // one step at a time
	mark := func(c channelOf, p *Problem) {
		if again[c] {
			return
		}
		again[c] = true
		if c.column >= 0 && !d.numbered[c] && strings.Contains(p.Message, "headed") {
			d.numbered[c], marked = true, true
			return
		}
		if _, before := d.refused[c]; before {
			return
		}
		if c.column >= 0 {
			if _, before := d.renamed[c]; !before && d.loggers[c.logger].Guess.Columns[c.column].Role != trial.Other {
				d.renamed[c], marked = reason(p), true
				return
			}
		}
		d.refused[c], marked = reason(p), true
	}
	for i := range problems {
		p := &problems[i]
		if p.Warning {
			continue
		}
		if p.File == name {
			if c, ok := d.at[p.Line]; ok {
				mark(c, p)
			}
			continue
		}
		for k, l := range d.loggers {
			if p.File == l.File {
				mark(channelOf{k, -1}, p)
			}
		}
	}
	for i, l := range d.loggers { // a logger without channels is none
		c := channelOf{i, -1}
		if _, out := d.refused[c]; out {
			continue
		}
		left := 0
		for k := range l.Guess.Columns {
			if _, out := d.refused[channelOf{i, k}]; !out && l.Guess.Columns[k].Place != "" {
				left++
			}
		}
		if left == 0 {
			d.refused[c], marked = "none of its columns is left: "+reason(firstMistake(problems)), true
		}
	}
	if !marked { // of the trial as a whole
		for i := len(d.loggers) - 1; i > 0; i-- {
			if _, out := d.refused[channelOf{i, -1}]; !out {
				d.refused[channelOf{i, -1}], marked = reason(firstMistake(problems)), true
				break
			}
		}
	}
	for i := range d.loggers {
		if _, out := d.refused[channelOf{i, -1}]; !out {
			return marked
		}
	}
	return false
}

// reason words a mistake for a comment.
func reason(p *Problem) string {
	_, message, ok := strings.Cut(p.Message, `": `)
	if !ok {
		message = p.Message
	}
	fix, _, _ := strings.Cut(p.Fix, "; if the mapping is right")
	if fix != "" {
		message += "; " + fix
	}
	return message
}

func firstMistake(problems Problems) *Problem {
	for i := range problems {
		if !problems[i].Warning {
			return &problems[i]
		}
	}
	return &Problem{Message: "it cannot be read"}
}
