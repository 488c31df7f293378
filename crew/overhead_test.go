package crew

import (
	"context"
	"fmt"
	"testing"
	"time"

	"emberbank/farm"
)

func BenchmarkATaskThroughTheQueue(b *testing.B) {
	ctx := context.Background()
	t0 := time.Now()
	l, err := Serve(ctx, b.TempDir(), nil)
	if err != nil {
		b.Fatal(err)
	}
	defer l.Close()
	q, err := l.Offer(ctx, Offer{Place: "here", Program: "this"})
	if err != nil {
		b.Fatal(err)
	}
	b.Logf("started in %v", time.Since(t0))
	n := 0
	for b.Loop() {
		n++
		if err := q.Submit(ctx, farm.Task{Number: int64(n), Key: fmt.Sprint("key", n), Settings: []farm.Setting{{Path: "receiver.block.depth", Value: 0.1}}}); err != nil {
			b.Fatal(err)
		}
		lease, err := q.Next(ctx)
		if err != nil {
			b.Fatal(err)
		}
		if err := q.Complete(lease); err != nil {
			b.Fatal(err)
		}
	}
}
