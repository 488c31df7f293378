package cli

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"emberbank/bench"
	"emberbank/logbook"
)

// draft prints a first description of the loggers' files, or writes it to a new file.
func (k *trialCommand) draft(c *call) error {
	if k.JSON {
		return &failure{code: ExitUsage, message: "--json does not go with --draft", hint: "take one of the two out"}
	}
	home := filepath.Dir(k.Files[0])
	if k.Output != "" {
		home = filepath.Dir(k.Output)
	}
	var loggers []bench.Drafted
	var problems bench.Problems
	for _, name := range k.Files {
		if err := c.ctx.Err(); err != nil {
			return err
		}
		rel, err := relative(home, name)
		if err != nil {
			return err
		}
		g, found, err := logbook.Look(os.DirFS(home), filepath.ToSlash(rel))
		if errors.Is(err, fs.ErrNotExist) {
			return &failure{code: ExitInput, message: "there is no file " + name, hint: "check the name"}
		}
		if err != nil {
			return disk("reading "+name, err)
		}
		if g == nil {
			for _, p := range found {
				p.File = name
				problems = append(problems, p)
			}
			continue
		}
		loggers = append(loggers, bench.Drafted{File: filepath.ToSlash(rel), Guess: g})
	}
	if len(problems) > 0 {
		return &failure{code: ExitInput, problems: problems}
	}
	base := filepath.Base(k.Files[0])
	name := "a first description.yaml" // that is printed, and nowhere a file
	if k.Output != "" {
		name = filepath.Base(k.Output)
	}
	text, problems := bench.DraftTrial(os.DirFS(home), name, strings.TrimSuffix(base, filepath.Ext(base)), loggers)
	if len(problems) > 0 {
		return &failure{code: ExitInput, problems: problems}
	}
	if k.Output == "" {
		_, _ = io.WriteString(c.out, text) // watched
		return nil
	}
	w, err := c.disk.create(k.Output)
	if errors.Is(err, fs.ErrExist) {
		return &failure{code: ExitDisk, message: k.Output + " is there already", hint: "choose another name: nothing is written over"}
	}
	if err != nil {
		return disk("writing "+k.Output, err)
	}
	_, err = io.WriteString(w, text)
	if e := w.Close(); err == nil {
		err = e
	}
	if err != nil {
		_ = os.Remove(k.Output) // half-written
		return disk("writing "+k.Output, err)
	}
	if !k.Quiet {
		fmt.Fprintf(c.out, "A first description stands in %s: read it, correct it, then\n  emberbank trial %s\n", k.Output, k.Output)
	}
	return nil
}

// relative names a logger's file from the folder of its description, which paths do not lead out of.
func relative(home, name string) (string, error) {
	a, err := filepath.Abs(home)
	if err == nil {
		var b string
		if b, err = filepath.Abs(name); err == nil {
			var rel string
			rel, err = filepath.Rel(a, b)
			if err == nil && rel != ".." && !strings.HasPrefix(rel, ".."+string(filepath.Separator)) {
				return rel, nil
			}
		}
	}
	if err != nil {
		return "", disk("looking for "+name, err)
	}
	return "", &failure{
		code: ExitInput, message: name + " does not lie in the folder of the description, " + home,
		hint: "put the description beside the loggers' files with -o, or copy the files there",
	}
}
