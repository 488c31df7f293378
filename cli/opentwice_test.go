package cli

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestWhoOpensABenchThatIsOpenHearsOfIt(t *testing.T) {
	dir := openedBench(t)
	marks := func() []string {
		m, err := filepath.Glob(filepath.Join(dir, openMark+"*"))
		if err != nil {
			t.Fatal(err)
		}
		return m
	}
	second := func() string {
		t.Helper()
		ctx, cancel := context.WithCancel(context.Background())
		cancel() // it opens and ends
		var out, err bytes.Buffer
		if code := Main(ctx, []string{"open", dir, "--no-browser"}, Streams{&out, &err}); code != ExitDone {
			t.Fatalf("%d %s", code, err.String())
		}
		return err.String()
	}
	host, err := os.Hostname()
	if err != nil {
		t.Skipf("this machine has no name: %v", err)
	}
	write(t, filepath.Join(dir, openMark+"killed"), fmt.Sprintf("process %d\nmachine %s\nat 127.0.0.1:1\n", os.Getpid(), host))
	if said := second(); said != "" || len(marks()) != 0 {
		t.Errorf("where nobody has it open, it says %q; left is %v", said, marks())
	}
	link, stop := opening(t, dir)
	if said := second(); !strings.Contains(said, fmt.Sprintf("open already, by process %d at 127.0.0.1:", os.Getpid())) {
		t.Errorf("%s is open, and the second says %q", link, said)
	}
	if n := len(marks()); n != 1 {
		t.Errorf("beside one that is open there are %d marks", n)
	}
	if code := stop(); code != ExitDone || len(marks()) != 0 {
		t.Errorf("it ends with %d; left is %v", code, marks())
	}
}
