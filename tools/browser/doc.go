// Package browser tests the built program's page in a real browser. Run it by `make test`, or after `make build` by
// `go test ./...` here. It needs Chromium (Debian: chromium).
package browser
