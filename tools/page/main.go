// Page bundles the page's TypeScript and styles from the folder page into the folder that the program embeds. It is run
// from the project's root:
//
//	build/tools/page -from page -into web/bundle
package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"

	"github.com/evanw/esbuild/pkg/api"
)

func main() {
	from := flag.String("from", "page", "folder of the page's sources")
	into := flag.String("into", "web/bundle", "folder that the program embeds")
	flag.Parse()
	if err := bundle(*from, *into); err != nil {
		fmt.Fprintln(os.Stderr, "error:", err)
		os.Exit(1)
	}
}

// bundle writes page.js, page.css and index.html.
func bundle(from, into string) error {
	r := api.Build(api.BuildOptions{
		EntryPoints: []string{filepath.Join(from, "src", "page.tsx")},
		Outdir:      into, Bundle: true, Write: true, Format: api.FormatESModule, Target: api.ES2022,
		MinifyWhitespace: true, MinifySyntax: true, MinifyIdentifiers: true,
		JSX: api.JSXAutomatic, JSXImportSource: "preact",
		LegalComments: api.LegalCommentsEndOfFile,
	})
	if len(r.Errors) > 0 {
		e := r.Errors[0]
		if e.Location != nil {
			return fmt.Errorf("%s:%d: %s", e.Location.File, e.Location.Line, e.Text)
		}
		return fmt.Errorf("%s", e.Text)
	}
	html, err := os.ReadFile(filepath.Join(from, "index.html"))
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(into, "index.html"), html, 0o666)
}
