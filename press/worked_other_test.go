//go:build !unix

package press_test

import "time"

var began = time.Now()

func worked() time.Duration { return time.Since(began) }
