package logbook

import (
	"fmt"
	"io/fs"

	"emberbank/bench"
	"emberbank/trial"
)

// Look guesses what a logger's file of fsys holds. Problems say why there is nothing to guess; an error is one of the file
// system.
func Look(fsys fs.FS, name string) (*trial.Guess, bench.Problems, error) {
	f, err := fsys.Open(name)
	if err != nil {
		return nil, nil, fmt.Errorf("opening %s: %w", name, err)
	}
	defer func() { _ = f.Close() }() // it was only read
	g, found := trial.Look(f, name)
	if g != nil {
		return g, nil, nil
	}
	var problems bench.Problems
	for _, x := range found {
		problems = append(problems, bench.Problem{File: name, Line: x.Line, Column: x.Column, Message: x.Message, Allowed: x.Allowed, Fix: x.Fix})
	}
	return nil, problems, nil
}
