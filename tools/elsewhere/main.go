// Elsewhere checks a module as other systems would see it: the types of all packages and tests, and what vet looks for. Nothing is
// compiled for those systems, and of what comes from outside the module only declarations are read, so that it takes seconds where
// "GOOS=… go vet" takes minutes. Printf and lostcancel are left out, which learn from those bodies; vet has them on this system.
//
//	elsewhere -in DIR windows darwin
package main

import (
	"flag"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"strings"

	"golang.org/x/tools/go/analysis"
	"golang.org/x/tools/go/analysis/checker"
	"golang.org/x/tools/go/analysis/passes/appends"
	"golang.org/x/tools/go/analysis/passes/assign"
	"golang.org/x/tools/go/analysis/passes/atomic"
	"golang.org/x/tools/go/analysis/passes/bools"
	"golang.org/x/tools/go/analysis/passes/buildtag"
	"golang.org/x/tools/go/analysis/passes/composite"
	"golang.org/x/tools/go/analysis/passes/copylock"
	"golang.org/x/tools/go/analysis/passes/defers"
	"golang.org/x/tools/go/analysis/passes/directive"
	"golang.org/x/tools/go/analysis/passes/errorsas"
	"golang.org/x/tools/go/analysis/passes/hostport"
	"golang.org/x/tools/go/analysis/passes/httpresponse"
	"golang.org/x/tools/go/analysis/passes/ifaceassert"
	"golang.org/x/tools/go/analysis/passes/loopclosure"
	"golang.org/x/tools/go/analysis/passes/nilfunc"
	"golang.org/x/tools/go/analysis/passes/shift"
	"golang.org/x/tools/go/analysis/passes/sigchanyzer"
	"golang.org/x/tools/go/analysis/passes/slog"
	"golang.org/x/tools/go/analysis/passes/stdmethods"
	"golang.org/x/tools/go/analysis/passes/stdversion"
	"golang.org/x/tools/go/analysis/passes/stringintconv"
	"golang.org/x/tools/go/analysis/passes/structtag"
	"golang.org/x/tools/go/analysis/passes/testinggoroutine"
	"golang.org/x/tools/go/analysis/passes/tests"
	"golang.org/x/tools/go/analysis/passes/timeformat"
	"golang.org/x/tools/go/analysis/passes/unmarshal"
	"golang.org/x/tools/go/analysis/passes/unreachable"
	"golang.org/x/tools/go/analysis/passes/unsafeptr"
	"golang.org/x/tools/go/analysis/passes/unusedresult"
	"golang.org/x/tools/go/analysis/passes/waitgroup"
	"golang.org/x/tools/go/packages"
)

// looks are vet's, but those that need to know the bodies of what is imported, and those of assembly, which kernel/ has for one
// processor only.
var looks = []*analysis.Analyzer{
	appends.Analyzer, assign.Analyzer, atomic.Analyzer, bools.Analyzer, buildtag.Analyzer, composite.Analyzer, copylock.Analyzer,
	defers.Analyzer, directive.Analyzer, errorsas.Analyzer, hostport.Analyzer, httpresponse.Analyzer, ifaceassert.Analyzer,
	loopclosure.Analyzer, nilfunc.Analyzer, shift.Analyzer, sigchanyzer.Analyzer, slog.Analyzer, stdmethods.Analyzer,
	stdversion.Analyzer, stringintconv.Analyzer, structtag.Analyzer, testinggoroutine.Analyzer, tests.Analyzer, timeformat.Analyzer,
	unmarshal.Analyzer, unreachable.Analyzer, unsafeptr.Analyzer, unusedresult.Analyzer, waitgroup.Analyzer,
}

func main() {
	dir := flag.String("in", ".", "the module's folder")
	flag.Parse()
	root, err := filepath.Abs(*dir)
	if err != nil {
		fmt.Fprintln(os.Stderr, "error:", err)
		os.Exit(1)
	}
	if flag.NArg() == 0 {
		fmt.Fprintln(os.Stderr, "error: no system is named\n  fix: elsewhere windows darwin")
		os.Exit(1)
	}
	told := map[string]bool{} // a package and its tests are looked at together and apart
	for _, system := range flag.Args() {
		found, err := check(root, system)
		if err != nil {
			fmt.Fprintln(os.Stderr, "error:", err)
			os.Exit(1)
		}
		for _, f := range found {
			if line := fmt.Sprintf("error: on %s: %s", system, f); !told[line] {
				told[line] = true
				fmt.Fprintln(os.Stderr, line)
			}
		}
	}
	if len(told) > 0 {
		os.Exit(1)
	}
}

// check loads the module as a system sees it, and tells what is wrong.
func check(root, system string) (found []string, err error) {
	all, err := packages.Load(&packages.Config{
		Mode:      packages.LoadAllSyntax | packages.NeedModule,
		Dir:       root,
		Env:       append(os.Environ(), "GOOS="+system, "CGO_ENABLED=0"),
		Tests:     true,
		ParseFile: func(at *token.FileSet, name string, src []byte) (*ast.File, error) { return parse(root, at, name, src) },
	}, "./...")
	if err != nil {
		return nil, err
	}
	if len(all) == 0 {
		return nil, fmt.Errorf("%s holds no packages", root)
	}
	var sound []*packages.Package
	for _, p := range all {
		if strings.HasSuffix(p.ID, ".test") {
			continue // what runs the tests is made by go
		}
		for _, e := range p.Errors {
			found = append(found, e.Error())
		}
		if p.IllTyped = len(p.Errors) > 0; !p.IllTyped { // what is imported lacks bodies, and does not use its own imports
			sound = append(sound, p)
		}
	}
	looked, err := checker.Analyze(looks, sound, nil)
	if err != nil {
		return nil, err
	}
	for _, a := range looked.Roots {
		if a.Err != nil {
			found = append(found, fmt.Sprintf("%s: %v", a, a.Err))
		}
		for _, d := range a.Diagnostics {
			found = append(found, fmt.Sprintf("%s: %s", a.Package.Fset.Position(d.Pos), d.Message))
		}
	}
	return found, nil
}

// parse reads a file, and of one that is not of this module the declarations only.
func parse(root string, at *token.FileSet, name string, src []byte) (*ast.File, error) {
	if strings.HasPrefix(name, root+string(filepath.Separator)) {
		return parser.ParseFile(at, name, src, parser.ParseComments|parser.SkipObjectResolution)
	}
	f, err := parser.ParseFile(at, name, src, parser.SkipObjectResolution)
	if f == nil {
		return nil, err
	}
	for _, d := range f.Decls {
		if fn, ok := d.(*ast.FuncDecl); ok && fn.Body != nil {
			fn.Body = &ast.BlockStmt{Lbrace: fn.Body.Lbrace, Rbrace: fn.Body.Rbrace}
		}
	}
	return f, err
}
