package bench

import (
	"fmt"
	"sort"
	"strings"
)

// Problem is one mistake (or, where Warning is set, one doubt) in a file, told so that it can be mended.
type Problem struct {
	File    string `json:"file"`
	Line    int    `json:"line,omitempty"`   // from 1; 0 where the whole file is meant
	Column  int    `json:"column,omitempty"` // from 1, in characters
	Field   string `json:"field,omitempty"`  // such as "block.depth"
	Typed   string `json:"typed,omitempty"`  // the value as typed
	Message string `json:"message"`          // what is wrong
	Allowed string `json:"allowed,omitempty"`
	Fix     string `json:"fix,omitempty"`
	Warning bool   `json:"warning,omitempty"`
}

// Place returns "file:line:column", or the file alone.
func (p Problem) Place() string {
	if p.Line == 0 {
		return p.File
	}
	return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Column)
}

// String returns the problem as it is printed, two or three lines without a line end at the last.
func (p Problem) String() string {
	word := "error"
	if p.Warning {
		word = "warning"
	}
	s := fmt.Sprintf("%s: %s: %s", word, p.Place(), p.Message)
	if p.Allowed != "" {
		s += "\n  allowed: " + p.Allowed
	}
	if p.Fix != "" {
		s += "\n  fix: " + p.Fix
	}
	return s
}

// Problems is what is wrong with some files, in the order of files, lines and columns.
type Problems []Problem

// Failed tells whether there is a mistake, not only warnings.
func (ps Problems) Failed() bool {
	for _, p := range ps {
		if !p.Warning {
			return true
		}
	}
	return false
}

// String returns all problems, each on its lines.
func (ps Problems) String() string {
	var b strings.Builder
	for _, p := range ps {
		b.WriteString(p.String())
		b.WriteByte('\n')
	}
	return b.String()
}

// Error makes Problems an error; it is the same text. Test with Failed, not with nil.
func (ps Problems) Error() string { return ps.String() }

// mostProblems bounds what is shown of one reading: a file of the wrong kind can hold thousands of mistakes.
const mostProblems = 100

// sorted returns the problems by file (in the order of reading), line and column, without repeats.
func (r *reader) sorted() Problems {
	order := map[string]int{}
	for i, in := range r.inputs {
		order[in.Name] = i
	}
	ps := append(Problems(nil), r.problems...)
	sort.SliceStable(ps, func(i, j int) bool {
		a, b := ps[i], ps[j]
		if a.File != b.File {
			if order[a.File] != order[b.File] {
				return order[a.File] < order[b.File]
			}
			return a.File < b.File
		}
		if a.Line != b.Line {
			return a.Line < b.Line
		}
		return a.Column < b.Column
	})
	seen := map[Problem]bool{}
	out := ps[:0]
	for _, p := range ps {
		if !seen[p] {
			seen[p] = true
			out = append(out, p)
		}
	}
	if n := len(out) + r.untold; n > mostProblems {
		last := out[mostProblems-1]
		out = append(out[:mostProblems:mostProblems], Problem{
			File:    last.File,
			Message: fmt.Sprintf("%d more mistakes are not shown", n-mostProblems), Fix: "mend these first",
		})
	}
	return out
}

// nearest returns the word closest to typed by edit distance (a swap of neighbours counts one), or "" where
// none is close enough to be meant.
func nearest(typed string, words []string) string {
	best, found := 1+len(typed)/3, ""
	if best > 4 {
		best = 4
	}
	low := strings.ToLower(typed)
	for _, w := range words {
		if d := editDistance(low, strings.ToLower(w)); d < best || d == best && found == "" {
			best, found = d, w
		}
	}
	if found == "" && len(typed) >= 3 { // a word typed in part
		for _, w := range words {
			if strings.Contains(strings.ToLower(w), low) || strings.Contains(low, strings.ToLower(w)) && len(w) >= 3 {
				return w
			}
		}
	}
	return found
}

// sameWords returns the name that has the words of typed in another order, with other gaps or in other letters:
// "isotropic graphite" for "graphite-isotropic".
func sameWords(typed string, names []string) string {
	key := func(s string) string {
		words := strings.FieldsFunc(strings.ToLower(s), func(c rune) bool { return c == ' ' || c == '-' || c == '_' })
		sort.Strings(words)
		return strings.Join(words, " ")
	}
	for _, n := range names {
		if key(n) == key(typed) {
			return n
		}
	}
	return ""
}

// editDistance is the optimal string alignment distance: insert, delete, replace, swap neighbours.
func editDistance(a, b string) int {
	if len(a) > 64 || len(b) > 64 {
		return 64
	}
	before, row := []int(nil), make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := 1; i <= len(a); i++ {
		next := make([]int, len(b)+1)
		next[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			next[j] = min(row[j]+1, next[j-1]+1, row[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				next[j] = min(next[j], before[j-2]+1)
			}
		}
		before, row = row, next
	}
	return row[len(b)]
}

// quoted lists words for a message: "a", "b" or "c".
func quoted(words []string) string {
	var b strings.Builder
	for i, w := range words {
		if i > 0 {
			if i == len(words)-1 {
				b.WriteString(" or ")
			} else {
				b.WriteString(", ")
			}
		}
		b.WriteString(`"` + w + `"`)
	}
	return b.String()
}

// joined lists words for a message without quotes: a, b or c.
func joined(words []string) string { return strings.ReplaceAll(quoted(words), `"`, "") }
