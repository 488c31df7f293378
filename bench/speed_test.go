package bench

import (
	"context"
	"fmt"
	"testing"

	"emberbank/heat"
)

// BenchmarkWholeReceiver computes the six hours of benchmark B2, all that is reported with it, files left out. Its
// profile tells which part takes the time: make speed takes it and writes what it shows into docs/performance.md.
func BenchmarkWholeReceiver(b *testing.B) {
	for _, name := range []string{"whole", "coarse"} {
		for _, threads := range []int{1, 2} {
			b.Run(fmt.Sprintf("run=%s/threads=%d", name, threads), func(b *testing.B) {
				p := b2(b, name+".yaml").Problem
				p.Threads = threads
				var work float64
				for b.Loop() {
					res, err := heat.Run(context.Background(), p)
					if err != nil {
						b.Fatal(err)
					}
					work += float64(res.Cells) * float64(res.Stages)
				}
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/work, "ns/cell-stage")
			})
		}
	}
}
