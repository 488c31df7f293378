// Package reel puts pictures one after the other into a file that moves: an SVG that any browser shows, with no script in it, or a GIF.
// What stays the same from one picture to the next is written once. Who asks for less motion sees the last picture of the SVG, which
// stands still.
//
// Left out: sound, and frames between the frames that it is given.
//
//	raw, err := reel.SVG(frames, 10)
package reel

import (
	"fmt"
	"html"
	"slices"
	"strconv"
	"strings"

	"emberbank/paper"
)

// MostBytes bounds a file: more is slow to load and to show.
const MostBytes = 12 << 20

// MostFrames bounds how many pictures a reel has.
const MostFrames = 240

// Rate is how many pictures a second has.
const Rate = 6.0

// Frames is how many pictures so many seconds ask for.
func Frames(seconds float64) int { return max(2, min(MostFrames, int(seconds*Rate+0.5))) }

// size says that a file has too many bytes.
func size(n int) error {
	if n <= MostBytes {
		return nil
	}
	return fmt.Errorf("it would have %.1f MB; at most %d MB: let it last shorter, or be smaller", float64(n)/(1<<20), MostBytes>>20)
}

// stretch is what stands between two elements that all pictures share, while it stays the same.
type stretch struct {
	from, to int // pictures
	all      []string
}

// SVG is one file that shows pictures of room figure one after the other, each as long, in so many seconds, over and over.
//
// Source: W3C, CSS Animations Level 1 (step-end, animation-delay); Media Queries Level 5 (prefers-reduced-motion).
func SVG(frames [][]byte, seconds float64) ([]byte, error) {
	if len(frames) < 2 {
		return nil, fmt.Errorf("%d pictures do not move: at least two do", len(frames))
	}
	lists := make([][]string, len(frames))
	var first *paper.Picture
	for i, raw := range frames {
		p, err := paper.ReadPicture(raw)
		if err != nil {
			return nil, fmt.Errorf("picture %d: %w", i+1, err)
		}
		if first == nil {
			first = p
		}
		for _, e := range p.Root.Inside {
			var b strings.Builder
			e.Write(&b)
			lists[i] = append(lists[i], b.String())
		}
	}
	shared := lists[0]
	for _, l := range lists[1:] {
		shared = common(shared, l)
	}
	var body strings.Builder
	classes := map[[2]int]bool{}
	for k, segment := range segments(lists, shared) {
		for _, s := range segment {
			fmt.Fprintf(&body, "<g class=\"f f%d-%d\">\n%s</g>\n", s.from, s.to, strings.Join(s.all, ""))
			classes[[2]int{s.from, s.to}] = true
		}
		if k < len(shared) {
			body.WriteString(shared[k])
		}
		if err := size(body.Len()); err != nil {
			return nil, err
		}
	}
	root := *first.Root
	root.Inside = nil
	var b strings.Builder
	b.WriteString(`<svg xmlns="http://www.w3.org/2000/svg"`)
	for _, a := range root.Pairs {
		b.WriteString(" " + a.Name + `="` + html.EscapeString(a.Value) + `"`)
	}
	b.WriteString(">\n<style>" + rules(classes, len(frames), seconds) + "</style>\n" + body.String() + "</svg>\n")
	return []byte(b.String()), size(b.Len())
}

// common is the longest list of elements that both have in one order.
func common(a, b []string) []string {
	long := make([][]int, len(a)+1)
	for i := range long {
		long[i] = make([]int, len(b)+1)
	}
	for i := len(a) - 1; i >= 0; i-- {
		for k := len(b) - 1; k >= 0; k-- {
			if a[i] == b[k] {
				long[i][k] = long[i+1][k+1] + 1
			} else {
				long[i][k] = max(long[i+1][k], long[i][k+1])
			}
		}
	}
	var out []string
	for i, k := 0, 0; i < len(a) && k < len(b); {
		switch {
		case a[i] == b[k]:
			out = append(out, a[i])
			i, k = i+1, k+1
		case long[i+1][k] >= long[i][k+1]:
			i++
		default:
			k++
		}
	}
	return out
}

// segments are what stands before each shared element, and behind the last.
func segments(lists [][]string, shared []string) [][]stretch {
	out := make([][]stretch, len(shared)+1)
	for i, l := range lists {
		k := 0
		var open []string
		put := func() {
			if n := len(out[k]); n > 0 && out[k][n-1].to == i && slices.Equal(out[k][n-1].all, open) {
				out[k][n-1].to++
			} else if len(open) > 0 {
				out[k] = append(out[k], stretch{i, i + 1, open})
			}
			open = nil
		}
		for _, e := range l {
			if k < len(shared) && e == shared[k] {
				put()
				k++
				continue
			}
			open = append(open, e)
		}
		put()
	}
	return out
}

// rules show each stretch from its first picture to its last.
func rules(classes map[[2]int]bool, frames int, seconds float64) string {
	var all [][2]int
	for c := range classes {
		all = append(all, c)
	}
	slices.SortFunc(all, func(a, b [2]int) int {
		if a[0] != b[0] {
			return a[0] - b[0]
		}
		return a[1] - b[1]
	})
	long := map[int]bool{}
	var b, last strings.Builder
	fmt.Fprintf(&b, ".f{visibility:hidden;animation:%ss step-end infinite}", number(seconds))
	for _, c := range all {
		n := c[1] - c[0]
		if !long[n] {
			long[n] = true
			fmt.Fprintf(&b, "@keyframes k%d{0%%{visibility:visible}%s%%{visibility:hidden}}", n, number(100*float64(n)/float64(frames)))
		}
		fmt.Fprintf(&b, ".f%d-%d{animation-name:k%d;animation-delay:%ss}", c[0], c[1], n, number(seconds*float64(c[0])/float64(frames)))
		if c[1] == frames {
			fmt.Fprintf(&last, ".f%d-%d{visibility:visible}", c[0], c[1])
		}
	}
	return b.String() + "@media (prefers-reduced-motion:reduce){.f{animation:none}" + last.String() + "}"
}

func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
