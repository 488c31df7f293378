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
	matched, kept := "", t.TempDir()
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
				const match = "emberbank match bakery/match.yaml" // a minute: done on the first page that shows it
				if strings.HasSuffix(c.line, match) && matched != "" {
					makeBakery(t)
					if err := os.CopyFS("bakery/results/match", os.DirFS(matched)); err != nil {
						t.Fatal(err)
					}
					continue
				}
				runShown(t, root, c.line)
				if strings.HasSuffix(c.line, match) {
					matched = filepath.Join(kept, "match")
					if err := os.CopyFS(matched, os.DirFS("bakery/results/match")); err != nil {
						t.Fatal(err)
					}
				}
			}
		})
	}
	if ran < 15 {
		t.Errorf("only %d commands were found: is the reading of the pages broken?", ran)
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
		code := Main(ctx, args, Streams{&out, &err})
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
			shorten(t, args[1])
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
	shorten(t, "bakery")
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
	shorten(t, dir)
}

// shorten makes the runs of a bench short and coarse: the lines that set their length and grid.
func shorten(t *testing.T, dir string) {
	t.Helper()
	names, err := filepath.Glob(filepath.Join(dir, "*.yaml"))
	if err != nil || len(names) == 0 {
		t.Fatalf("no files in %s: %v", dir, err)
	}
	until := regexp.MustCompile(`(?m)^until: .*$`)
	grid := regexp.MustCompile(`(?m)^grid: .*$`)
	times := regexp.MustCompile(`(?m)^(fields|profiles): .*$`)
	found := false
	for _, name := range names {
		raw, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		if bytes.Contains(raw, []byte("kind: match")) { // its runs are as long as the trials: fewer of them
			raw = regexp.MustCompile(`(?m)^starts: .*$`).ReplaceAll(raw, []byte("starts: 0"))
			raw = regexp.MustCompile(`(?ms)^  - name: heat capacity .*?(^  - name: lamp )`).ReplaceAll(raw, []byte("$1"))
			if err := os.WriteFile(name, raw, 0o666); err != nil {
				t.Fatal(err)
			}
			continue
		}
		if bytes.Contains(raw, []byte("kind: season")) { // one day of each kind, and no claim on so coarse cells
			raw = regexp.MustCompile(`(?m)^(build|apart): \d+`).ReplaceAll(raw, []byte("$1: 1"))
			raw = regexp.MustCompile(`(?m)^allowed: .*$`).ReplaceAll(raw, []byte("allowed: {heat: 50 %, block mean: 100 K}"))
			if err := os.WriteFile(name, raw, 0o666); err != nil {
				t.Fatal(err)
			}
			continue
		}
		if !bytes.Contains(raw, []byte("kind: run")) {
			found = found || bytes.Contains(raw, []byte("kind: trial")) // as long as its loggers ran
			continue
		}
		found = found || until.Match(raw)
		short := "until: 3 min"
		if bytes.Contains(raw, []byte("\nuntil: 365 d")) { // a season has days
			short = "until: 3 d"
		}
		raw = until.ReplaceAll(raw, []byte(short))
		raw = grid.ReplaceAll(raw, []byte("grid: {size: 60 mm, cells per layer: 1}"))
		raw = times.ReplaceAll(raw, []byte("$1: [3 min]"))
		if err := os.WriteFile(name, raw, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	if !found {
		t.Fatalf("no run in %s says until when", dir)
	}
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
