package testkit

import (
	"os"
	"path/filepath"
	"testing"
)

// Picture returns a picture that is kept as a golden file of room figure, by its name, such as "ledger.svg". The package under test lies
// beside that room.
func Picture(t testing.TB, name string) []byte {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join("..", "figure", "testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	return raw
}
