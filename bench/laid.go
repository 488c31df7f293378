package bench

import (
	"bytes"
	"io/fs"
	"path"
	"time"
)

// Laid is a file system in which one file has another content, as it would be once it is written.
func Laid(fsys fs.FS, name string, content []byte) fs.FS { return laid{fsys, name, content} }

type laid struct {
	fs.FS
	name    string
	content []byte
}

// Open opens a file: the one that is laid over from memory.
func (l laid) Open(name string) (fs.File, error) {
	if name == l.name {
		return &laidFile{Reader: bytes.NewReader(l.content), name: path.Base(name)}, nil
	}
	return l.FS.Open(name)
}

// Stat describes a file without opening it.
func (l laid) Stat(name string) (fs.FileInfo, error) {
	if name == l.name {
		return &laidFile{Reader: bytes.NewReader(l.content), name: path.Base(name)}, nil
	}
	return fs.Stat(l.FS, name)
}

type laidFile struct {
	*bytes.Reader
	name string
}

func (f *laidFile) Stat() (fs.FileInfo, error) { return f, nil }
func (f *laidFile) Close() error               { return nil }
func (f *laidFile) Name() string               { return f.name }
func (f *laidFile) Size() int64                { return f.Reader.Size() }
func (f *laidFile) Mode() fs.FileMode          { return 0o444 }
func (f *laidFile) ModTime() time.Time         { return time.Time{} }
func (f *laidFile) IsDir() bool                { return false }
func (f *laidFile) Sys() any                   { return nil }
