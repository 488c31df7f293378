package bench

import (
	"slices"
	"sort"
	"strings"
)

// nearestPath says in words which paths that a run has come closest to one that it has not, and whose letters are far
// from all; "" where none does. By the property: one that the files state themselves has no spread "medium[NAME].PROPERTY" any more; then
// by what stands below the part of the path that exists.
func (m *matchRun) nearestPath(typed string) string {
	property := typed[strings.LastIndex(typed, ".")+1:]
	isMedium := strings.HasPrefix(typed, "medium[")
	var stated, below []string
	for _, p := range m.paths() {
		i := strings.Index(p+".", "."+property+".")
		if j := strings.Index(p, "."+property+"["); i < 0 && j >= 0 {
			i = j
		}
		if i < 0 || isMedium && !strings.HasPrefix(p, "receiver.composites[") && !strings.HasPrefix(p, "receiver.materials[") {
			continue
		}
		whole := p[:i+1+len(property)]
		switch {
		case whole == p:
			stated = append(stated, p)
		case !slices.Contains(below, whole):
			below = append(below, whole)
		}
	}
	begin := "the nearest that exists is "
	if isMedium {
		begin = "a property that a file states has no spread of its own; its file states it: "
	}
	const most = 4 // more help nobody
	switch {
	case len(stated) > 0 && len(stated) <= most:
		return begin + joined(stated)
	case len(stated) == 0 && len(below) > 0 && len(below) <= most:
		return begin + joined(below) + `, with "factor: yes"`
	}
	for part := typed; part != ""; {
		part = part[:max(strings.LastIndexAny(part, ".["), 0)]
		if next := m.under(part); len(next) > 0 && part != "" {
			if len(next) > 8 {
				next = append(next[:8], "…")
			}
			return "below " + part + " stand: " + strings.Join(next, ", ")
		}
	}
	return ""
}

// under returns the next steps of all paths below one.
func (m *matchRun) under(part string) []string {
	seen := map[string]bool{}
	for _, p := range m.paths() {
		rest, ok := strings.CutPrefix(p, part)
		if !ok || rest == "" || rest[0] != '.' && rest[0] != '[' {
			continue
		}
		step := rest[1:]
		if i := strings.IndexAny(step, ".["); i >= 0 {
			step = step[:i]
		}
		if rest[0] == '[' {
			step = part + "[" + step
		}
		seen[step] = true
	}
	var out []string
	for s := range seen {
		out = append(out, s)
	}
	sort.Strings(out)
	return out
}
