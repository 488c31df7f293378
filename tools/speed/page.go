package main

import (
	"fmt"
	"os"
	"strings"
)

// The marks between which a page's tables stand.
const (
	firstMark = "<!-- make speed writes from here -->"
	lastMark  = "<!-- to here -->"
)

// writeBetweenMarks replaces what stands between the marks of a page.
func writeBetweenMarks(page, text string) error {
	raw, err := os.ReadFile(page)
	if err != nil {
		return err
	}
	before, rest, ok := strings.Cut(string(raw), firstMark)
	if !ok {
		return fmt.Errorf("%s has no line %q", page, firstMark)
	}
	_, after, ok := strings.Cut(rest, lastMark)
	if !ok {
		return fmt.Errorf("%s has no line %q after the first mark", page, lastMark)
	}
	return os.WriteFile(page, []byte(before+firstMark+"\n\n"+strings.TrimSpace(text)+"\n\n"+lastMark+after), 0o666)
}
