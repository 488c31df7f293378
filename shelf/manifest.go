// Package shelf tells which results a bench holds: of which file each is, what it was computed from, which of that has changed
// since, and the command that renews it.
//
// It reads the manifests that commands leave in folders of results and hashes the files that they name; it computes nothing and
// writes nothing. What it is given is the bench's folder as an fs.FS; files outside of it are not looked at.
//
//	for _, k := range kept {
//		fmt.Println(k.File, k.Folder, k.Changed)
//	}
package shelf

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"io"
	"io/fs"
	"path"
)

// ManifestName is the file that makes a folder a folder of results: it lists what they were made from and what there is. It is
// written last.
const ManifestName = "manifest.json"

// ManifestSchema is the first entry of a manifest.
const ManifestSchema = "emberbank/1"

// Manifest lists the files of a folder of results. It holds nothing that changes from one computation of the same inputs to the
// next.
type Manifest struct {
	Schema  string  `json:"schema"`
	Version string  `json:"version"`
	Stopped bool    `json:"stopped"` // it did not reach its end: the results are those up to there
	Inputs  []Entry `json:"inputs"`
	Files   []Entry `json:"files"`
}

// Entry is a file by its content.
type Entry struct {
	Name   string `json:"name"`             // with forward slashes, relative to the bench or, of results, to their folder
	SHA256 string `json:"sha256,omitempty"` // of its bytes, hexadecimal; absent for files that hold times or memory
}

// Read returns the manifest of a folder; nil where there is none that can be read.
func Read(fsys fs.FS, folder string) *Manifest {
	raw, err := readRegular(fsys, path.Join(folder, ManifestName))
	m := &Manifest{}
	if err != nil || json.Unmarshal(raw, m) != nil || m.Schema != ManifestSchema {
		return nil
	}
	return m
}

// Write prints the manifest.
func (m *Manifest) Write(w io.Writer) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(m)
}

// readRegular reads a file whole; a pipe would be waited for.
func readRegular(fsys fs.FS, name string) ([]byte, error) {
	st, err := fs.Stat(fsys, name)
	if err == nil && !st.Mode().IsRegular() {
		err = &fs.PathError{Op: "read", Path: name, Err: fs.ErrInvalid}
	}
	if err != nil {
		return nil, err
	}
	return fs.ReadFile(fsys, name)
}

// Changed lists, in their order, those files whose content is no longer what the entries say, or that are gone. sum gives the
// hash of a file now, "" where it cannot be read.
func Changed(entries []Entry, sum func(name string) string) (names []string) {
	for _, e := range entries {
		if sum(e.Name) != e.SHA256 {
			names = append(names, e.Name)
		}
	}
	return names
}

// Inside are the entries that name a file of the bench by its content: others cannot be looked at from here.
func Inside(entries []Entry) (inside []Entry) {
	for _, e := range entries {
		if fs.ValidPath(e.Name) && e.SHA256 != "" {
			inside = append(inside, e)
		}
	}
	return inside
}

// Sum is the hash of bytes, as entries have it.
func Sum(raw []byte) string {
	sum := sha256.Sum256(raw)
	return hex.EncodeToString(sum[:])
}

// SumOf is the hash of a file's bytes; "" where it cannot be read.
func SumOf(fsys fs.FS, name string) string {
	if st, err := fs.Stat(fsys, name); err != nil || !st.Mode().IsRegular() {
		return ""
	}
	f, err := fsys.Open(name)
	if err != nil {
		return ""
	}
	defer func() { _ = f.Close() }()
	sum := sha256.New()
	if _, err := io.Copy(sum, f); err != nil {
		return ""
	}
	return hex.EncodeToString(sum.Sum(nil))
}
