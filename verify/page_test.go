package verify

import (
	"fmt"
	"os"
	"strings"
	"testing"
)

// topicTable is the page's table of topics.
func topicTable() string {
	var b strings.Builder
	b.WriteString("| topic | rows | from run files |\n|---|---|---|\n")
	all, runs := 0, 0
	for _, topic := range Topics() {
		n, r := 0, 0
		for _, c := range cases() {
			if c.topic != topic {
				continue
			}
			n += len(c.rows)
			if c.file != "" {
				r += len(c.rows)
			}
		}
		fmt.Fprintf(&b, "| %s | %d | %d |\n", topic, n, r)
		all, runs = all+n, runs+r
	}
	fmt.Fprintf(&b, "| all | %d | %d |\n", all, runs)
	return b.String()
}

func TestThePageListsTheTopics(t *testing.T) {
	raw, err := os.ReadFile("../docs/verification.md")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, ok := strings.Cut(string(raw), "holds this table to the cases -->\n")
	table, _, ok2 := strings.Cut(rest, "<!-- end of topics -->")
	if want := topicTable(); !ok || !ok2 || table != want {
		t.Errorf("docs/verification.md lists\n%s\nwanted:\n%s", table, want)
	}
}
