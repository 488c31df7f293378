package cli

import (
	"bytes"
	"context"
	"io"
	"net"
	"net/http"
	"net/http/cookiejar"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// openedBench makes a folder with a bench that is read in a moment.
func openedBench(t *testing.T) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "bench")
	if err := os.CopyFS(dir, os.DirFS("../examples/small-match")); err != nil {
		t.Fatal(err)
	}
	return dir
}

func TestOpenIsRefusedToTheNetWithoutAKeyAndEncryption(t *testing.T) {
	dir := openedBench(t)
	key := filepath.Join(t.TempDir(), "key")
	write(t, key, "short")
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"--listen", "0.0.0.0"}, "others on the net could reach 0.0.0.0"},
		{[]string{"--listen", "192.0.2.1"}, "others on the net could reach 192.0.2.1"},
		{[]string{"--listen", "bench.example"}, "others on the net could reach bench.example"},
		{[]string{"--listen", "::"}, "others on the net could reach ::"},
		{[]string{"--key", key}, "has 5 characters"},
		{[]string{"--certificate", key}, "go together"},
	} {
		var out, err bytes.Buffer
		if code := Main(context.Background(), append([]string{"open", dir, "--no-browser"}, c.args...), Streams{&out, &err}); code != ExitUsage || !strings.Contains(err.String(), c.want) {
			t.Errorf("%v: %d %s", c.args, code, err.String())
		}
	}
}

// opening starts the command and returns the link that it prints; stop ends it and returns its code.
func opening(t *testing.T, args ...string) (link string, stop func() int) {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	t.Cleanup(cancel)
	out, in := io.Pipe()
	ended := make(chan int, 1)
	var said bytes.Buffer
	go func() {
		ended <- Main(ctx, append([]string{"open", "--no-browser"}, args...), Streams{in, &said})
		_ = in.Close()
	}()
	buffer := make([]byte, 4096)
	for told := ""; link == ""; {
		n, err := out.Read(buffer)
		if err != nil {
			t.Fatalf("%v: %s", err, said.String())
		}
		told += string(buffer[:n])
		if _, rest, ok := strings.Cut(told, "  http"); ok && strings.Contains(rest, "\n") {
			link = "http" + strings.Fields(rest)[0]
		}
	}
	go func() { _, _ = io.Copy(io.Discard, out) }()
	return link, func() int {
		cancel()
		return <-ended
	}
}

func TestOpenPrintsALinkThatLetsInAndEndsAtOnce(t *testing.T) {
	link, stop := opening(t, openedBench(t))
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	client := &http.Client{Jar: jar}
	host := strings.TrimPrefix(link[:strings.LastIndex(link, "/")], "http://")
	if h, _, err := net.SplitHostPort(host); err != nil || h != "127.0.0.1" {
		t.Errorf("it listens at %s", host)
	}
	status := func(url string) int {
		r, err := client.Get(url)
		if err != nil {
			t.Fatal(err)
		}
		_ = r.Body.Close()
		return r.StatusCode
	}
	if code := status("http://" + host + "/api/bench"); code != http.StatusUnauthorized {
		t.Errorf("without the link: %d", code)
	}
	_ = status(link) // the page itself is there only in a program that make has built
	if code := status("http://" + host + "/api/bench"); code != http.StatusOK {
		t.Errorf("after the link: %d", code)
	}
	stream, err := client.Get("http://" + host + "/api/events") // a stream must not hold up the end
	if err != nil {
		t.Fatal(err)
	}
	defer stream.Body.Close()
	began := time.Now()
	if code := stop(); code != ExitDone {
		t.Errorf("it ends with %d", code)
	}
	if spent := time.Since(began); spent > 5*time.Second {
		t.Errorf("ending took %s", spent)
	}
}
