package emberbank_test

import (
	"io/fs"
	"os"
	"path"
	"regexp"
	"strings"
	"testing"
	"unicode"
)

var (
	markdownLink = regexp.MustCompile(`\]\(([^)\s]+)\)`)
	codeSpan     = regexp.MustCompile("`[^`]*`")
)

// TestEveryLinkOfThePagesLeadsSomewhere follows the links of all pages to files of the repository and to headings in them.
func TestEveryLinkOfThePagesLeadsSomewhere(t *testing.T) {
	root := os.DirFS(".")
	followed := 0
	err := fs.WalkDir(root, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (d.Name() == "node_modules" || d.Name() == "build" || name != "." && strings.HasPrefix(d.Name(), ".")) {
			return fs.SkipDir
		}
		if path.Ext(name) != ".md" {
			return nil
		}
		for _, line := range outsideFences(t, root, name) {
			for _, m := range markdownLink.FindAllStringSubmatch(codeSpan.ReplaceAllString(line, "`"), -1) {
				to, heading, _ := strings.Cut(m[1], "#")
				if strings.Contains(to, "://") {
					continue
				}
				followed++
				at := name
				if to != "" {
					at = path.Join(path.Dir(name), to)
				}
				if _, err := fs.Stat(root, at); err != nil {
					t.Errorf("%s links to %s, which is not there", name, m[1])
				} else if heading != "" && path.Ext(at) == ".md" && !headings(t, root, at)[heading] {
					t.Errorf("%s links to %s, where no such heading is", name, m[1])
				}
			}
		}
		return nil
	})
	if err != nil || followed < 100 {
		t.Errorf("%d links were followed: %v", followed, err)
	}
}

// outsideFences are the lines of a page that are no code.
func outsideFences(t *testing.T, root fs.FS, name string) (lines []string) {
	t.Helper()
	raw, err := fs.ReadFile(root, name)
	if err != nil {
		t.Fatal(err)
	}
	code := false
	for line := range strings.Lines(string(raw)) {
		if strings.HasPrefix(strings.TrimSpace(line), "```") {
			code = !code
		} else if !code {
			lines = append(lines, line)
		}
	}
	return lines
}

// headings are the names under which a page's headings are linked to: letters, digits and dashes, in small letters.
func headings(t *testing.T, root fs.FS, name string) map[string]bool {
	t.Helper()
	known := map[string]bool{}
	for _, line := range outsideFences(t, root, name) {
		text, is := strings.CutPrefix(strings.TrimLeft(line, "#"), " ")
		if !is || !strings.HasPrefix(line, "#") {
			continue
		}
		known[strings.Map(func(r rune) rune {
			switch {
			case r == ' ':
				return '-'
			case r == '-' || r == '_' || unicode.IsLetter(r) || unicode.IsDigit(r):
				return unicode.ToLower(r)
			}
			return -1
		}, strings.TrimSpace(text))] = true
	}
	return known
}
