package web

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// streamed collects the data of a stream of events until it ends or enough has come.
func streamed(t *testing.T, address string, enough func(lines []string) bool) (lines []string) {
	t.Helper()
	r, err := http.NewRequest("GET", address, nil)
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Authorization", "Bearer right")
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	for s := bufio.NewScanner(answer.Body); s.Scan() && !enough(lines); {
		if data, ok := strings.CutPrefix(s.Text(), "data: "); ok {
			lines = append(lines, data)
		}
	}
	return lines
}

func TestAFollowedTrialIsStreamedFromItsBeginningAndEndsWithItsReport(t *testing.T) {
	folder := t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, "t.yaml"), []byte("schema: emberbank/1\nkind: trial\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	root, err := os.OpenRoot(folder)
	if err != nil {
		t.Fatal(err)
	}
	defer root.Close()
	go1, ended := make(chan bool), make(chan bool)
	d := Open(root, Options{Follow: func(ctx context.Context, file string, line func([]byte)) (string, error) {
		line([]byte(`{"kind":"note","text":"the file is not there yet"}`))
		line([]byte(`{"kind":"report","at_s":10,"moment":"09:00:10","channels":[{"name":"core","unit":"degC","value":21.5,"predicted":22,"band":3}],"outside_envelope":[]}`))
		<-go1
		line([]byte(`{"kind":"call","what":"near","moment":"09:00:20","text":"core is near a limit"}`))
		line([]byte(`{"kind":"report","at_s":20,"moment":"09:00:20","channels":[],"outside_envelope":[]}`))
		line([]byte(`no document`))
		<-ctx.Done()
		close(ended)
		return "results/" + file, nil
	}})
	defer d.Close()
	s := httptest.NewUnstartedServer(nil)
	s.Config.Handler = d.Handler(Access{Address: s.Listener.Addr(), Key: "right"})
	s.Start()
	defer func() { s.CloseClientConnections(); s.Close() }()
	post := func(path string) int {
		r, err := http.NewRequest("POST", s.URL+path, nil)
		if err != nil {
			t.Fatal(err)
		}
		r.Header.Set("Authorization", "Bearer right")
		answer, err := http.DefaultClient.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		_ = answer.Body.Close()
		return answer.StatusCode
	}
	if code := post("/api/trial/follow/stop?name=t.yaml"); code != 404 {
		t.Errorf("what is not followed is stopped with %d", code)
	}
	for range 2 { // the second goes on with the first
		if code := post("/api/trial/follow?name=t.yaml"); code != 200 {
			t.Fatalf("it begins with %d", code)
		}
	}
	at := s.URL + "/api/trial/following?name=t.yaml"
	said := strings.Join(streamed(t, at, func(l []string) bool {
		return strings.Contains(strings.Join(l, ""), `"at_s":10`) && strings.Contains(strings.Join(l, ""), "not there yet")
	}), "\n")
	if !strings.Contains(said, `"state":"computing"`) || !strings.Contains(said, `"predicted":22`) {
		t.Errorf("it says %s", said)
	}
	go1 <- true
	said = strings.Join(streamed(t, at, func(l []string) bool {
		return strings.Contains(strings.Join(l, ""), `"at_s":20`) && strings.Contains(strings.Join(l, ""), "near a limit")
	}), "\n")
	if !strings.Contains(said, `"at_s":10`) {
		t.Errorf("who comes later does not hear of the beginning: %s", said)
	}
	if code := post("/api/trial/follow/stop?name=t.yaml"); code != 200 {
		t.Errorf("it is stopped with %d", code)
	}
	<-ended
	last := streamed(t, at, func([]string) bool { return false })
	if joined := strings.Join(last, "\n"); !strings.Contains(joined, `"state":"done"`) || !strings.Contains(joined, `"results":"results/t.yaml"`) {
		t.Errorf("at its end it says %s", joined)
	}
	for name, want := range map[string]int{"../t.yaml": 403, "gone.yaml": 404, "results/t.yaml": 403} {
		if code := post("/api/trial/follow?name=" + name); code != want {
			t.Errorf("%s: %d, want %d", name, code, want)
		}
	}
}

func TestReportsOfALongTrialAreThinnedAndTheNewestStays(t *testing.T) {
	f := &followed{every: 1, told: make(chan struct{})}
	for i := range 10 * keptReports {
		f.take(fmt.Appendf(nil, `{"kind":"report","at_s":%d}`, i))
	}
	n := len(f.reports)
	if n > keptReports || n < keptReports/4 {
		t.Errorf("%d reports are kept", n)
	}
	if first, last := *f.reports[0].At, *f.reports[n-1].At; first > 20 || last != 10*keptReports-1 {
		t.Errorf("they go from %g to %g", first, last)
	}
	for i := 1; i < n; i++ {
		if !(*f.reports[i].At > *f.reports[i-1].At) {
			t.Fatalf("report %d is not after the one before", i)
		}
	}
	f.ended("", &Trouble{Message: "no", Problems: nil})
	if now := f.standing(); now.State != failed || now.Message != "no" {
		t.Errorf("it ends as %+v", now)
	}
	var trouble *Trouble
	if raw, err := json.Marshal(f.now); err != nil || !strings.Contains(string(raw), `"failed"`) || errors.As(err, &trouble) {
		t.Error(err)
	}
}
