package cli

import (
	"context"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"emberbank/internal/testkit"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"emberbank": func() {
		ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
		defer stop()
		os.Exit(Main(ctx, os.Args[1:], Streams{Out: os.Stdout, Err: os.Stderr}))
	}, "queueserver": serveQueue})
}

// TestScripts runs the sessions in testdata/script: what a user types, and what must come out.
func TestScripts(t *testing.T) {
	examples, err := filepath.Abs(filepath.Join("..", "examples"))
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Setup: func(env *testscript.Env) error {
			env.Setenv("EXAMPLES", examples)
			return nil
		},
		Dir:           "testdata/script",
		UpdateScripts: testkit.Updating(),
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){
			"exits":  exits,
			"absent": absent,
		},
	})
}

// exits runs a program and demands an exit code: exits CODE emberbank ARGS...
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE PROGRAM ARGS...")
	}
	err := ts.Exec(args[1], args[2:]...)
	code := "0"
	if err != nil {
		code, _ = strings.CutPrefix(err.Error(), "exit status ")
	}
	if code != args[0] {
		ts.Fatalf("%s ends with %s, want %s", strings.Join(args[1:], " "), code, args[0])
	}
}

// absent demands that no file matches: a folder holds nothing hidden that a run has left.
func absent(ts *testscript.TestScript, neg bool, args []string) {
	for _, dir := range args {
		entries, err := os.ReadDir(ts.MkAbs(dir))
		ts.Check(err)
		for _, e := range entries {
			if strings.HasPrefix(e.Name(), ".") {
				ts.Fatalf("%s holds %s", dir, e.Name())
			}
		}
	}
}
