package material

import "strings"

// Nearest returns the catalogue name closest to a mistyped one, for "did you mean": the shortest name that
// contains what was typed, else the one with the fewest single-letter changes. It is empty where nothing is
// near: more changes than half the letters typed.
func Nearest(name string) string {
	typed := strings.ToLower(strings.NewReplacer("_", "-", " ", "-").Replace(strings.TrimSpace(name)))
	if len(typed) < 2 {
		return ""
	}
	best, score := "", 0
	for _, e := range Catalogue() {
		if strings.Contains(e.Name, typed) && (best == "" || len(e.Name) < len(best)) {
			best = e.Name
		}
	}
	if best != "" {
		return best
	}
	for _, e := range Catalogue() {
		if d := editDistance(typed, e.Name); best == "" || d < score {
			best, score = e.Name, d
		}
	}
	if 2*score > len(typed) {
		return ""
	}
	return best
}

// editDistance counts the letters to insert, delete or replace to turn a into b (Levenshtein 1966).
func editDistance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := 1; i <= len(a); i++ {
		diagonal := row[0]
		row[0] = i
		for j := 1; j <= len(b); j++ {
			change := diagonal
			if a[i-1] != b[j-1] {
				change++
			}
			diagonal = row[j]
			row[j] = min(change, row[j]+1, row[j-1]+1)
		}
	}
	return row[len(b)]
}
