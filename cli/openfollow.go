package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"path/filepath"

	"emberbank/web"
)

// followEvery is how often a trial that the page follows reports.
const followEvery = "1 s"

// follow follows a trial for the page, by the very command, on the bench in the folder root.
func (o *openCommand) follow(root string) web.Follow {
	return func(ctx context.Context, file string, line func([]byte)) (string, error) {
		command := &trialCommand{Files: []string{filepath.Join(root, filepath.FromSlash(file))}, Follow: true, Every: followEvery, JSON: true}
		lines := &lineWriter{take: line}
		if err := command.run(&call{ctx: ctx, out: lines, err: io.Discard, disk: realDisk()}); err != nil {
			return "", trouble(root, err)
		}
		var end struct {
			Record struct {
				Results string `json:"results"`
			} `json:"record"`
		}
		if err := json.Unmarshal(lines.last, &end); err != nil || end.Record.Results == "" {
			return "", nil
		}
		return within(root, end.Record.Results), nil
	}
}

// lineWriter hands whole lines on, and keeps the last.
type lineWriter struct {
	take func([]byte)
	part []byte
	last []byte
}

func (w *lineWriter) Write(p []byte) (int, error) {
	w.part = append(w.part, p...)
	for {
		i := bytes.IndexByte(w.part, '\n')
		if i < 0 {
			return len(p), nil
		}
		w.last = append(w.last[:0], w.part[:i]...)
		w.part = append(w.part[:0], w.part[i+1:]...)
		w.take(w.last)
	}
}
