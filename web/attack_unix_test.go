//go:build unix

package web

import (
	"fmt"
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

// Who may read a file, and who may write it, an edit does not change.
func TestAnEditOpensAFileToNobodyElse(t *testing.T) {
	folder, ask := opened(t)
	at := filepath.Join(folder, "receiver.yaml")
	for _, who := range []os.FileMode{0o600, 0o660} {
		if err := os.Chmod(at, who); err != nil {
			t.Fatal(err)
		}
		old, err := os.ReadFile(at)
		if err != nil {
			t.Fatal(err)
		}
		if code, raw := ask("PUT", "file", of("receiver.yaml"), fmt.Sprintf(`{"text": %q, "mark": %q}`, string(old)+"# more\n", markOf(old))); code != 200 {
			t.Fatalf("%d %s", code, raw)
		}
		if st, err := os.Stat(at); err != nil || st.Mode().Perm() != who || st.Size() != int64(len(old)+len("# more\n")) {
			t.Errorf("it is %v %v, want %v", st, err, who)
		}
	}
}
