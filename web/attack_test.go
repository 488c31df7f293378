package web

import (
	"bufio"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// attacked serves a bench at a real address, where requests are written byte by byte.
func attacked(t *testing.T) (folder, address string) {
	t.Helper()
	folder, root := copied(t)
	d := Open(root, Options{Version: "under test"})
	t.Cleanup(d.Close)
	s := httptest.NewUnstartedServer(nil)
	s.Config.Handler = d.Handler(Access{Address: s.Listener.Addr(), Key: "right"})
	s.Config.MaxHeaderBytes = 64 << 10
	s.Start()
	t.Cleanup(func() { s.CloseClientConnections(); s.Close() })
	return folder, s.Listener.Addr().String()
}

// raw sends lines as they are and returns the answer's status and body; 0 where the server hangs up without one.
func raw(t *testing.T, address, request string) (int, string) {
	t.Helper()
	c, err := net.Dial("tcp", address)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	_ = c.SetDeadline(time.Now().Add(10 * time.Second))
	if _, err := io.WriteString(c, strings.ReplaceAll(request, "\n", "\r\n")); err != nil {
		return 0, ""
	}
	r, err := http.ReadResponse(bufio.NewReader(c), nil)
	if err != nil {
		return 0, ""
	}
	defer r.Body.Close()
	body, _ := io.ReadAll(io.LimitReader(r.Body, 1<<16))
	return r.StatusCode, string(body)
}

func TestNoRequestOfAnothersMakingGetsIn(t *testing.T) {
	_, address := attacked(t)
	_, port, err := net.SplitHostPort(address)
	if err != nil {
		t.Fatal(err)
	}
	cookie := "Cookie: emberbank-" + port + "=right\n"
	if code, body := raw(t, address, "GET /api/bench HTTP/1.1\nHost: "+address+"\n"+cookie+"\n"); code != 200 || !strings.Contains(body, "trial-1.yaml") {
		t.Fatalf("the page itself: %d %s", code, body)
	}
	for what, c := range map[string]struct {
		request string
		want    int
	}{
		"a rebound name":                          {"GET /api/bench HTTP/1.1\nHost: rebound.example:" + port + "\n" + cookie + "\n", 421},
		"a rebound name beside the address":       {"GET http://rebound.example/api/bench HTTP/1.1\nHost: " + address + "\n" + cookie + "\n", 421},
		"two hosts":                               {"GET /api/bench HTTP/1.1\nHost: " + address + "\nHost: rebound.example\n" + cookie + "\n", 400},
		"no host":                                 {"GET /api/bench HTTP/1.0\n" + cookie + "\n", 421},
		"an address that only looks like ours":    {"GET /api/bench HTTP/1.1\nHost: 127.0.0.1.rebound.example:" + port + "\n" + cookie + "\n", 421},
		"a user before the host":                  {"GET /api/bench HTTP/1.1\nHost: " + address + "@rebound.example\n" + cookie + "\n", 400},
		"a form of another site":                  {"POST /api/run/again?name=trial-1.yaml HTTP/1.1\nHost: " + address + "\nOrigin: https://other.example\nContent-Type: application/x-www-form-urlencoded\nContent-Length: 0\n" + cookie + "\n", 403},
		"a fetch of another site that asks first": {"OPTIONS /api/file?name=receiver.yaml HTTP/1.1\nHost: " + address + "\nOrigin: https://other.example\nAccess-Control-Request-Method: PUT\n" + cookie + "\n", 403},
		"a plain fetch of another site":           {"GET /api/events HTTP/1.1\nHost: " + address + "\nOrigin: https://other.example\n" + cookie + "\n", 403},
		"the stream with a wrong cookie":          {"GET /api/events HTTP/1.1\nHost: " + address + "\nCookie: emberbank-" + port + "=wrong\n\n", 401},
		"the stream with none":                    {"GET /api/events HTTP/1.1\nHost: " + address + "\n\n", 401},
		"the page's script with none":             {"GET /page.js HTTP/1.1\nHost: " + address + "\n\n", 401},
		"an empty key":                            {"GET /?key= HTTP/1.1\nHost: " + address + "\n\n", 403},
		"an empty bearer":                         {"GET /api/bench HTTP/1.1\nHost: " + address + "\nAuthorization: Bearer \n\n", 401},
		"a key in another place":                  {"GET /api/bench HTTP/1.1\nHost: " + address + "\nAuthorization: Basic right\n\n", 401},
		"trace":                                   {"TRACE / HTTP/1.1\nHost: " + address + "\n" + cookie + "\n", 403},
		"headers without end":                     {"GET / HTTP/1.1\nHost: " + address + "\n" + cookie + strings.Repeat("X-Long: "+strings.Repeat("a", 1000)+"\n", 120) + "\n", 431},
		"up and out of the page":                  {"GET /../../../../etc/passwd HTTP/1.1\nHost: " + address + "\n" + cookie + "\n", 307},
		"up and out, written otherwise":           {"GET /..%2f..%2f..%2fetc/passwd.txt HTTP/1.1\nHost: " + address + "\n" + cookie + "\n", 404},
		"a folder of the page":                    {"GET /fonts/.. HTTP/1.1\nHost: " + address + "\n" + cookie + "\n", 307},
	} {
		if code, body := raw(t, address, c.request); code != c.want || strings.Contains(body, "root:") {
			t.Errorf("%s: %d %.200s, want %d", what, code, body, c.want)
		}
	}
}

// A browser that asks another site's leave before it sends gets none.
func TestAnotherSiteIsToldNothingOfWhatItMaySend(t *testing.T) {
	for _, origin := range []string{"https://other.example", "null", "http://127.0.0.1:1"} {
		w := asked("OPTIONS", "/api/bench", here, "Origin", origin, "Cookie", cookie)
		for name := range w.Header() {
			if strings.HasPrefix(name, "Access-Control-") {
				t.Errorf("%s is told %s", origin, name)
			}
		}
	}
}

func TestWhoSendsSlowlyOrForeverIsHungUpOn(t *testing.T) {
	_, address := attacked(t)
	began := time.Now()
	code, _ := raw(t, address, "PUT /api/file?name=receiver.yaml HTTP/1.1\nHost: "+address+"\nOrigin: http://"+address+"\nContent-Type: application/json\nContent-Length: 1000000\n\n")
	if spent := time.Since(began); code != 401 || spent > 2*slowest {
		t.Errorf("a stranger's body is waited for: %d after %s", code, spent)
	}
	began = time.Now()
	code, body := raw(t, address, "PUT /api/file?name=receiver.yaml HTTP/1.1\nHost: "+address+"\nAuthorization: Bearer right\nContent-Type: application/json\nContent-Length: 1000000\n\n{")
	if spent := time.Since(began); code < 400 || spent > 8*time.Second {
		t.Errorf("a body that does not come: %d %s after %s", code, body, spent)
	}
}

// The time limit of reading a body must not end what is done with it afterwards.
func TestWhatIsDoneWithABodyMayTakeItsTime(t *testing.T) {
	ended := make(chan error, 1)
	h := http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		_ = http.NewResponseController(w).SetReadDeadline(time.Now().Add(100 * time.Millisecond))
		_, _ = io.Copy(io.Discard, r.Body)
		select {
		case <-r.Context().Done():
			ended <- r.Context().Err()
		case <-time.After(400 * time.Millisecond):
			ended <- nil
		}
	})
	s := httptest.NewUnstartedServer(nil)
	s.Config.Handler = newGuard(s.Listener.Addr(), "right", false, nil, h)
	s.Start()
	defer s.Close()
	r, err := http.NewRequest(http.MethodPost, s.URL, strings.NewReader("a short body"))
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Authorization", "Bearer right")
	got, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	_ = got.Body.Close()
	if err := <-ended; err != nil {
		t.Errorf("it is cut off: %v", err)
	}
}

