// Package press sets a document on A4 pages as PDF: page numbers, a table of contents, bookmarks, pictures as lines and not as
// dots, and its faces embedded. The same document gives the same bytes.
package press

import (
	"errors"
	"io"

	"emberbank/paper"
)

// Options say how a document is set.
type Options struct {
	Faces [][]byte // further TrueType faces, for letters that the program's own do not hold
}

// Set writes a document as PDF. Missing are letters that no face holds, each once and in their order; in their place stands
// their number in a frame, such as U+4F60.
func Set(w io.Writer, d *paper.Document, o Options) (missing []rune, err error) {
	if _, err := paper.Number(d); err != nil {
		return nil, err
	}
	return nil, errors.New("no document is set as PDF yet")
}
