package verify

import (
	"bytes"
	"io"
	"io/fs"
	"time"
)

// oneFile is a file system that holds one file, so that a case with its gaps filled is read like a user's file.
type oneFile struct {
	name string
	text []byte
}

// Open opens the one file.
func (f oneFile) Open(name string) (fs.File, error) {
	if name != f.name {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	}
	return &opened{Reader: bytes.NewReader(f.text), of: f}, nil
}

type opened struct {
	io.Reader
	of oneFile
}

func (o *opened) Stat() (fs.FileInfo, error) { return o.of, nil }
func (o *opened) Close() error               { return nil }

// Name, Size, Mode, ModTime, IsDir and Sys make oneFile its own description.
func (f oneFile) Name() string       { return f.name }
func (f oneFile) Size() int64        { return int64(len(f.text)) }
func (f oneFile) Mode() fs.FileMode  { return 0o444 }
func (f oneFile) ModTime() time.Time { return time.Time{} }
func (f oneFile) IsDir() bool        { return false }
func (f oneFile) Sys() any           { return nil }
