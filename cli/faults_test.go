package cli

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/nats-io/nats-server/v2/server"
)

// faultCells are those of runs that take a tenth of a second.
const faultCells = "{depth: 20, width: 12, height: 12}"

// serveQueue is what the process queueserver does: a server of queues at a port, that keeps what it holds in a folder.
func serveQueue() {
	port, err := strconv.Atoi(os.Args[1])
	if err != nil {
		panic(err)
	}
	s, err := server.NewServer(&server.Options{Host: "127.0.0.1", Port: port, JetStream: true, StoreDir: os.Args[2], NoLog: true})
	if err != nil {
		panic(err)
	}
	s.Start()
	s.WaitForShutdown()
}

// started is a process of this program, or of the queue's server.
type started struct {
	*exec.Cmd
	said  bytes.Buffer
	ended chan error
}

func start(t *testing.T, name string, args ...string) *started {
	t.Helper()
	p := &started{Cmd: exec.Command(name, args...), ended: make(chan error, 1)}
	p.Stdout, p.Stderr = &p.said, &p.said
	if err := p.Start(); err != nil {
		t.Fatal(err)
	}
	go func() { p.ended <- p.Wait() }()
	t.Cleanup(func() { _ = p.Process.Kill() })
	return p
}

// kill ends a process at once, as SIGKILL does.
func (p *started) kill(t *testing.T) {
	t.Helper()
	_ = p.Process.Kill()
	if err := <-p.ended; err == nil {
		t.Error("it had ended before it was killed")
	}
}

// done waits until it has ended well.
func (p *started) done(t *testing.T) {
	t.Helper()
	select {
	case err := <-p.ended:
		if err != nil {
			t.Fatalf("%v: %s", err, p.said.String())
		}
	case <-time.After(3 * time.Minute):
		t.Fatalf("it does not end: %s", p.said.String())
	}
}

// farmed are the processes of a study on several machines, all of which are this one.
type farmed struct {
	t                     *testing.T
	root, address, memory string
	port                  int
	server                *started
}

// freePort is a port of this machine at which nobody listens.
func freePort(t *testing.T) int {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = l.Close() }()
	return l.Addr().(*net.TCPAddr).Port
}

func farmedStudy(t *testing.T) *farmed {
	t.Helper()
	f := &farmed{t: t, root: studyFolder(t, faultCells), memory: t.TempDir(), port: freePort(t)}
	f.address = fmt.Sprintf("nats://127.0.0.1:%d", f.port)
	f.serve()
	return f
}

