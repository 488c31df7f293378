package cli

import (
	"slices"
	"strings"

	"emberbank/heat"
)

// nameTheFlag says in each warning about films outside their range which flag shows what they do to the results.
func nameTheFlag(r *heat.Result) {
	for i, w := range r.Warnings {
		if len(r.Films) > 0 && strings.HasPrefix(w, "films in circuit ") {
			r.Warnings[i] = w + "; --uncertainty shows what that does to the results"
		}
	}
}

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
