// Emberbank computes how a solar receiver that stores heat in its own absorber block is charged, held and
// drained. This command hands arguments, streams and a context that Ctrl-C cancels to package cli.
package main

import (
	"context"
	"os"
	"os/signal"
	"runtime"
	"syscall"

	"emberbank/cli"
)

func main() {
	runtime.MemProfileRate = 0 // nobody asks for it, and each sample costs a walk up the stack
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop) // a second Ctrl-C ends the program at once
	os.Exit(cli.Main(ctx, os.Args[1:], cli.Streams{Out: os.Stdout, Err: os.Stderr}))
}
