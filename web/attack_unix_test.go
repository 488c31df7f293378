//go:build unix

package web

import (
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
	began := time.Now()
	if code, raw := ask("GET", "file", of("pipe.yaml"), ""); code != 403 || time.Since(began) > 5*time.Second {
		t.Errorf("%d %s after %s", code, raw, time.Since(began))
	}
}
