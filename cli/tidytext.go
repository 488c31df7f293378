package cli

import (
	"fmt"
	"strings"

	"emberbank/account"
)

// tidyJSON is what `tidy --json` prints.
type tidyJSON struct {
	Folder string   `json:"folder"`
	Freed  bool     `json:"freed"` // else it is only shown
	Bytes  int64    `json:"bytes"` // in blocks of 4096, as most disks hand them out
	Spare  []spare  `json:"spare"`
	Left   []spared `json:"left_alone"`
}

func (t *tidying) document(dir string, freed bool) tidyJSON {
	d := tidyJSON{Folder: dir, Freed: freed, Spare: append([]spare{}, t.spares...), Left: append([]spared{}, t.left...)}
	for _, s := range t.spares {
		d.Bytes += s.Bytes
	}
	return d
}

// tell prints what may be freed, or was, kind by kind, and what is left alone and why.
func (t *tidying) tell(c *call, dir string, freed bool) {
	var all, places int
	var bytes int64
	var how []string
	var rows [][3]string
	for _, k := range tidyKinds {
		places = 0
		var files int
		var size int64
		for _, s := range t.spares {
			if s.Kind == k.kind {
				places, files, size = places+1, files+s.Files, size+s.Bytes
			}
		}
		if places == 0 {
			continue
		}
		all, bytes = all+files, bytes+size
		rows = append(rows, [3]string{k.text, bytesText(size), counted(files, "file")})
		if k.how != "" {
			how = append(how, k.how)
		}
	}
	switch {
	case len(rows) == 0 && freed:
		fmt.Fprintf(c.out, "Nothing in %s was freed.\n", dir)
	case len(rows) == 0:
		fmt.Fprintf(c.out, "Nothing in %s can be freed.\n", dir)
	default:
		title := "What can be computed again, or nobody asks for any more, in " + dir
		if freed {
			title = "Freed in " + dir
		}
		fmt.Fprintln(c.out, title)
		if len(rows) > 1 {
			rows = append(rows, [3]string{"all together", bytesText(bytes), counted(all, "file")})
		}
		for _, r := range rows {
			fmt.Fprintf(c.out, "  %-46s %8s  %s\n", r[0], r[1], r[2])
		}
		if len(how) > 0 {
			account.Paragraph(c.out, "", strings.Join(how, " "))
		}
		if !freed {
			account.Paragraph(c.out, "", "Nothing is freed yet: add --free. Files of inputs, loggers, trials and matches are never touched.")
		}
	}
	if len(t.left) > 0 {
		fmt.Fprintln(c.out, "Left alone:")
		for _, l := range t.left {
			account.Paragraph(c.out, "  ", fmt.Sprintf("%s (%s): %s.", l.What, bytesText(l.Bytes), strings.TrimSuffix(l.Why, ".")))
		}
	}
}
