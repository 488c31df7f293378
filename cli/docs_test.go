package cli

import (
	"bytes"
	"context"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
)

// shownCommand is a command that a page shows.
type shownCommand struct{ page, line string }

// TestEveryCommandInTheDocsWorks runs what README, CONTRIBUTING, docs and --help show, page by page in the order in
// which it stands there. The worked bench is shortened after "new", so that minutes become seconds.
func TestEveryCommandInTheDocsWorks(t *testing.T) {
	root, err := filepath.Abs("..")
	if err != nil {
		t.Fatal(err)
	}
	pages := commandsInDocs(t, root)
	ran := 0
	verified := map[string]bool{} // checks take a while: each form once
	kept := t.TempDir()           // what long commands have left
	for _, page := range pages {
		t.Run(page[0].page, func(t *testing.T) {
			t.Chdir(t.TempDir())
			for _, c := range page {
				ran++
				if strings.Contains(c.line, "emberbank verify") {
					if verified[strings.TrimPrefix(c.line, "build/")] {
						continue
					}
					verified[strings.TrimPrefix(c.line, "build/")] = true
				}
				results, long := longCommands[strings.TrimPrefix(c.line, "build/")]
				done := filepath.Join(kept, filepath.Base(results))
				if _, err := os.Stat(done); long && err == nil {
					makeBakery(t)
					copyDir(t, done, results)
					continue
				}
				runShown(t, root, c.line)
				if long {
					copyDir(t, results, done)
				}
			}
		})
	}
	if ran < 15 {
		t.Errorf("only %d commands were found: is the reading of the pages broken?", ran)
	}
}

// longCommands are done on the first page that shows them; on others what they leave is put in its place.
var longCommands = map[string]string{
	"emberbank match bakery/match.yaml": "bakery/results/match",
	"emberbank run bakery/season.yaml":  "bakery/results/season",
}

func copyDir(t *testing.T, from, to string) {
	t.Helper()
	if err := os.CopyFS(to, os.DirFS(from)); err != nil {
		t.Fatal(err)
	}
}

func runShown(t *testing.T, root, line string) {
	t.Helper()
	words := strings.Fields(line)
	switch words[0] {
	case "emberbank", "build/emberbank":
		args := words[1:]
		if i := slices.Index(args, ">"); i >= 0 {
			args = args[:i]
		}
		for i, a := range args {
			switch a {
			case shownQueue:
				args[i] = queueServer(t, t.TempDir())
			case "--secret": // the page tells how the file is made
				write(t, args[i+1], "crew:a word\n")
			case "--idle": // nothing is offered there, and minutes would be waited for
				args[i+1] = "1s"
			}
		}
		if needsBakery(args) {
			makeBakery(t)
		}
		for _, a := range args {
			if parts := strings.Split(a, "/"); len(parts) > 1 && parts[0] == "examples" {
				copyExample(t, root, "examples/"+parts[1])
			}
		}
		var out, err bytes.Buffer
		ctx := t.Context()
		if args[0] == "open" { // it goes on until Ctrl-C
			args = append(args, "--no-browser")
			short, stop := context.WithTimeout(ctx, time.Second)
			defer stop()
			ctx = short
		}
		code := mainOnce(ctx, args, &out, &err)
		if code == ExitFailed && args[0] == "verify" {
			code = ExitDone // the command works; that every row agrees is the claim of verify's own tests
		}
		if code != ExitDone {
			t.Errorf("%s ends with %d:\n%s%s", line, code, out.String(), err.String())
		}
		if isText(args) {
			for _, l := range tooWide(out.String()) {
				t.Errorf("%s prints a line wider than a terminal:\n%s", line, l)
			}
		}
		if len(args) > 0 && args[0] == "new" {
			shorten(t, args[1], few)
		}
	case "make":
		makefile, err := os.ReadFile(filepath.Join(root, "Makefile"))
		if err != nil {
			t.Fatal(err)
		}
		if !regexp.MustCompile(`(?m)^` + regexp.QuoteMeta(words[1]) + `:`).Match(makefile) {
			t.Errorf("%s: the Makefile has no such verb", line)
		}
	case "grep":
		args := strings.Fields(strings.ReplaceAll(line, `"`, ""))[1:]
		c := exec.Command("grep", args...)
		c.Dir = root
		if out, err := c.CombinedOutput(); err != nil {
			t.Errorf("%s: %v %s", line, err, out)
		}
	case "go":
		c := exec.Command("go", "list", words[len(words)-1]) // running the tests from a test would go round in circles
		c.Dir = root
		if out, err := c.CombinedOutput(); err != nil {
			t.Errorf("%s: %v %s", line, err, out)
		}
	case "git":
		// Nothing of ours.
	default:
		t.Errorf("%s: this test does not know how to run that", line)
	}
}

