package dossier

import (
	"bytes"
	"context"
	"io"
	"path"
	"strings"
	"testing"
	"testing/fstest"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/heat"
	"emberbank/shelf"
)

// madeReceiver is a small block of aluminium with a pane, two circuits and a sheet around its wool; all is invented. EXTRA stands for more
// keys of the tube.
const madeReceiver = `schema: emberbank/1
kind: receiver
name: made block
block: {depth: 100 mm, width: 200 mm, height: 200 mm, medium: aluminium}
insulation: {all: [{material: mineral-wool, thickness: 40 mm}]}
window: {width: 150 mm, height: 150 mm, absorptance: 0.9, emissivity: 0.9, glass: {material: borosilicate-glass, thickness: 4 mm, gap: 20 mm, transmittance: 0.9}}
tube: {outer: 12 mm, wall: 1 mm, contact: 400 W/(m2 K)EXTRA}
passes: [{along: width, depth: 50 mm, height: [60 mm, 140 mm]}]
circuits: [{name: low, passes: [1]}, {name: high, passes: [2]}]
`

const madeRun = `schema: emberbank/1
kind: run
name: made day
receiver: receiver.yaml
duty:
  ambient: 20 degC
  light: {power: 1.5 kW, map: {gaussian: {sigma: 40 mm}}}
  water: {all: {flow: 0.02 kg/s, inlet: 15 degC, pressure: LINE, state: drained}}
  events:
    - {at: 60 min, name: dark, do: {light: off}}
    - {at: 80 min, name: drain, do: {water: flowing}}
until: 90 min
output: {every: 2 min}
tolerance: 1 K
grid: {size: 100 mm, cells per layer: 1}
sensors: [{name: T one, depth: 40 mm, width: 100 mm, height: 100 mm}]
`

const madeBench = "schema: emberbank/1\nkind: bench\nname: made\nruns: [run.yaml]\n"

// benchOf is a bench of the made receiver, with a line pressure and more keys of the tube.
func benchOf(line, extra string) fstest.MapFS {
	return fstest.MapFS{
		"bench.yaml":    {Data: []byte(madeBench)},
		"receiver.yaml": {Data: []byte(strings.ReplaceAll(madeReceiver, "EXTRA", extra))},
		"run.yaml":      {Data: []byte(strings.ReplaceAll(madeRun, "LINE", line))},
	}
}

// kept is a sink that keeps files below a folder.
type kept struct {
	root   fstest.MapFS
	folder string
	names  []string
}

func (k *kept) Create(name string) (io.WriteCloser, error) {
	k.names = append(k.names, name)
	return &keptFile{to: k.root, name: path.Join(k.folder, name)}, nil
}

type keptFile struct {
	bytes.Buffer
	to   fstest.MapFS
	name string
}

func (f *keptFile) Close() error {
	f.to[f.name] = &fstest.MapFile{Data: f.Bytes()}
	return nil
}

// compute runs a file of a bench and puts its results there, as the command does.
func compute(t *testing.T, root fstest.MapFS, file string) {
	t.Helper()
	run, problems := bench.LoadRun(root, file, bench.Options{})
	if problems.Failed() {
		t.Fatal(problems)
	}
	result, err := heat.Run(context.Background(), run.Problem)
	if err != nil {
		t.Fatal(err)
	}
	k := &kept{root: root, folder: bench.Results(file)}
	if err := account.Write(k, result, account.Info{Title: run.Title, Version: "0", Receiver: &run.Problem.Receiver}); err != nil {
		t.Fatal(err)
	}
	m := shelf.Manifest{Schema: shelf.ManifestSchema, Version: "0"}
	for _, in := range run.Inputs {
		m.Inputs = append(m.Inputs, shelf.Entry(in))
	}
	for _, n := range k.names {
		m.Files = append(m.Files, shelf.Entry{Name: n})
	}
	var b bytes.Buffer
	if err := m.Write(&b); err != nil {
		t.Fatal(err)
	}
	root[path.Join(k.folder, shelf.ManifestName)] = &fstest.MapFile{Data: b.Bytes()}
}

func gathered(t *testing.T, root fstest.MapFS) *Gathered {
	t.Helper()
	g, err := Gather(root, Options{Version: "0"})
	if err != nil {
		t.Fatal(err)
	}
	return g
}
