package paper

import (
	"embed"
	"encoding/base64"
	"fmt"
	"slices"
	"strings"
)

// made are the faces, which make puts into the folder faces; without them texts are set in what the reader has.
//
//go:embed all:faces
var made embed.FS

// face is one file of letters.
type face struct {
	family, style, weight string
	file                  string
	holds                 string // pairs of first and last letter; it comes along where one of them stands. "": always
}

// latin is what the files of Latin letters are asked for. Their thin spaces are too thin between a number and its unit: those
// come from the next face.
const latin = "U+0-2008, U+200A-202E, U+2030-FFFF"

// Letters beyond Latin, as the files are cut.
const (
	greek    = "\u0370\u0377\u037a\u037f\u0384\u038a\u038c\u038c\u038e\u03a1\u03a3\u03ff"
	cyrillic = "\u0400\u045f\u0490\u0491\u04b0\u04b1\u2116\u2116"
	extended = "\u0100\u0130\u0132\u0151\u0154\u02ba\u02bd\u02c5\u1d00\u1dbf\u1e00\u1eff\u20a0\u20ab\u20ad\u20c0\u2113\u2113\u2c60\u2c7f\ua720\ua7ff"
)

// all faces, in the order of the style sheet.
var all = []face{
	{"Vollkorn", "normal", "400", "vollkorn-latin-400-normal", ""},
	{"Vollkorn", "italic", "400", "vollkorn-latin-400-italic", ""},
	{"Vollkorn", "normal", "600 700", "vollkorn-latin-600-normal", ""},
	{"Emberbank Lettering", "normal", "400 700", "b612-latin-400-normal", ""},
	{"Vollkorn", "normal", "400", "vollkorn-greek-400-normal", greek},
	{"Vollkorn", "italic", "400", "vollkorn-greek-400-italic", greek},
	{"Vollkorn", "normal", "600 700", "vollkorn-greek-600-normal", greek},
	{"Vollkorn", "normal", "400", "vollkorn-latin-ext-400-normal", extended},
	{"Vollkorn", "italic", "400", "vollkorn-latin-ext-400-italic", extended},
	{"Vollkorn", "normal", "600 700", "vollkorn-latin-ext-600-normal", extended},
	{"Vollkorn", "normal", "400", "vollkorn-cyrillic-400-normal", cyrillic},
	{"Vollkorn", "italic", "400", "vollkorn-cyrillic-400-italic", cyrillic},
	{"Vollkorn", "normal", "600 700", "vollkorn-cyrillic-600-normal", cyrillic},
}

// Face is the file of a face, by its name without an ending, such as vollkorn-latin-400-normal; false: it was not made.
func Face(name string) ([]byte, bool) {
	raw, err := made.ReadFile("faces/" + name + ".woff")
	return raw, err == nil
}

// faces are the rules that bring the faces which a text needs, each once.
func faces(text string) string {
	var b strings.Builder
	var beyond []rune
	for _, r := range text {
		if r >= 0x100 && !slices.Contains(beyond, r) {
			beyond = append(beyond, r)
		}
	}
	for i := range all {
		f := &all[i]
		if f.holds != "" && !slices.ContainsFunc(beyond, func(r rune) bool { return within(f.holds, r) }) {
			continue
		}
		raw, ok := Face(f.file)
		if !ok {
			continue
		}
		letters := latin
		if f.holds != "" {
			letters = ranges(f.holds)
		}
		b.WriteString("@font-face { font-family: \"" + f.family + "\"; font-style: " + f.style + "; font-weight: " + f.weight +
			"; unicode-range: " + letters + "; src: url(data:font/woff;base64," + base64.StdEncoding.EncodeToString(raw) + ") format(\"woff\"); }\n")
	}
	return b.String()
}

// within tells whether a letter is in one of the ranges.
func within(pairs string, letter rune) bool {
	all := []rune(pairs)
	for i := 0; i+1 < len(all); i += 2 {
		if letter >= all[i] && letter <= all[i+1] {
			return true
		}
	}
	return false
}

// ranges prints pairs of letters as a style sheet has them.
func ranges(pairs string) string {
	all := []rune(pairs)
	var parts []string
	for i := 0; i+1 < len(all); i += 2 {
		parts = append(parts, fmt.Sprintf("U+%X-%X", all[i], all[i+1]))
	}
	return strings.Join(parts, ", ")
}
