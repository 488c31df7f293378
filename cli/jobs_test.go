package cli

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"emberbank/web"
)

// heard keeps what work tells.
type heard struct {
	mu     sync.Mutex
	steps  []web.Step
	points []web.Point
}

func (h *heard) listener(each func(points int)) web.Listener {
	return web.Listener{
		Step: func(s web.Step) { h.mu.Lock(); defer h.mu.Unlock(); h.steps = append(h.steps, s) },
		Point: func(p web.Point) {
			h.mu.Lock()
			defer h.mu.Unlock()
			h.points = append(h.points, p)
			each(len(h.points))
		},
	}
}

func TestAStudyFromThePageIsTheOneOfTheCommandLine(t *testing.T) {
	page, typed := studyFolder(t, "{depth: 5, width: 3, height: 3}"), studyFolder(t, "{depth: 5, width: 3, height: 3}")
	for _, dir := range []string{page, typed} {
		write(t, filepath.Join(dir, "bench.yaml"), "schema: emberbank/1\nkind: bench\nname: test\nruns: [short.yaml]\nfiles: [short.yaml, study.yaml]\n")
	}
	work := (&openCommand{Threads: 2}).work(page)
	var h heard
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	_, err := work(ctx, web.Task{Verb: "study", File: "study.yaml"}, h.listener(func(n int) {
		if n == 10 {
			stop()
		}
	}))
	var told *web.Trouble
	if !errors.As(err, &told) || !strings.Contains(told.Message, "of 48 are kept in results/study/variants") {
		t.Fatalf("stopped, it says %+v", told)
	}
	h.points = nil
	results, err := work(context.Background(), web.Task{Verb: "study", File: "study.yaml"}, h.listener(func(int) {}))
	if err != nil || results != "results/study/outcome" {
		t.Fatalf("started again: %q, %v", results, err)
	}
	studyDone(t, typed, "--quiet")
	sameFiles(t, whole(t, page), whole(t, typed))
	last := h.steps[len(h.steps)-1]
	if last.Done != 48 || last.Total != 48 || last.Known < 10 || !strings.HasPrefix(last.Text, "48 of 48 done") {
		t.Errorf("the last step is %+v", last)
	}
	slices.SortFunc(h.points, func(a, b web.Point) int { return int(a.Number - b.Number) })
	if len(h.points) != 48 || h.points[0].Number != 1 || h.points[47].Number != 48 || len(h.points[0].Values) != 4 || *h.points[47].Values[0] != 50 || *h.points[47].Values[1] != 100 {
		t.Errorf("%d points, the last %+v", len(h.points), h.points[len(h.points)-1])
	}
}

func TestMistakesOfAJobNameFilesOfTheBench(t *testing.T) {
	root := studyFolder(t, "{depth: 5, width: 3, height: 3}")
	write(t, filepath.Join(root, "bench.yaml"), "schema: emberbank/1\nkind: bench\nname: test\nruns: [short.yaml]\nfiles: [short.yaml, study.yaml]\n")
	raw, err := os.ReadFile(filepath.Join(root, "study.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(root, "study.yaml"), strings.Replace(string(raw), "block.depth,", "block.dept,", 1))
	_, err = (&openCommand{}).work(root)(context.Background(), web.Task{Verb: "study", File: "study.yaml"}, web.Listener{})
	var told *web.Trouble
	if !errors.As(err, &told) || len(told.Problems) == 0 || told.Problems[0].File != "study.yaml" || told.Problems[0].Line == 0 || !strings.Contains(told.Message, "mistake in the input") {
		t.Errorf("it says %+v", told)
	}
	if entries, err := os.ReadDir(filepath.Join(root, "results")); err == nil && len(entries) > 0 {
		t.Errorf("results stand: %v", entries)
	}
}