// A logger's file that breaks off on its way in leaves nothing, and no half of it stands under its name meanwhile.
func TestHalfOfALoggersFileIsNoFile(t *testing.T) {
	folder, address := attacked(t)
	c, err := net.Dial("tcp", address)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	if _, err := io.WriteString(c, "POST /api/logger?name=run.csv HTTP/1.1\r\nHost: "+address+"\r\nAuthorization: Bearer right\r\nContent-Length: 100000\r\n\r\n"+strings.Repeat("1,2\n", 100)); err != nil {
		t.Fatal(err)
	}
	size := func(name string) int64 {
		st, err := os.Stat(filepath.Join(folder, "trials", name))
		if err != nil {
			return -1
		}
		return st.Size()
	}
	wait := func(what string, ok func() bool) {
		t.Helper()
		for range 500 {
			if ok() {
				return
			}
			time.Sleep(10 * time.Millisecond)
		}
		t.Fatalf("%s: run.csv has %d bytes, what is on its way %d", what, size("run.csv"), size(".writing-run.csv"))
	}
	wait("it does not come", func() bool { return size(".writing-run.csv") == 400 })
	if n := size("run.csv"); n > 0 {
		t.Errorf("half of it stands there: %d bytes", n)
	}
	_ = c.Close()
	wait("something stays", func() bool { return size("run.csv") < 0 && size(".writing-run.csv") < 0 })
}

