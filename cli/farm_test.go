package cli

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/nats-io/nats-server/v2/server"
)

// shownQueue is the address of a queue in help and docs.
const shownQueue = "nats://127.0.0.1:4222"

// queueServer starts a server of its own within the test, open to this machine, and returns its address.
func queueServer(t *testing.T, dir string) string {
	t.Helper()
	s, err := server.NewServer(&server.Options{Host: "127.0.0.1", Port: server.RANDOM_PORT, JetStream: true, StoreDir: dir, NoSigs: true, NoLog: true})
	if err != nil {
		t.Fatal(err)
	}
	go s.Start()
	t.Cleanup(func() {
		s.Shutdown()
		s.WaitForShutdown()
	})
	if !s.ReadyForConnections(20e9) {
		t.Fatal("the queue's server does not start")
	}
	return s.ClientURL()
}

// TestTheWorkersCommandNamesAllThatAWorkerNeeds: it is read off the terminal and pasted.
func TestTheWorkersCommandNamesAllThatAWorkerNeeds(t *testing.T) {
	for _, one := range []struct {
		k    studyCommand
		want string
	}{
		{studyCommand{Open: "127.0.0.1:0"}, ""},
		{studyCommand{Open: "127.0.0.1:0", Secret: "secret"}, " --secret secret"},
		{studyCommand{Join: "tls://bench:4222", Secret: "my secret", Trust: "queue.pem"}, ` --secret "my secret" --trust queue.pem`},
		{
			studyCommand{Open: "bench:4222", Secret: "secret", Certificate: "both.pem"},
			" --secret secret --trust FILE\nFILE: the certificate in both.pem without its key, or that of who signed it",
		},
	} {
		if got, want := one.k.worker(shownQueue), "emberbank work --join "+shownQueue+one.want; got != want {
			t.Errorf("it says %q, not %q", got, want)
		}
	}
}

// TestTheFarmPagesServerStarts reads the configuration that docs/farm.md shows.
func TestTheFarmPagesServerStarts(t *testing.T) {
	page, err := os.ReadFile(filepath.Join("..", "docs", "farm.md"))
	if err != nil {
		t.Fatal(err)
	}
	_, text, _ := strings.Cut(string(page), "```text\nserver_name:")
	text, _, found := strings.Cut("server_name:"+text, "```")
	if !found {
		t.Fatal("the page shows no configuration")
	}
	text, _, _ = strings.Cut(text, "tls {") // its files are of whoever reads the page
	_, rest, found := strings.Cut(string(page), "authorization {")
	rest, _, _ = strings.Cut(rest, "```")
	if !found {
		t.Fatal("the page's server lets in everybody")
	}
	t.Setenv("CREW_PASSWORD", "word")
	dir := t.TempDir()
	file := filepath.Join(dir, "queue.conf")
	text = strings.ReplaceAll(text+"authorization {"+rest, `"queue"`, `"`+filepath.ToSlash(dir)+`"`)
	write(t, file, text)
	o, err := server.ProcessConfigFile(file)
	if err != nil {
		t.Fatalf("%v in\n%s", err, text)
	}
	if o.Username != "crew" || o.Password != "word" || !o.SyncAlways || !o.JetStream || o.Port != 4222 {
		t.Errorf("it reads as %s, %s, %v, %v, %d", o.Username, o.Password, o.SyncAlways, o.JetStream, o.Port)
	}
}
