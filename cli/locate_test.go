package cli

import (
	"os"
	"path/filepath"
	"slices"
	"testing"

	"emberbank/shelf"
)

// Where a command is given must not change what its results say they were made from: else they are called stale from elsewhere.
func TestAManifestNamesFilesFromTheBenchWhereverTheCommandIsGiven(t *testing.T) {
	dir := t.TempDir()
	root := filepath.Join(dir, "small")
	write(t, filepath.Join(root, "bench.yaml"), "schema: emberbank/1\nkind: bench\nname: small\nruns: [a.yaml, b.yaml]\n")
	for _, name := range []string{"a.yaml", "b.yaml"} {
		write(t, filepath.Join(root, name), "schema: emberbank/1\nkind: run\nreceiver:\n  block: {depth: 40 mm, width: 40 mm, height: 40 mm, medium: aluminium}\nuntil: 10 min\ninitial: 100 degC\ngrid: {size: 20 mm}\n")
	}
	for _, name := range []string{"a.yaml", "b.yaml"} {
		succeed(t, "run", filepath.Join(root, name), "--quiet")
	}
	inputs := func(from, a, b string) []shelf.Entry {
		t.Chdir(from)
		succeed(t, "compare", a, b, "--quiet", "-o", filepath.Join(root, "results", "beside"))
		m := shelf.Read(os.DirFS(root), "results/beside")
		if m == nil {
			t.Fatal("the comparison left no manifest")
		}
		if changed := shelf.Changed(shelf.Inside(m.Inputs), func(name string) string { return shelf.SumOf(os.DirFS(root), name) }); len(changed) > 0 {
			t.Errorf("from %s: %v are called changed", from, changed)
		}
		return m.Inputs
	}
	within := inputs(root, "a.yaml", "b.yaml")
	outside := inputs(dir, "small/a.yaml", "small/b.yaml")
	if len(within) < 4 || !slices.Equal(within, outside) || within[0].Name != "results/a/history.csv" {
		t.Errorf("given in the bench: %v; outside: %v", within, outside)
	}
}
