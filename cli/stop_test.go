package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"

	"emberbank/shelf"
)

// longRun is a run that would take minutes, with a row of history at each step of a second.
const longRun = `schema: emberbank/1
kind: run
receiver:
  block: {depth: 400 mm, width: 300 mm, height: 300 mm, medium: brick}
  materials:
    - {name: brick, density: 2000 kg/m3, heat capacity: 1000 J/(kg K), conductivity: 200 W/(m K), source: made up}
  surfaces: {all: {film: 10 W/(m2 K), emissivity: 0}}
duty: {ambient: 20 degC}
initial: 300 degC
until: 1000 h
output: {every: 10 min}
tolerance: 0.0001 K
grid: {cells: {depth: 40, width: 30, height: 30}}
`

const shortRun = `schema: emberbank/1
kind: run
receiver:
  block: {depth: 100 mm, width: 60 mm, height: 60 mm, medium: brick}
  materials:
    - {name: brick, density: 2000 kg/m3, heat capacity: 1000 J/(kg K), conductivity: 20 W/(m K), source: made up}
  surfaces: {all: {film: 10 W/(m2 K), emissivity: 0}}
duty: {ambient: 20 degC}
initial: 300 degC
until: 10 min
output: {every: 1 min}
grid: {cells: {depth: 5, width: 3, height: 3}}
`

// console is a terminal at which somebody presses Ctrl-C when the progress line shows.
type console struct {
	bytes.Buffer
	press func()
	when  *regexp.Regexp
}

func (c *console) Write(p []byte) (int, error) {
	if c.when.Match(p) {
		c.press()
	}
	return c.Buffer.Write(p)
}

func (c *console) Stat() (os.FileInfo, error) { return characterDevice{}, nil }

type characterDevice struct{ os.FileInfo }

func (characterDevice) Mode() fs.FileMode { return fs.ModeDevice | fs.ModeCharDevice }

func write(t *testing.T, path, content string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(content), 0o666); err != nil {
		t.Fatal(err)
	}
}

func TestCtrlCKeepsWhatIsDone(t *testing.T) {
	t.Setenv("TERM", "xterm")
	root := t.TempDir()
	file := filepath.Join(root, "long.yaml")
	write(t, file, longRun)
	for i, in := range []string{"long", "long", "long-stopped"} {
		if i == 2 { // a whole result stands there now
			write(t, file, shortRun)
			var out, err bytes.Buffer
			if code := Main(context.Background(), []string{"run", file}, Streams{&out, &err}); code != ExitDone {
				t.Fatalf("exit %d: %s", code, err.String())
			}
			write(t, file, longRun)
		}
		ctx, cancel := context.WithCancel(context.Background())
		tty := &console{press: cancel, when: regexp.MustCompile("min of 41.7 days")}
		var out bytes.Buffer
		code := Main(ctx, []string{"run", file}, Streams{&out, tty})
		if code != ExitStopped {
			t.Fatalf("exit %d: %s", code, tty.String())
		}
		folder := filepath.Join(root, "results", in)
		if !strings.Contains(tty.String(), "stopped by the user") || !strings.Contains(tty.String(), folder) {
			t.Errorf("the terminal shows %q", tty.String())
		}
		files := tree(t, folder)
		var s struct {
			Whole   bool    `json:"whole"`
			Stopped string  `json:"stopped"`
			Ended   float64 `json:"ended_s"`
		}
		if err := json.Unmarshal([]byte(files["summary.json"]), &s); err != nil {
			t.Fatal(err)
		}
		if s.Whole || s.Stopped != "stopped by the user" || s.Ended <= 0 || s.Ended >= 3.6e6 {
			t.Errorf("the summary says %+v", s)
		}
		if !strings.Contains(files[shelf.ManifestName], `"stopped": true`) {
			t.Errorf("the manifest says %s", files[shelf.ManifestName])
		}
		if rows := strings.Count(files["history.csv"], "\n"); rows < 2 {
			t.Errorf("%d rows of history", rows)
		}
	}
	if s := tree(t, filepath.Join(root, "results", "long"))["summary.json"]; !strings.Contains(s, `"stopped": ""`) {
		t.Error("a stopped run has replaced a whole one")
	}
	if left, _ := filepath.Glob(filepath.Join(root, "results", ".*")); len(left) != 0 {
		t.Errorf("left behind: %v", left)
	}
}

func TestFullDiskGivesOneClearMessage(t *testing.T) {
	root := t.TempDir()
	file := filepath.Join(root, "short.yaml")
	write(t, file, shortRun)
	for _, args := range [][]string{{"run", file}, {"run", file, "--json"}} {
		for room := 0; room < 4000; room += 500 {
			d := filling{room: room}
			var out, err bytes.Buffer
			c := &call{ctx: context.Background(), out: &out, err: &err, disk: d.disks()}
			if code := c.main(args); code != ExitDisk {
				t.Fatalf("room %d: exit %d: %s", room, code, err.String())
			}
			said := out.String() + err.String()
			if strings.Count(said, "the disk is full") != 1 || strings.Count(said, "error") != 1 {
				t.Errorf("room %d: said %q", room, said)
			}
			if got := tree(t, root); len(got) != 1 {
				t.Errorf("room %d: files are %v", room, got)
			}
		}
	}
	d := filling{room: 3000}
	var out, err bytes.Buffer
	c := &call{ctx: context.Background(), out: &out, err: &err, disk: d.disks()}
	if code := c.main([]string{"new", filepath.Join(root, "bakery")}); code != ExitDisk || !strings.Contains(err.String(), "the disk is full") {
		t.Errorf("new: exit %d: %s", code, err.String())
	}
	if got := tree(t, root); len(got) != 1 {
		t.Errorf("new leaves %v", got)
	}
}

// fullOutput is a standard output on a full disk.
type fullOutput struct{}

func (fullOutput) Write([]byte) (int, error) {
	return 0, &fs.PathError{Op: "write", Path: "/dev/stdout", Err: syscall.ENOSPC}
}

func TestFullStandardOutputIsNotMissed(t *testing.T) {
	for _, args := range [][]string{{"version"}, {"materials"}, {"schema", "run"}, {"--help"}, {"materials", "--json"}} {
		var err bytes.Buffer
		code := Main(context.Background(), args, Streams{fullOutput{}, &err})
		if code != ExitDisk || err.String() != "error: writing to the standard output: the disk is full\n" {
			t.Errorf("%q: exit %d: %q", args, code, err.String())
		}
	}
}
