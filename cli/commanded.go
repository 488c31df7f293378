package cli

import (
	"errors"
	"io"
	"os"
	"slices"
	"strings"
)

// commanded gives a command of the program in another folder, in silence. The error is what it complained of; stopped tells that it
// ended before its end, which is one too.
func (c *call) commanded(folder string, args []string) (stopped bool, err error) {
	before, err := os.Getwd()
	if err != nil {
		return false, err
	}
	if err := os.Chdir(folder); err != nil { // commands name their files from where they stand
		return false, err
	}
	defer func() { _ = os.Chdir(before) }()
	var said strings.Builder
	inner := &call{ctx: c.ctx, out: io.Discard, err: &said, disk: c.disk, patience: 1e9, checks: c.checks}
	if code := inner.main(append(slices.Clone(args), "--quiet")); code != ExitDone {
		return code == ExitStopped, errors.New(strings.TrimSpace(said.String()))
	}
	return false, nil
}
