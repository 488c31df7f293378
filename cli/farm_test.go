package cli

import (
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
