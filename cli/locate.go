package cli

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"emberbank/bench"
)

// place is a file that a user named: the folder that bench may read from, and the file's name in it.
type place struct {
	root   string // the bench's folder, or the file's own where no bench is around it
	name   string // with forward slashes, relative to root
	folder bool   // the user named a folder: name is its bench.yaml
}

// benchLevels bounds how far up a bench.yaml is looked for: files of a bench lie in it or a few folders below.
const benchLevels = 4

// locate finds what an argument names. A mistyped name is a mistake in the input, an unreadable one is the disk's.
func locate(arg string) (place, error) {
	path, err := filepath.Abs(arg)
	if err != nil {
		return place{}, disk("looking for "+arg, err)
	}
	st, err := os.Stat(path)
	if errors.Is(err, fs.ErrNotExist) {
		return place{}, &failure{code: ExitInput, message: "there is no file or folder " + arg, hint: "check the name"}
	}
	if err != nil {
		return place{}, disk("reading "+arg, err)
	}
	if st.IsDir() {
		if !isFile(filepath.Join(path, bench.BenchFile)) {
			return place{}, &failure{
				code: ExitInput, message: arg + " is a folder without a " + bench.BenchFile,
				hint: "name a file, or make a bench with: emberbank new DIR",
			}
		}
		return place{root: path, name: bench.BenchFile, folder: true}, nil
	}
	root := filepath.Dir(path)
	for dir, n := root, 0; n < benchLevels; n++ {
		if isFile(filepath.Join(dir, bench.BenchFile)) {
			root = dir
			break
		}
		up := filepath.Dir(dir)
		if up == dir {
			break
		}
		dir = up
	}
	rel, err := filepath.Rel(root, path)
	if err != nil {
		return place{}, disk("looking for "+arg, err)
	}
	return place{root: root, name: filepath.ToSlash(rel)}, nil
}

func isFile(path string) bool {
	st, err := os.Stat(path)
	return err == nil && !st.IsDir()
}

func (p place) fs() fs.FS { return os.DirFS(p.root) }

// path returns where a file of the bench lies on the disk.
func (p place) path(name string) string { return filepath.Join(p.root, filepath.FromSlash(name)) }

// results returns the folder that takes the results of the file where nothing else is said: results/FILE beside it.
func (p place) results() string {
	return p.path(bench.Results(p.name))
}

// shown returns a file of the bench as the user would name it from here.
func (p place) shown(name string) string { return fromHere(p.path(name)) }

// inBench names a file as a manifest does: from the bench's folder where it lies in it, whatever the working folder; else as the
// user would name it from here.
func inBench(root, path string) string {
	if full, err := filepath.Abs(path); err == nil && root != "" {
		if name := slashed(root, full); fs.ValidPath(name) {
			return name
		}
	}
	return filepath.ToSlash(fromHere(path))
}

// fromHere shortens a path to one from the working folder, where it lies in or below it.
func fromHere(path string) string {
	here, err := os.Getwd()
	if err != nil {
		return path
	}
	rel, err := filepath.Rel(here, path)
	if err != nil || rel == ".." || strings.HasPrefix(rel, ".."+string(filepath.Separator)) {
		return path
	}
	return rel
}

// named returns problems with their files as the user would name them from here.
func (p place) named(ps bench.Problems) bench.Problems {
	out := make(bench.Problems, len(ps))
	for i, x := range ps {
		x.File = p.shown(x.File)
		out[i] = x
	}
	return out
}

// open opens the results folder of a place, or the one that the user named instead.
func (p place) open(output string, d disks) (*folder, error) {
	if output == "" {
		output = p.results()
	}
	return openToPlace(output, d)
}
