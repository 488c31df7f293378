package web

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"slices"
	"strings"

	"emberbank/bench"
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
	return isOwn(name) && (describes(name) || path.Ext(name) == ".md" || path.Ext(name) == ".csv")
}

// isOwn tells whether a name is neither hidden nor in the results.
func isOwn(name string) bool {
	hidden := func(part string) bool { return strings.HasPrefix(part, ".") || part == bench.ResultsFolder }
	return fs.ValidPath(name) && !slices.ContainsFunc(strings.Split(name, "/"), hidden)
}

// describes tells whether a name is that of a file which says what kind it is.
func describes(name string) bool { return path.Ext(name) == ".yaml" || path.Ext(name) == ".yml" }

// errIrregular is told of a folder, a pipe or a device.
var errIrregular = errors.New("not an ordinary file")

// openOrdinary opens an ordinary file of the bench. A pipe would be waited for: it is not opened.
func (d *Desk) openOrdinary(name string) (*os.File, fs.FileInfo, error) {
	st, err := d.root.Stat(name)
	switch {
	case err != nil:
		return nil, nil, err
	case !st.Mode().IsRegular():
		return nil, nil, errIrregular
	}
	f, err := d.root.Open(name)
	if err != nil {
		return nil, nil, err
	}
	if st, err = f.Stat(); err != nil {
		_ = f.Close()
		return nil, nil, err
	}
	return f, st, nil
}

// read reads a file.
func (d *Desk) read(name string) (text, error) {
	if !mayOpen(name) {
		return text{}, errName
	}
	f, _, err := d.openOrdinary(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return text{}, errNoFile
	case errors.Is(err, errIrregular):
		return text{}, errName
	case err != nil:
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
	if _, err := d.place(name, bytes.NewReader(content), largestText); err != nil {
		return text{}, err
	}
	d.lookSoon()
	return text{content, markOf(content)}, nil
}

// place puts what is read in the place of a file, of so many bytes at the most. The file appears whole or stays as it was.
func (d *Desk) place(name string, from io.Reader, most int64) (n int64, err error) {
	part := path.Join(path.Dir(name), ".writing-"+path.Base(name))
	defer func() { _ = d.root.Remove(part) }() // it is gone where it was moved
	who := fs.FileMode(0o666)                  // may read and write it: the same as before
	if st, err := d.root.Stat(name); err == nil {
		who = st.Mode().Perm()
	}
	f, err := d.root.OpenFile(part, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, who)
	if err != nil {
		return 0, fmt.Errorf("writing %s: %w", name, plainError(err))
	}
	_ = f.Chmod(who) // some disks know nothing of it
	n, err = io.Copy(f, io.LimitReader(from, most+1))
	if closed := f.Close(); err == nil {
		err = closed
	}
	if err == nil && n > most {
		return n, errLarge
	}
	if err == nil {
		err = d.root.Rename(part, name)
	}
	if err != nil {
		return n, fmt.Errorf("writing %s: %w", name, plainError(err))
	}
	return n, nil
}

// take makes an empty file of a name, which is then nobody else's.
func (d *Desk) take(name string) error {
	f, err := d.root.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err == nil {
		err = f.Close()
	}
	if err != nil {
		return fmt.Errorf("writing %s: %w", name, plainError(err))
	}
	return nil
}

// fill puts what is read into a file that was just taken: all of it, or the name is free again.
func (d *Desk) fill(name string, from io.Reader, most int64) (n int64, err error) {
	if n, err = d.place(name, from, most); err != nil {
		_ = d.root.Remove(name)
	}
	return n, err
}

// writeNew writes a file of a name that is not taken. The text appears whole or not at all.
func (d *Desk) writeNew(name string, content []byte) error {
	if err := d.take(name); err != nil {
		return err
	}
	_, err := d.fill(name, bytes.NewReader(content), largestText)
	return err
}

// plainError leaves the path out of an error of the file system: the page knows the name.
func plainError(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}
