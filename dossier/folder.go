package dossier

import (
	"errors"
	"io/fs"
	"os"
	"path"
)

// Folder makes a sink of an opened directory. Files are written as ".NAME.partial" beside their place.
func Folder(root *os.Root) Sink { return folder{root} }

type folder struct{ root *os.Root }

func (f folder) Create(name string) (File, error) {
	dir, base := path.Split(name)
	if dir != "" {
		if err := f.root.MkdirAll(path.Clean(dir), 0o777); err != nil {
			return nil, err
		}
	}
	partial := dir + "." + base + ".partial"
	file, err := f.root.Create(partial)
	if err != nil {
		return nil, err
	}
	return &partialFile{File: file, root: f.root, partial: partial, name: name}, nil
}

func (f folder) Discard(pattern string) error {
	matches, err := fs.Glob(f.root.FS(), pattern)
	if err != nil {
		return err
	}
	for _, m := range matches {
		if err := f.root.Remove(m); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return nil
}

type partialFile struct {
	*os.File
	root          *os.Root
	partial, name string
	committed     bool
}

// Close stores the bytes on the disk before it says that all went well: a full disk may show only then.
func (p *partialFile) Close() error {
	err := p.Sync()
	if closing := p.File.Close(); err == nil {
		err = closing
	}
	return err
}

func (p *partialFile) Commit() error {
	if err := p.root.Rename(p.partial, p.name); err != nil {
		return err
	}
	p.committed = true
	return nil
}

func (p *partialFile) Abort() {
	if p.committed {
		return
	}
	p.File.Close() // may be closed already; either way it goes
	p.root.Remove(p.partial)
}
