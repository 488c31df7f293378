package emberbank_test

import (
	"encoding/json"
	"errors"
	"go/ast"
	"go/parser"
	"go/token"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// room is what a folder may import. The map in docs/architecture.md shows the same.
type room struct {
	ours    string // rooms of this module, by path without "emberbank/"
	outside string // modules from outside, by prefix
	why     string
}

const everythingBelowHeat = "block duty film history material optics receiver water"

// rooms is the import map: what is not listed is not allowed.
var rooms = map[string]room{
	"cmd/emberbank":    {"cli", "", "the entry hands over arguments, streams and a context, nothing else"},
	"cli":              {"account balance bench binder block crate crew dossier farm follow heat history kernel light logbook match material pages plan press receiver reel season shelf study survey trial unit verify web yield", "github.com/alecthomas/kong", "commands call what computes; nothing calls commands"},
	"web":              {"account balance bench binder block dossier duty farm figure heat history kernel light logbook match material receiver shelf study survey trial verify yield", "github.com/danielgtaylor/huma/v2", "the page's server calls what the commands call, and computes nothing"},
	"verify":           {"account aperture bench dish glass hazard heat season study sun unit yield " + everythingBelowHeat, "gonum.org/v1/gonum", "checks go through the very code of run, but know no command"},
	"account":          {"answer aperture balance dish figure heat match plan season study unit yield " + everythingBelowHeat, "github.com/parquet-go/parquet-go", "results to text need no files of input"},
	"survey":           {"account answer bench farm heat history kernel sample seek study unit", "", "a study is run and judged through what it is handed: it opens nothing and prints nothing"},
	"crew":             {"farm heat history", "github.com/nats-io", "a queue between machines: it alone knows the network, and is handed texts of secrets, not files"},
	"farm":             {"heat history", "", "variants are run and kept through what it is handed: it opens nothing"},
	"figure":           {"block heat history receiver", "", "a picture shows what was computed; it computes nothing"},
	"bench":            {"aperture dish gauge glass heat sample sun trial uncertainty unit " + everythingBelowHeat, "go.yaml.in/yaml/v4 github.com/invopop/jsonschema", "reading ends in a checked problem; what is done with it is not its concern. The levels of a study's axis are plain values of sample"},
	"follow":           {"duty heat history trial", "gonum.org/v1/gonum", "what a running trial says now: it is handed rows and the time, and opens nothing"},
	"hazard":           {"material water", "", "what can hurt, as numbers: it knows no receiver, no file and no result"},
	"yield":            {"duty heat history water", "", "what a run amounts to, from its result and its duty: it runs nothing"},
	"match":            {"heat study " + everythingBelowHeat, "gonum.org/v1/gonum", "a match only ever calls run; it reads no file"},
	"plan":             {"match heat " + everythingBelowHeat, "gonum.org/v1/gonum", "a plan runs the model and weighs as a match does; it reads no file"},
	"season":           {"heat " + everythingBelowHeat, "", "a fast model only ever calls run and asks what stands; it reads no file"},
	"study":            {"heat " + everythingBelowHeat, "gonum.org/v1/gonum", "a study only ever calls run"},
	"heat":             {"kernel " + everythingBelowHeat, "gonum.org/v1/gonum", "the core knows nothing of files, text, commands or pictures"},
	"pages":            {"", "", "memory in large pages: it must be initialised before all that takes memory"},
	"kernel":           {"", "golang.org/x/sys/cpu", "loops over numbers know nothing of what they mean"},
	"light":            {"account aperture bench dish", "", "a dish's file answered from beginning to end, for command line and page alike: it opens no file and prints nothing"},
	"dish":             {"sample", "", "rays from the sun to a plane hang on mirrors and a seed; it knows no receiver"},
	"optics":           {"block duty receiver", "gonum.org/v1/gonum", "light falls on shapes"},
	"sun":              {"", "", "where the sun stands hangs on instant and place alone"},
	"aperture":         {"block heat history optics receiver", "", "the right window asks the core what a window loses; it reads no file and casts no ray"},
	"glass":            {"", "", "what a pane does with light hangs on numbers alone"},
	"gauge":            {"uncertainty", "", "a reading reduced to power; it reads no file"},
	"duty":             {"block receiver", "", "what is done, as plain values"},
	"receiver":         {"block material", "", "what is built, as plain values"},
	"film":             {"water material", "gonum.org/v1/gonum", "a correlation takes numbers; it knows no receiver"},
	"water":            {"", "gonum.org/v1/gonum", "matter stands alone"},
	"material":         {"", "gonum.org/v1/gonum", "matter stands alone"},
	"block":            {"", "gonum.org/v1/gonum", "pure geometry"},
	"trial":            {"history uncertainty unit water", "", "a logger's records come from a reader and become a history; files are opened elsewhere"},
	"history":          {"", "", "one shape for runs and trials, which neither side owns"},
	"dossier":          {"account bench block duty figure hazard heat history material paper receiver shelf trial unit water", "github.com/yuin/goldmark", "what is handed over is composed from results and files that were read: it opens nothing, and computes only what hazard does with their numbers"},
	"binder":           {"bench dossier paper press shelf", "", "a dossier's papers as files, for command line and page alike: it reads what it is given and writes nothing"},
	"shelf":            {"bench", "", "which results a bench holds, from manifests and hashes: it reads what it is given and writes nothing"},
	"crate":            {"shelf", "", "a bench described for archives, from what it is told; it opens no file"},
	"paper":            {"", "", "a document as its author means it: chapters, tables, figures as text; it knows no results and no page"},
	"reel":             {"paper", "", "pictures one after the other in a file that moves; it knows no results"},
	"press":            {"paper", "github.com/go-text/typesetting golang.org/x/image", "a document on A4 pages; it knows no results"},
	"logbook":          {"balance bench history trial", "", "what is told of a trial, by command line and page alike; it opens no file"},
	"balance":          {"block history material receiver trial uncertainty water", "gonum.org/v1/gonum", "a record reduced to heat: it runs nothing and opens no file"},
	"answer":           {"", "gonum.org/v1/gonum", "what numbers from variants mean hangs on no physics; it runs nothing"},
	"seek":             {"sample", "gonum.org/v1/gonum", "where to look next hangs on what was told alone; it runs nothing"},
	"sample":           {"", "", "which points are run hangs on nothing but counts, distributions and a seed"},
	"uncertainty":      {"", "gonum.org/v1/gonum", "how well a number is known hangs on no physics"},
	"unit":             {"", "", "used at every edge, so it may depend on none"},
	"internal/testkit": {"", "", "shared by the tests of every room, so it may depend on none"},
}

// pageRooms are the folders of the page's sources and which of the others each may import; sheet, which all share, is the lowest.
// page.tsx lays them side by side and may import any.
var pageRooms = map[string]string{
	"sheet":     "",
	"reader":    "sheet",
	"materials": "sheet",
	"solid":     "sheet",
	"strip":     "sheet",
	"tried":     "sheet",
	"verified":  "sheet",
	"believed":  "sheet",
	"section":   "sheet solid strip",
	"drawn":     "sheet materials section",
	"planned":   "sheet section",
	"built":     "sheet section",
	"will":      "sheet section solid strip",
	"light":     "sheet drawn section",
	"day":       "sheet light will",
	"handed":    "sheet drawn",
	"title":     "sheet drawn reader",
}

// outsideWorld are the packages through which a program touches paths, environment, network and other programs.
// cli, the entry, crew and web, which are the network, and what only tests import may use them; nobody else.
var outsideWorld = []string{"os", "os/exec", "os/signal", "path/filepath", "net", "net/http", "flag", "syscall", "log"}

type listed struct {
	ImportPath string
	Dir        string
	GoFiles    []string
	Imports    []string
}

func packages(t *testing.T) []listed {
	t.Helper()
	raw, err := exec.Command("go", "list", "-json=ImportPath,Dir,GoFiles,Imports", "./...").Output()
	if err != nil {
		var e *exec.ExitError
		if errors.As(err, &e) {
			t.Fatalf("go list: %v\n%s", err, e.Stderr)
		}
		t.Fatalf("go list: %v", err)
	}
	var all []listed
	d := json.NewDecoder(strings.NewReader(string(raw)))
	for {
		var p listed
		if err := d.Decode(&p); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
		if len(p.GoFiles) > 0 && !strings.HasPrefix(p.ImportPath, "emberbank/build/") { // build/ holds what is made, not what is ours
			all = append(all, p)
		}
	}
	if len(all) < 10 {
		t.Fatalf("go list found %d packages only", len(all))
	}
	return all
}

func TestImportsPointDown(t *testing.T) {
	for _, p := range packages(t) {
		name := strings.TrimPrefix(p.ImportPath, "emberbank/")
		r, ok := rooms[name]
		if !ok {
			t.Errorf("%s is a room that the map does not know: add it here and to docs/architecture.md", name)
			continue
		}
		for _, imported := range p.Imports {
			first, _, _ := strings.Cut(imported, "/")
			switch {
			case first == "emberbank":
				if !slices.Contains(strings.Fields(r.ours), strings.TrimPrefix(imported, "emberbank/")) {
					t.Errorf("%s imports %s: %s", name, imported, r.why)
				}
			case strings.Contains(first, "."):
				if !slices.ContainsFunc(strings.Fields(r.outside), func(m string) bool { return imported == m || strings.HasPrefix(imported, m+"/") }) {
					t.Errorf("%s imports %s: %s", name, imported, r.why)
				}
			}
		}
	}
}

// TestRoomsOfThePageImportDown holds what the page is made of to the same: no room imports one that may import it.
func TestRoomsOfThePageImportDown(t *testing.T) {
	files, err := filepath.Glob("page/src/*/*.ts*")
	if err != nil || len(files) < 50 {
		t.Fatalf("%d files of the page are found: %v", len(files), err)
	}
	other := regexp.MustCompile(`(?:from |import |import\()"\.\./([^"/]*)`)
	for _, file := range files {
		name := filepath.Base(filepath.Dir(file))
		may, ok := pageRooms[name]
		if !ok {
			t.Errorf("page/src/%s is a room that the map does not know: add it here", name)
		}
		raw, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range other.FindAllSubmatch(raw, -1) {
			if !slices.Contains(strings.Fields(may), string(m[1])) {
				t.Errorf("%s imports from %s", file, m[1])
			}
		}
	}
	rises := map[string]bool{}
	var down func(name string, above []string)
	down = func(name string, above []string) {
		if slices.Contains(above, name) {
			rises[name] = true
			return
		}
		for _, next := range strings.Fields(pageRooms[name]) {
			down(next, append(above, name))
		}
	}
	for name := range pageRooms {
		down(name, nil)
	}
	if len(rises) > 0 {
		t.Errorf("the map lets rooms import one another: %v", rises)
	}
}

func TestOnlyCommandsTouchTheOutsideWorld(t *testing.T) {
	for _, p := range packages(t) {
		name := strings.TrimPrefix(p.ImportPath, "emberbank/")
		if slices.Contains([]string{"cli", "crew", "pages", "web", "cmd/emberbank", "internal/testkit"}, name) {
			continue
		}
		for _, imported := range p.Imports {
			if slices.Contains(outsideWorld, imported) {
				t.Errorf("%s imports %s: what computes is given readers, writers and file systems, so that it can be tested and reused", name, imported)
			}
		}
	}
}

// TestOnlyCommandsReadTheClock keeps results free of the time of day: the same inputs give the same bytes.
func TestOnlyCommandsReadTheClock(t *testing.T) {
	for _, p := range packages(t) {
		name := strings.TrimPrefix(p.ImportPath, "emberbank/")
		if name == "cli" || name == "web" || name == "cmd/emberbank" {
			continue
		}
		for _, file := range p.GoFiles {
			set := token.NewFileSet()
			parsed, err := parser.ParseFile(set, filepath.Join(p.Dir, file), nil, 0)
			if err != nil {
				t.Fatal(err)
			}
			ast.Inspect(parsed, func(n ast.Node) bool {
				s, ok := n.(*ast.SelectorExpr)
				if !ok {
					return true
				}
				x, ok := s.X.(*ast.Ident)
				if ok && x.Name == "time" && (s.Sel.Name == "Now" || s.Sel.Name == "Since" || s.Sel.Name == "Until") {
					t.Errorf("%s: %s reads the clock", set.Position(s.Pos()), name)
				}
				return true
			})
		}
	}
}

func TestEveryRoomOpensWithADocComment(t *testing.T) {
	for _, p := range packages(t) {
		found := false
		for _, file := range p.GoFiles {
			parsed, err := parser.ParseFile(token.NewFileSet(), filepath.Join(p.Dir, file), nil, parser.PackageClauseOnly|parser.ParseComments)
			if err != nil {
				t.Fatal(err)
			}
			found = found || parsed.Doc != nil
		}
		if !found {
			t.Errorf("%s has no doc comment", p.ImportPath)
		}
	}
}
