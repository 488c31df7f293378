package dossier

import (
	"crypto/sha256"
	"encoding/hex"
	"hash"
	"io"
	"io/fs"
	"maps"
	"slices"

	"emberbank/shelf"
)

// noted is a file system that keeps the hash of every file that was read to its end.
type noted struct {
	fs.FS
	sums map[string]string
}

func note(root fs.FS) *noted { return &noted{FS: root, sums: map[string]string{}} }

// Open opens a file that notes its hash when its end is reached.
func (n *noted) Open(name string) (fs.File, error) {
	f, err := n.FS.Open(name)
	if err != nil {
		return nil, err
	}
	if st, err := f.Stat(); err != nil || !st.Mode().IsRegular() {
		return f, nil
	}
	return &notedFile{File: f, name: name, to: n, sum: sha256.New()}, nil
}

// ReadDir keeps folders as they are.
func (n *noted) ReadDir(name string) ([]fs.DirEntry, error) { return fs.ReadDir(n.FS, name) }

// Stat keeps what is known of files as it is.
func (n *noted) Stat(name string) (fs.FileInfo, error) { return fs.Stat(n.FS, name) }

func (n *noted) entries() (all []shelf.Entry) {
	for _, name := range slices.Sorted(maps.Keys(n.sums)) {
		all = append(all, shelf.Entry{Name: name, SHA256: n.sums[name]})
	}
	return all
}

type notedFile struct {
	fs.File
	name string
	to   *noted
	sum  hash.Hash
}

func (f *notedFile) Read(p []byte) (int, error) {
	n, err := f.File.Read(p)
	f.sum.Write(p[:n])
	if err == io.EOF {
		f.to.sums[f.name] = hex.EncodeToString(f.sum.Sum(nil))
	}
	return n, err
}
