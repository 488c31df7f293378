package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"emberbank/bench"
)

// upgraded is a file that was brought up to the present schema.
type upgraded struct {
	file, keptAs string // as the user would name them from here
	changes      []string
}

// upgrade brings the file that a place names up to the present schema; of a bench's folder, all files that are in
// it. The former file is kept beside, with ".old" behind its name. A file of the present schema stays as it is.
func upgrade(at place, d disks) ([]upgraded, error) {
	names := []string{at.name}
	if at.folder {
		var err error
		if names, err = fs.Glob(at.fs(), "*.yaml"); err != nil {
			return nil, disk("reading "+at.root, err)
		}
	}
	var out []upgraded
	for _, name := range names {
		u, err := upgradeFile(at.path(name), d)
		if err != nil {
			return out, err
		}
		if u != nil {
			out = append(out, *u)
		}
	}
	return out, nil
}

func upgradeFile(path string, d disks) (*upgraded, error) {
	shown := fromHere(path)
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, disk("reading "+shown, err)
	}
	fresh, changes, err := bench.Upgrade(text)
	if err != nil {
		return nil, &failure{code: ExitInput, message: shown, err: err}
	}
	if len(changes) == 0 {
		return nil, nil
	}
	old := path + ".old"
	if _, err := os.Lstat(old); !errors.Is(err, fs.ErrNotExist) {
		return nil, &failure{
			code: ExitDisk, message: fromHere(old) + " exists already, and the former file would be kept under that name",
			hint: "move it elsewhere",
		}
	}
	// The new text is whole on the disk before the file gets another name, and the name is free only for a moment.
	part := filepath.Join(filepath.Dir(path), "."+filepath.Base(path)+".part")
	_ = os.Remove(part)
	if err := writeNew(part, fresh, d); err != nil {
		_ = os.Remove(part)
		return nil, disk("writing "+shown, err)
	}
	if err := os.Rename(path, old); err != nil {
		_ = os.Remove(part)
		return nil, disk("keeping the former file as "+fromHere(old), err)
	}
	if err := os.Rename(part, path); err != nil {
		err = errors.Join(err, os.Rename(old, path))
		return nil, disk(fmt.Sprintf("moving the new text to %s", shown), err)
	}
	return &upgraded{file: shown, keptAs: fromHere(old), changes: changes}, nil
}
