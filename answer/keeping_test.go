package answer

import (
	"testing"

	"emberbank/internal/testkit"
)

// TestALimitIsKeptByTheNormalDistribution: Φ(0) = 0.5, Φ(1) = 0.841345, Φ(1.644854) = 0.95 (tables of the standard normal distribution).
func TestALimitIsKeptByTheNormalDistribution(t *testing.T) {
	for _, row := range []struct{ inside, u, share float64 }{{0, 2, 0.5}, {2, 2, 0.841345}, {-2, 2, 0.158655}, {3.289707, 2, 0.95}} {
		share, room := Keeping(row.inside, row.u, 0.95)
		testkit.Close(t, "share", share, row.share, 1e-6, 1e-6)
		testkit.Close(t, "room", room, 1.644854*row.u, 1e-6, 0)
	}
}
