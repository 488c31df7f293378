package cli

import (
	"os"
	"os/exec"
	"runtime"
	"strconv"
	"strings"
	"testing"
)

func TestPeakIsReadFromTheStatusFile(t *testing.T) {
	for status, want := range map[string]int64{
		"Name:\ta\nVmPeak:\t  99 kB\nVmHWM:\t    1234 kB\nVmRSS:\t 12 kB\n": 1234 << 10,
		"Name:\tVmHWM: 7 kB\nVmHWM:\t8 kB":                                  8 << 10,
		"Name:\ta\nVmRSS:\t12 kB\n":                                         -1,
		"VmHWM:\tmuch kB\n":                                                 -1,
		"VmHWM:\t12 MB\n":                                                   -1,
		"VmHWM:\t0 kB\n":                                                    -1,
		"":                                                                  -1,
	} {
		got, ok := peakIn([]byte(status))
		if !ok {
			got = -1
		}
		if got != want {
			t.Errorf("%q holds a peak of %d, want %d", status, got, want)
		}
	}
}

// The test starts itself anew while it holds much memory; the started one must not take that for its own.
func TestPeakMemoryIsTheProgramsOwn(t *testing.T) {
	const started, held = "EMBERBANK_TEST_PEAK", 256 << 20
	if os.Getenv(started) != "" {
		_, _ = os.Stdout.WriteString("peak " + strconv.FormatInt(usage(1, 1).PeakMemory, 10) + "\n")
		return
	}
	if _, err := os.Stat(statusFile); err != nil {
		t.Skipf("this system does not show %s", statusFile)
	}
	room := make([]byte, held)
	for i := 0; i < held; i += 4096 {
		room[i] = 1
	}
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	child := exec.Command(self, "-test.run=^"+t.Name()+"$")
	child.Env = append(os.Environ(), started+"=1")
	out, err := child.CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	_, after, _ := strings.Cut(string(out), "peak ")
	line, _, _ := strings.Cut(after, "\n")
	peak, err := strconv.ParseInt(line, 10, 64)
	// An empty run of this test takes 20 MB or so; no Go program takes less than 1 MB.
	if err != nil || peak < 1<<20 || peak > held/2 {
		t.Errorf("the started program says a peak of %q bytes, while the one that starts it holds %d", line, held)
	}
	if own := usage(1, 1).PeakMemory; own < held {
		t.Errorf("this program says a peak of %d bytes and holds %d", own, held)
	}
	runtime.KeepAlive(room)
}
