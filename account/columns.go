package account

import (
	"fmt"
	"strings"
)

// pageWidth is how many characters a line of a report holds.
const pageWidth = 80

// fitting takes columns out of a table until it is no wider than the page: the heading and the first column stay, of the
// columns between it and the last ones, the responses, the last goes first; where none is left, responses do, but one.
func fitting(lines [][]string, responses, page int) (out [][]string, inputs, dropped int) {
	widths := widthsOf(lines)
	wide := 2 * (len(widths) - 1)
	for _, w := range widths {
		wide += w
	}
	between := max(0, len(widths)-1-responses)
	if responses == 0 {
		return lines, 0, 0
	}
	for k := between; k >= 1 && wide > page; k-- {
		wide -= widths[k] + 2
		inputs++
	}
	for k := len(widths) - 1; k > between+1 && wide > page; k-- {
		wide -= widths[k] + 2
		dropped++
	}
	if inputs+dropped == 0 {
		return lines, 0, 0
	}
	for _, l := range lines {
		row := append([]string{}, l[:1+between-inputs]...)
		out = append(out, append(row, l[1+between:len(l)-dropped]...))
	}
	return out, inputs, dropped
}

// widthsOf are the widths of a table's columns in characters.
func widthsOf(lines [][]string) []int {
	widths := make([]int, len(lines[0]))
	for _, l := range lines {
		for k, c := range l {
			widths[k] = max(widths[k], len([]rune(c)))
		}
	}
	return widths
}

// inColumns prints rows in columns, each line after some blanks; what is wider than the page is cut.
func inColumns(b *strings.Builder, lines [][]string, before string) {
	widths := widthsOf(lines)
	for _, l := range lines {
		s := before
		for k, c := range l {
			if k > 0 {
				s += "  "
			}
			s += c + strings.Repeat(" ", widths[k]-len([]rune(c)))
		}
		s = strings.TrimRight(s, " ")
		if r := []rune(s); len(r) > pageWidth {
			s = string(r[:pageWidth-1]) + "…"
		}
		b.WriteString(s + "\n")
	}
}

// countOf is a number with what it counts.
func countOf(n int, one, more string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, more)
}