// needsBakery tells whether a command reads the worked bench.
func needsBakery(args []string) bool {
	return len(args) > 0 && args[0] != "new" && slices.ContainsFunc(args, func(a string) bool { return strings.HasPrefix(a, "bakery") })
}

// makeBakery makes the worked bench where a page takes it as made.
func makeBakery(t *testing.T) {
	t.Helper()
	if _, err := os.Stat("bakery"); err == nil {
		return
	}
	var out, err bytes.Buffer
	if code := Main(context.Background(), []string{"new", "bakery"}, Streams{&out, &err}); code != ExitDone {
		t.Fatal(err.String())
	}
	shorten(t, "bakery", few)
}

// copyExample puts a bench of the repository where a page takes it to be.
func copyExample(t *testing.T, root, dir string) {
	t.Helper()
	if _, err := os.Stat(dir); err == nil {
		return
	}
	if err := os.CopyFS(dir, os.DirFS(filepath.Join(root, dir))); err != nil {
		t.Fatal(err)
	}
	shorten(t, dir, large)
}

// placeholder is a word in capitals that stands for something, as in "emberbank run FILE".
var placeholder = regexp.MustCompile(`\b[A-Z]{3,}\b|\.\.\.|…`)

// commandsInDocs gathers the commands of each page: lines of code blocks, and code in the text that starts with
// "emberbank" and names nothing by a placeholder.
func commandsInDocs(t *testing.T, root string) [][]shownCommand {
	t.Helper()
	texts := map[string]string{}
	for name, text := range helpTexts {
		_, example, _ := strings.Cut(text, "\nExample")
		texts["help "+name] = "```\n" + example + "```\n"
	}
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, _ := filepath.Rel(root, path)
		if d.IsDir() && path != root && !strings.HasPrefix(rel, "docs") && !strings.HasPrefix(rel, "examples") {
			return fs.SkipDir
		}
		if strings.HasSuffix(path, ".md") {
			raw, err := os.ReadFile(path)
			texts[filepath.ToSlash(rel)] = string(raw)
			return err
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	names := make([]string, 0, len(texts))
	for name := range texts {
		names = append(names, name)
	}
	slices.Sort(names)
	var pages [][]shownCommand
	for _, name := range names {
		if page := commandsIn(name, texts[name]); len(page) > 0 {
			pages = append(pages, page)
		}
	}
	return pages
}

var (
	fenced = regexp.MustCompile("^\\s*```(\\w*)\\s*$")
	inline = regexp.MustCompile("`((?:build/)?emberbank [a-z]+[^`]*)`")
)

func commandsIn(page, text string) []shownCommand {
	var out []shownCommand
	inBlock, shell := false, false
	for _, line := range strings.Split(text, "\n") {
		if m := fenced.FindStringSubmatch(line); m != nil {
			inBlock = !inBlock
			shell = m[1] == "" || m[1] == "sh"
			continue
		}
		if !inBlock {
			for _, m := range inline.FindAllStringSubmatch(line, -1) {
				words := strings.Fields(m[1])
				named := slices.ContainsFunc(words[2:], func(w string) bool { return !strings.HasPrefix(w, "-") })
				bare := !named && slices.Contains([]string{"new", "check", "run", "schema", "trial", "compare", "study", "match", "plan", "light", "work", "open", "crate", "dossier"}, words[1])
				if !bare && !placeholder.MatchString(m[1]) {
					out = append(out, shownCommand{page, m[1]})
				}
			}
			continue
		}
		line, _, _ = strings.Cut(line, " #")
		line = strings.TrimSpace(line)
		first, _, _ := strings.Cut(line, " ")
		if shell && slices.Contains([]string{"emberbank", "build/emberbank", "make", "grep", "go", "git"}, first) && !placeholder.MatchString(line) && line != first {
			out = append(out, shownCommand{page, line})
		}
	}
	return out
}
