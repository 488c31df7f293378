package crew

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"slices"
	"sync"
)

// Seen is a file system that reads each file once and gives the same bytes from then on, so that all variants of a study
// are built from one state of its files; and it can bundle what was read, so that they are built elsewhere.
type Seen struct {
	fs.FS
	mu      sync.Mutex
	files   map[string]*seenFile
	bundled int // files when the bundle was made
	zip     []byte
}

type seenFile struct {
	content []byte
	info    fs.FileInfo
}

// Watch returns a file system that remembers what is read through it.
func Watch(fsys fs.FS) *Seen { return &Seen{FS: fsys, files: map[string]*seenFile{}} }

// Open opens a file, as it was when it was opened first. Folders are as they are.
func (s *Seen) Open(name string) (fs.File, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	f := s.files[name]
	if f == nil {
		opened, err := s.FS.Open(name)
		if err != nil {
			return nil, err
		}
		info, err := opened.Stat()
		if err != nil || info.IsDir() {
			return opened, nil // who reads it will be told
		}
		content, err := io.ReadAll(opened)
		if closed := opened.Close(); err == nil {
			err = closed
		}
		if err != nil {
			return nil, err
		}
		f = &seenFile{content, info}
		s.files[name] = f
	}
	return &reading{bytes.NewReader(f.content), f.info}, nil
}

// Stat describes a file, as it was when it was opened first, without opening it.
func (s *Seen) Stat(name string) (fs.FileInfo, error) {
	s.mu.Lock()
	f := s.files[name]
	s.mu.Unlock()
	if f != nil {
		return f.info, nil
	}
	return fs.Stat(s.FS, name)
}

// reading is a file that is being read from memory.
type reading struct {
	*bytes.Reader
	info fs.FileInfo
}

func (r *reading) Stat() (fs.FileInfo, error) { return r.info, nil }

func (r *reading) Close() error { return nil }

// bundle is all files that were read so far in one, the same bytes for the same files.
func (s *Seen) bundle() ([]byte, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.zip != nil && s.bundled == len(s.files) {
		return s.zip, nil
	}
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, name := range slices.Sorted(maps.Keys(s.files)) {
		w, err := z.Create(name)
		if err == nil {
			_, err = w.Write(s.files[name].content)
		}
		if err != nil {
			return nil, fmt.Errorf("bundling the input files: %w", err)
		}
	}
	if err := z.Close(); err != nil {
		return nil, fmt.Errorf("bundling the input files: %w", err)
	}
	s.zip, s.bundled = out.Bytes(), len(s.files)
	return s.zip, nil
}

// unbundle is what a worker reads.
func unbundle(raw []byte) (fs.FS, error) {
	z, err := zip.NewReader(bytes.NewReader(raw), int64(len(raw)))
	if err != nil {
		return nil, fmt.Errorf("reading the study's input files: %w", err)
	}
	return z, nil
}
