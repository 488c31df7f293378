package web

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"strings"
)

// largestText bounds a file that the page reads or writes as text.
const largestText = 4 << 20

// text is a file of the bench with a mark that changes with its content.
type text struct {
	content []byte
	mark    string
}

func markOf(content []byte) string {
	sum := sha256.Sum256(content)
	return hex.EncodeToString(sum[:12])
}

var (
	errNoFile  = errors.New("there is no such file in the bench")
	errName    = errors.New("only the bench's own text files can be opened here: .yaml, .md and .csv, outside the results")
	errLarge   = fmt.Errorf("the file is larger than %d MB", largestText>>20)
	errChanged = errors.New("the file has changed since it was read; look at it again before writing over it")
)

// mayOpen tells whether a name is one of a bench's own files. The root keeps it inside the folder whatever it says.
func mayOpen(name string) bool {
	if !fs.ValidPath(name) || name == "." {
		return false
	}
	for _, part := range strings.Split(name, "/") {
		if strings.HasPrefix(part, ".") || part == "results" {
			return false
		}
	}
	switch path.Ext(name) {
	case ".yaml", ".yml", ".md", ".csv":
		return true
	}
	return false
}

// read reads a file.
func (d *Desk) read(name string) (text, error) {
	if !mayOpen(name) {
		return text{}, errName
	}
	switch st, err := d.root.Stat(name); {
	case errors.Is(err, fs.ErrNotExist):
		return text{}, errNoFile
	case err == nil && !st.Mode().IsRegular(): // a pipe would be waited for
		return text{}, errName
	}
	f, err := d.root.Open(name)
	if err != nil {
		return text{}, fmt.Errorf("opening %s: %w", name, plainError(err))
	}
	defer f.Close()
	raw, err := io.ReadAll(io.LimitReader(f, largestText+1))
	switch {
	case err != nil:
		return text{}, fmt.Errorf("reading %s: %w", name, plainError(err))
	case len(raw) > largestText:
		return text{}, errLarge
	}
	return text{raw, markOf(raw)}, nil
}

// write puts a new content in the place of a file whose mark is still the one that was read. The file appears whole or
// stays as it was.
func (d *Desk) write(name, mark string, content []byte) (text, error) {
	d.writing.Lock()
	defer d.writing.Unlock()
	now, err := d.read(name)
	switch {
	case err != nil:
		return text{}, err
	case now.mark != mark:
		return now, errChanged
	case len(content) > largestText:
		return text{}, errLarge
	}
	part := path.Join(path.Dir(name), ".writing-"+path.Base(name))
	defer func() { _ = d.root.Remove(part) }() // it is gone where it was moved
	if err := d.root.WriteFile(part, content, 0o666); err != nil {
		return text{}, fmt.Errorf("writing %s: %w", name, plainError(err))
	}
	if err := d.root.Rename(part, name); err != nil {
		return text{}, fmt.Errorf("writing %s: %w", name, plainError(err))
	}
	return text{content, markOf(content)}, nil
}

// writeNew writes a file of a name that is not taken. The file appears whole or not at all.
func (d *Desk) writeNew(name string, content []byte) error {
	d.writing.Lock()
	defer d.writing.Unlock()
	f, err := d.root.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return fmt.Errorf("writing %s: %w", name, plainError(err))
	}
	_, err = f.Write(content)
	if closed := f.Close(); err == nil {
		err = closed
	}
	if err != nil {
		_ = d.root.Remove(name)
		return fmt.Errorf("writing %s: %w", name, plainError(err))
	}
	return nil
}

// plainError leaves the path out of an error of the file system: the page knows the name.
func plainError(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}