// serve starts the server and waits until it listens.
func (f *farmed) serve() {
	f.t.Helper()
	f.server = start(f.t, "queueserver", strconv.Itoa(f.port), f.memory)
	for range 600 {
		if c, err := net.Dial("tcp", fmt.Sprintf("127.0.0.1:%d", f.port)); err == nil {
			_ = c.Close()
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	f.t.Fatal("the queue's server does not start")
}

func (f *farmed) study() *started {
	p := start(f.t, "emberbank", "study", filepath.Join(f.root, "study.yaml"), "--join", f.address, "--yes")
	return p
}

func (f *farmed) worker() *started {
	return start(f.t, "emberbank", "work", "--join", f.address, "--workers", "1")
}

// until waits until the study has kept so many records.
func (f *farmed) until(n int) {
	f.t.Helper()
	store := &variants{dir: filepath.Join(f.root, "results", "study", variantsName)}
	for began := time.Now(); store.held() < n; time.Sleep(2 * time.Millisecond) {
		if time.Since(began) > 2*time.Minute {
			f.t.Fatalf("only %d records after two minutes", store.held())
		}
	}
}

// TestAStudyOnSeveralMachinesGivesTheSameBytesWhateverIsKilled runs the program, as processes, against a server of queues
// that is one too, and kills them in the middle.
func TestAStudyOnSeveralMachinesGivesTheSameBytesWhateverIsKilled(t *testing.T) {
	undisturbed := studyFolder(t, faultCells)
	studyDone(t, undisturbed)
	want := whole(t, undisturbed)
	for _, one := range []struct {
		what string
		do   func(f *farmed)
	}{
		{"a worker", func(f *farmed) {
			study, first := f.study(), f.worker()
			f.worker()
			f.until(12)
			first.kill(f.t)
			study.done(f.t)
		}},
		{"the server", func(f *farmed) {
			study := f.study()
			f.worker()
			f.worker()
			f.until(12)
			f.server.kill(f.t)
			time.Sleep(300 * time.Millisecond)
			f.serve()
			study.done(f.t)
		}},
		{"the study", func(f *farmed) {
			study := f.study()
			f.worker()
			f.until(12)
			study.kill(f.t)
			f.study().done(f.t)
		}},
	} {
		t.Run(one.what, func(t *testing.T) {
			t.Parallel() // mostly they wait for silence to be taken for death
			f := farmedStudy(t)
			one.do(f)
			sameFiles(t, whole(t, f.root), want)
			if left, _ := filepath.Glob(filepath.Join(f.root, "results", "study", ".*")); len(left) > 0 {
				t.Errorf("left behind: %v", left)
			}
		})
	}
}

// TestAFullDiskEndsAStudyThatOthersRun: what its workers hand in then waits for the next start.
func TestAFullDiskEndsAStudyThatOthersRun(t *testing.T) {
	undisturbed := studyFolder(t, faultCells)
	studyDone(t, undisturbed)
	f := farmedStudy(t)
	f.worker()
	d := filling{room: 60000}
	var said bytes.Buffer
	c := &call{ctx: context.Background(), out: io.Discard, err: &said, disk: d.disks()}
	if code := c.main([]string{"study", filepath.Join(f.root, "study.yaml"), "--join", f.address, "--quiet"}); code != ExitDisk || strings.Count(said.String(), "the disk is full") != 1 {
		t.Fatalf("exit %d: %s", code, said.String())
	}
	f.study().done(t)
	sameFiles(t, whole(t, f.root), whole(t, undisturbed))
}

// TestAFullDiskUnderTheQueueEndsAStudy takes a real disk, a small one in memory, where that is allowed.
func TestAFullDiskUnderTheQueueEndsAStudy(t *testing.T) {
	root := studyFolder(t, faultCells)
	results := filepath.Join(root, "results")
	if err := os.Mkdir(results, 0o777); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("mount", "-t", "tmpfs", "-o", "size=300k", "tmpfs", results).CombinedOutput(); err != nil {
		t.Skipf("no small disk can be had here: %v %s", err, out)
	}
	t.Cleanup(func() {
		if out, err := exec.Command("umount", results).CombinedOutput(); err != nil {
			t.Errorf("%v: %s", err, out)
		}
	})
	var said bytes.Buffer
	if code := Main(context.Background(), []string{"study", filepath.Join(root, "study.yaml")}, Streams{io.Discard, &said}); code != ExitDisk || strings.Count(said.String(), "the disk is full") != 1 {
		t.Fatalf("exit %d: %s", code, said.String())
	}
	if out, err := exec.Command("mount", "-o", "remount,size=50m", results).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	undisturbed := studyFolder(t, faultCells)
	studyDone(t, undisturbed)
	studyDone(t, root)
	sameFiles(t, whole(t, root), whole(t, undisturbed))
}

// TestAVariantThatTakesTooLongFailsTheSameEverywhere: half of the variants would take hours.
func TestAVariantThatTakesTooLongFailsTheSameEverywhere(t *testing.T) {
	f := farmedStudy(t)
	f.worker()
	alone := t.TempDir()
	for _, root := range []string{alone, f.root} {
		write(t, filepath.Join(root, "short.yaml"), strings.Replace(shortRun, "output: {every: 1 min}", "output: {every: 10 h}", 1))
		write(t, filepath.Join(root, "study.yaml"), `schema: emberbank/1
kind: study
run: short.yaml
time limit: 2 s
sweep:
  axes:
    - {name: until, path: until, values: [5 min, 20 min, 300000 h]}
    - {name: depth, path: receiver.block.depth, values: [80 mm, 100 mm]}
responses:
  - {name: kept, read: block mean}
`)
	}
	studyDone(t, alone)
	f.study().done(t)
	got, want := tree(t, filepath.Join(f.root, "results", "study")), tree(t, filepath.Join(alone, "results", "study"))
	for name := range want {
		if got[name] != want[name] && !strings.HasSuffix(name, "performance.json") {
			t.Errorf("%s differs: %s, alone %s", name, got[name], want[name])
		}
	}
	if n := strings.Count(got["outcome/table.csv"], "it was not done within its time limit of 2 s"); n != 2 || len(got) != len(want) {
		t.Errorf("%d variants took too long: %s", n, got["outcome/table.csv"])
	}
}

// cramped starts a study, as a process, where no file may grow beyond 13 kB (blocks of 512 bytes: POSIX, ulimit). That is
// enough for each file of its results, and not for the one in which the queue's server keeps the tasks: they are submitted
// faster than they are run.
func cramped(t *testing.T, root string, args ...string) *started {
	t.Helper()
	if onWindows {
		t.Skip("no limit on files can be set here")
	}
	args = append([]string{"-c", `ulimit -f 26 && exec "$@"`, "sh", "emberbank", "study", filepath.Join(root, "study.yaml"), "--workers", "2"}, args...)
	return start(t, "sh", args...)
}

func TestAQueueThatCannotGrowGoesOnInMemory(t *testing.T) {
	const cells = "{depth: 32, width: 20, height: 16}"
	undisturbed, root := studyFolder(t, cells), studyFolder(t, cells)
	studyDone(t, undisturbed)
	p := cramped(t, root)
	p.done(t)
	if n := strings.Count(p.said.String(), "the queue goes on in memory alone: "); n != 1 || !strings.Contains(p.said.String(), "file too large") {
		t.Errorf("it is said %d times: %s", n, p.said.String())
	}
	sameFiles(t, whole(t, root), whole(t, undisturbed))
}

// TestAnOpenQueueThatCannotGrowEndsTheStudy: others may have joined it, and know of no other. What was computed is kept.
func TestAnOpenQueueThatCannotGrowEndsTheStudy(t *testing.T) {
	const cells = "{depth: 32, width: 20, height: 16}"
	undisturbed, root := studyFolder(t, cells), studyFolder(t, cells)
	studyDone(t, undisturbed)
	secret := filepath.Join(root, "secret")
	write(t, secret, "crew:of the test\n")
	p := cramped(t, root, "--open", "127.0.0.1:0", "--secret", secret)
	select {
	case <-p.ended:
	case <-time.After(time.Minute):
		t.Fatalf("it does not end: %s", p.said.String())
	}
	if code := p.ProcessState.ExitCode(); code != ExitDisk || strings.Count(p.said.String(), "the queue's server no longer works: ") != 1 || !strings.Contains(p.said.String(), "what was computed is kept") {
		t.Fatalf("exit %d: %s", code, p.said.String())
	}
	studyDone(t, root)
	sameFiles(t, whole(t, root), whole(t, undisturbed))
}
