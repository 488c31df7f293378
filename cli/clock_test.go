package cli

import (
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// clockSet asks for a test that builds all of Go's library anew: some two minutes of processor time.
const clockSet = "EMBERBANK_CLOCK"

// jumpingClock is put into package time: with the variable set, the time of day jumps by hours and days to and fro, every 0.4 s. The clock
// that measures spans goes on as it does, as it would if somebody set the machine's clock.
const jumpingClock = `package time

import "syscall"

var jumps = func() bool { _, set := syscall.Getenv("` + clockSet + `"); return set }()

func jumped(mono int64) int64 {
	if !jumps {
		return 0
	}
	return [...]int64{0, 3600, -86400, 40 * 86400, -3600}[mono/400_000_000%5]
}
`

// jumpingProgram builds the program with a clock that jumps. The time of day comes to a program of Go from the system without a
// library between, so that none can be put there instead; to set the machine's own clock is nothing that a test may do.
func jumpingProgram(t *testing.T) string {
	t.Helper()
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		t.Skipf("no Go to build with: %v", err)
	}
	source := filepath.Join(strings.TrimSpace(string(root)), "src", "time", "time.go")
	raw, err := os.ReadFile(source)
	if err != nil {
		t.Fatal(err)
	}
	const now = "func Now() Time {\n\tsec, nsec, mono := runtimeNow()\n"
	if strings.Count(string(raw), now) != 1 {
		t.Fatalf("%s tells the time in another way than this test knows", source)
	}
	dir := t.TempDir()
	write(t, filepath.Join(dir, "time.go"), strings.Replace(string(raw), now, now+"\tsec += jumped(mono)\n", 1))
	write(t, filepath.Join(dir, "jumped.go"), jumpingClock)
	overlay, err := json.Marshal(map[string]map[string]string{"Replace": {
		source: filepath.Join(dir, "time.go"), filepath.Join(filepath.Dir(source), "jumped.go"): filepath.Join(dir, "jumped.go"),
	}})
	if err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(dir, "overlay.json"), string(overlay))
	program := filepath.Join(dir, "emberbank")
	if out, err := exec.Command("go", "build", "-overlay", filepath.Join(dir, "overlay.json"), "-o", program, "../cmd/emberbank").CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	return program
}

// TestAClockThatJumpsChangesNoByte: that of a study, with the server of its queue within, and those of a worker beside it.
func TestAClockThatJumpsChangesNoByte(t *testing.T) {
	if os.Getenv(clockSet) == "" {
		t.Skipf("set %s to run it", clockSet)
	}
	program := jumpingProgram(t)
	secret := filepath.Join(t.TempDir(), "secret")
	write(t, secret, "crew:of the test\n")
	study := func(root string, args ...string) []string {
		return append([]string{"study", filepath.Join(root, "study.yaml"), "--yes"}, args...)
	}
	undisturbed, alone, farmed := studyFolder(t, faultCells), studyFolder(t, faultCells), studyFolder(t, faultCells)

	quiet := exec.Command(program, study(undisturbed)...)
	for _, v := range os.Environ() {
		if !strings.HasPrefix(v, clockSet+"=") {
			quiet.Env = append(quiet.Env, v)
		}
	}
	if out, err := quiet.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	want := whole(t, undisturbed)

	start(t, program, study(alone)...).done(t)
	sameFiles(t, whole(t, alone), want)

	address := fmt.Sprintf("127.0.0.1:%d", freePort(t))
	p := start(t, program, study(farmed, "--open", address, "--secret", secret)...)
	start(t, program, "work", "--join", "nats://"+address, "--secret", secret, "--workers", "1")
	p.done(t)
	sameFiles(t, whole(t, farmed), want)
}