func TestAFileThatStandsStillOnItsWayIsNotWaitedFor(t *testing.T) {
	ended := make(chan error, 1)
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		_, err := io.Copy(io.Discard, patient{r.Body, http.NewResponseController(w).SetReadDeadline, 200 * time.Millisecond})
		ended <- err
	}))
	defer s.Close()
	sent := func(pause time.Duration, pieces int) {
		c, err := net.Dial("tcp", s.Listener.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		_, _ = io.WriteString(c, "POST / HTTP/1.1\r\nHost: x\r\nContent-Length: 10\r\n\r\n")
		for range pieces {
			time.Sleep(pause)
			_, _ = io.WriteString(c, "1")
		}
		select {
		case err = <-ended:
		case <-time.After(5 * time.Second):
			t.Fatal("it is waited for")
		}
		if (err == nil) != (pieces == 10) {
			t.Errorf("%d pieces of 10: %v", pieces, err)
		}
	}
	sent(30*time.Millisecond, 10) // longer than the pause as a whole
	sent(0, 3)
}

// Links in the bench's folder that lead out of it, whoever laid them there.
func TestNoLinkLeadsOutOfTheBench(t *testing.T) {
	folder, ask := opened(t)
	outside := t.TempDir()
	secret := filepath.Join(outside, "secret.yaml")
	if err := os.WriteFile(secret, []byte("kind: secret"), 0o666); err != nil {
		t.Fatal(err)
	}
	link := func(to, name string) {
		t.Helper()
		if err := os.Symlink(to, filepath.Join(folder, name)); err != nil {
			t.Fatal(err)
		}
	}
	link(outside, "folder")
	link(secret, "straight.yaml")
	link("straight.yaml", "twice.yaml")
	link("../"+filepath.Base(outside)+"/secret.yaml", "relative.yaml")
	link(secret, ".writing-receiver.yaml") // where a new text is laid before it takes the old one's place
	for _, name := range []string{"folder/secret.yaml", "straight.yaml", "twice.yaml", "relative.yaml"} {
		for _, path := range []string{"file", "check", "run"} {
			if code, raw := ask("GET", path, of(name), ""); code < 400 || strings.Contains(raw, "kind: secret") {
				t.Errorf("%s of %s: %d %s", path, name, code, raw)
			}
		}
		if code, _ := ask("PUT", "file", of(name), `{"text": "x", "mark": "`+markOf([]byte("kind: secret"))+`"}`); code < 400 {
			t.Errorf("%s was written: %d", name, code)
		}
	}
	old, err := os.ReadFile(filepath.Join(folder, "receiver.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	code, raw := ask("PUT", "file", of("receiver.yaml"), fmt.Sprintf(`{"text": "x", "mark": %q}`, markOf(old)))
	if now, err := os.ReadFile(secret); err != nil || string(now) != "kind: secret" {
		t.Fatalf("%d %s: the file outside is now %q, %v", code, raw, now, err)
	}
	if now, err := os.ReadFile(filepath.Join(folder, "receiver.yaml")); err != nil || string(now) != string(old) && string(now) != "x" {
		t.Errorf("half of a file: %q, %v", now, err)
	}
}

// What a file says is text in every picture, never markup.
func TestAPictureRunsNothingThatAFileSays(t *testing.T) {
	folder, ask := opened(t)
	at := filepath.Join(folder, "trial-1.yaml")
	raw, err := os.ReadFile(at)
	if err != nil {
		t.Fatal(err)
	}
	evil := strings.Replace(string(raw), "name: trial 1", `name: "</text><script>alert(1)</script>"`, 1)
	if err := os.WriteFile(at, []byte(evil), 0o666); err != nil {
		t.Fatal(err)
	}
	if r := settled(t, ask, "trial-1.yaml"); !strings.Contains(r.Title, "<script>") {
		t.Fatalf("the title is %q", r.Title)
	}
	for _, path := range []string{"run/ledger", "run/section"} {
		code, svg := ask("GET", path, url.Values{"name": {"trial-1.yaml"}, "axis": {"width"}, "at": {"0.06"}, "time": {"3600"}}, "")
		if code != 200 || strings.Contains(strings.ToLower(svg), "<script") {
			t.Errorf("%s: %d, %.300s", path, code, svg)
		}
	}
}
