package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"emberbank/account"
	"emberbank/web"
)

// pagePatience is how long, in seconds, a study that was started from the page may take without a question.
const pagePatience = 20

// work does what the page starts, by the very commands, on the bench in the folder root.
func (o *openCommand) work(root string) web.Work {
	return func(ctx context.Context, t web.Task, tell web.Listener) (string, error) {
		command, err := o.command(t, root)
		if err != nil {
			return "", err
		}
		var out bytes.Buffer
		c := &call{ctx: ctx, out: &out, err: io.Discard, disk: realDisk(), tell: tell, patience: pagePatience}
		if err := command.run(c); err != nil {
			return "", trouble(root, err)
		}
		var done struct {
			Results string `json:"results"`
		}
		if err := json.Unmarshal(out.Bytes(), &done); err != nil {
			return "", fmt.Errorf("reading what the command has printed: %w", err)
		}
		return within(root, done.Results), nil
	}
}

// command is the command of a task, as if it had been typed. Each prints one document, which names the folder of the results.
func (o *openCommand) command(t web.Task, root string) (command, error) {
	if len(t.Args) > 0 {
		command, err := renewing(root, t.Args, o.Threads)
		if k, is := command.(*studyCommand); is {
			k.Yes = t.Yes
		}
		return command, err
	}
	file := filepath.Join(root, filepath.FromSlash(t.File))
	switch t.Verb {
	case "study":
		return &studyCommand{File: file, Workers: o.Threads, Yes: t.Yes, JSON: true, Quiet: true}, nil
	case "match":
		return &matchCommand{File: file, Threads: o.Threads, JSON: true, Quiet: true}, nil
	case "plan":
		return &planCommand{File: file, Threads: o.Threads, JSON: true, Quiet: true}, nil
	case "run":
		return &runCommand{File: file, Threads: o.Threads, Circuits: t.Circuits, JSON: true, Quiet: true}, nil
	case "trial":
		return &trialCommand{Files: []string{file}, JSON: true, Quiet: true}, nil
	case "dossier":
		return &dossierCommand{Dir: root, JSON: true, Quiet: true, checks: t.Checked}, nil
	}
	return nil, &web.Trouble{Message: fmt.Sprintf("the page cannot start %q", t.Verb)}
}

// trouble is a failure of a command as the page tells it: files are named from the bench on.
func trouble(root string, err error) error {
	var f *failure
	if !errors.As(err, &f) {
		return &web.Trouble{Message: err.Error()}
	}
	short := func(s string) string { return strings.ReplaceAll(s, fromHere(root)+string(filepath.Separator), "") }
	t := &web.Trouble{Message: short(f.Error()), Fix: short(f.hint), Asks: f.asks != ""}
	if t.Asks {
		t.Message = f.asks
	}
	if f.results != "" {
		t.Results = within(root, f.results)
	}
	for _, p := range f.problems {
		p.File = within(root, p.File)
		t.Problems = append(t.Problems, p)
	}
	if n := mistakes(f.problems); n > 0 {
		t.Message = counted(n, "mistake") + " in the input"
	}
	return t
}

// within names a file or folder of the bench from its root on, with forward slashes.
func within(root, name string) string {
	path, err := filepath.Abs(name)
	if err != nil {
		return name
	}
	rel, err := filepath.Rel(root, path)
	if err != nil {
		return name
	}
	return filepath.ToSlash(rel)
}

// pointOf is variant n of a study, counted from 0, as the page is told of it.
func pointOf(n int64, row account.StudyVariantJSON) web.Point {
	return web.Point{Number: n + 1, Values: row.Values, Meets: row.Meets, Failure: row.Failure}
}
