//go:build unix

package web

import (
	"net/url"
	"os"
	"path/filepath"
	"syscall"
	"testing"
	"time"
)

func TestAPipeInTheBenchIsNotWaitedFor(t *testing.T) {
	folder, ask := opened(t)
	if err := syscall.Mkfifo(filepath.Join(folder, "pipe.yaml"), 0o666); err != nil {
		t.Skipf("no pipe can be made here: %v", err)
	}
	pipe := filepath.Join(folder, "results", "pipe.json")
	if err := os.Mkdir(filepath.Dir(pipe), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := syscall.Mkfifo(pipe, 0o666); err != nil {
		t.Fatal(err)
	}
	began := time.Now()
	if code, raw := ask("GET", "result", url.Values{"path": {"results/pipe.json"}}, ""); code != 403 || time.Since(began) > 5*time.Second {
		t.Errorf("among results: %d %s after %s", code, raw, time.Since(began))
	}
	if code, raw := ask("GET", "file", of("pipe.yaml"), ""); code != 403 || time.Since(began) > 5*time.Second {
		t.Errorf("%d %s after %s", code, raw, time.Since(began))
	}
}
