package cli

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"emberbank/bench"
	"emberbank/shelf"
)

type newCommand struct {
	Dir string `arg:""`
}

func (n *newCommand) run(c *call) error {
	files, err := writeBench(bench.WriteScenario(), n.Dir, c.disk)
	if err != nil {
		return err
	}
	fmt.Fprintf(c.out, "%s holds a bench of %s. Read them in this order:\n", n.Dir, counted(len(files), "file"))
	for _, f := range readingOrder(n.Dir, files) {
		fmt.Fprintf(c.out, "  %s\n", filepath.Join(n.Dir, filepath.FromSlash(f)))
	}
	fmt.Fprintf(c.out, "Then:\n  emberbank run %s\n", shelf.Word(n.Dir))
	return nil
}

// readingOrder puts bench.yaml first and the others in the order in which it lists them.
func readingOrder(dir string, files []string) []string {
	order := []string{bench.BenchFile}
	if b, problems := bench.LoadBench(os.DirFS(dir)); !problems.Failed() {
		order = append(order, b.Files...)
	}
	return append(order, missing(files, order)...)
}

// missing returns the files that the order leaves out.
func missing(files, order []string) []string {
	var out []string
	for _, f := range files {
		listed := false
		for _, o := range order {
			listed = listed || o == f
		}
		if !listed {
			out = append(out, f)
		}
	}
	return out
}

// writeBench copies files into a folder that does not exist or is empty. bench.yaml, which makes the folder a bench,
// comes last; on an error what was written is taken away again.
func writeBench(from fs.FS, dir string, d disks) (names []string, err error) {
	entries, err := os.ReadDir(dir)
	existed := err == nil
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, disk("making a bench in "+dir, err)
	}
	if len(entries) > 0 {
		return nil, &failure{code: ExitDisk, message: dir + " is not empty", hint: "name a folder that does not exist yet"}
	}
	var made []string
	defer func() {
		if err == nil {
			return
		}
		for i := len(made) - 1; i >= 0; i-- {
			_ = os.Remove(made[i])
		}
	}()
	err = fs.WalkDir(from, ".", func(name string, e fs.DirEntry, err error) error {
		if err == nil && !e.IsDir() && name != bench.BenchFile {
			names = append(names, name)
		}
		return err
	})
	if err != nil {
		return nil, fmt.Errorf("reading the worked example: %w", err)
	}
	names = append(names, bench.BenchFile)
	if !existed {
		made = append(made, dir)
	}
	for _, name := range names {
		raw, err := fs.ReadFile(from, name)
		if err != nil {
			return nil, fmt.Errorf("reading the worked example: %w", err)
		}
		path := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
			return nil, disk("making "+filepath.Dir(path), err)
		}
		made = append(made, path)
		if err := writeNew(path, raw, d); err != nil {
			return nil, disk("writing "+path, err)
		}
	}
	return names, nil
}

// writeNew writes a file that must not exist yet.
func writeNew(path string, content []byte, d disks) error {
	w, err := d.create(path)
	if err != nil {
		return err
	}
	_, err = w.Write(content)
	if err == nil {
		err = stored(w)
	}
	if closed := w.Close(); err == nil {
		err = closed
	}
	return err
}

// stored forces what was written to the disk, which may report its fullness only then.
func stored(w io.Writer) error {
	if s, ok := w.(interface{ Sync() error }); ok {
		return s.Sync()
	}
	return nil
}
