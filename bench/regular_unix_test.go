//go:build unix

package bench

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

func TestAPipeIsToldAndNotWaitedFor(t *testing.T) {
	dir := t.TempDir()
	if err := syscall.Mkfifo(filepath.Join(dir, "pipe.yaml"), 0o666); err != nil {
		t.Skipf("no pipe can be made here: %v", err)
	}
	run := "schema: emberbank/1\nkind: run\nreceiver: pipe.yaml\nduty: pipe.yaml\nuntil: 1 h\noutput: {every: 60 s}\n"
	if err := os.WriteFile(filepath.Join(dir, "run.yaml"), []byte(run), 0o666); err != nil {
		t.Fatal(err)
	}
	told := make(chan Problems, 3)
	go func() {
		told <- Check(os.DirFS(dir), "pipe.yaml")
		told <- Check(os.DirFS(dir), "run.yaml")
		told <- Check(Laid(os.DirFS(dir), "run.yaml", []byte(run+"# more\n")), "run.yaml")
	}()
	for _, what := range []string{"the pipe itself", "a run that names it", "a run that is laid over"} {
		select {
		case p := <-told:
			if !p.Failed() || !strings.Contains(p.Error(), "this is a pipe or a device, not a file") {
				t.Errorf("%s: %v", what, p)
			}
		case <-time.After(time.Minute):
			t.Fatalf("%s is waited for", what)
		}
	}
}
