package cli

import (
	"slices"
	"strings"

	"emberbank/heat"
)

// doubts joins the warnings of reading and of computing in their order. What was said before word for word is left
// out, and so is what stands among the cautions: the fact that two metals attack one another, say, is known when
// the files are read, yet it belongs with the dangers, where it is looked for.
func doubts(reading, computing []string, cautions []heat.Caution) []string {
	var out []string
	for _, w := range slices.Concat(reading, computing) {
		said := func(c heat.Caution) bool {
			what, named := strings.CutPrefix(w, c.Place+": ")
			return named && strings.HasPrefix(c.Text, what)
		}
		if !slices.Contains(out, w) && !slices.ContainsFunc(cautions, said) {
			out = append(out, w)
		}
	}
	return out
}
