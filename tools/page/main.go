// Page bundles the page's TypeScript and styles from the folder page into the folder that the program embeds, and lays the faces
// of documents into another. It is run from the project's root:
//
//	build/tools/page -from page -into web/bundle -faces paper/faces
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
	faces := flag.String("faces", "paper/faces", "folder of the faces of documents, which the program embeds")
	flag.Parse()
	err := bundle(*from, *into)
	if err == nil {
		err = letters(filepath.Join(*from, "node_modules", "@fontsource"), *faces)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "error:", err)
		os.Exit(1)
	}
}

// bundle writes page.js, page.css, index.html, and the fonts with their licences.
func bundle(from, into string) error {
	r := api.Build(api.BuildOptions{
		EntryPoints: []string{filepath.Join(from, "src", "page.tsx")},
		Outdir:      into, Bundle: true, Write: true, Format: api.FormatESModule, Target: api.ES2022,
		MinifyWhitespace: true, MinifySyntax: true, MinifyIdentifiers: true,
		JSX: api.JSXAutomatic, JSXImportSource: "preact",
		LegalComments: api.LegalCommentsEndOfFile,
		Loader:        map[string]api.Loader{".woff2": api.LoaderFile}, AssetNames: "fonts/[name]",
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
	if err := os.WriteFile(filepath.Join(into, "index.html"), html, 0o666); err != nil {
		return err
	}
	return licences(filepath.Join(from, "node_modules", "@fontsource"), filepath.Join(into, "fonts"))
}

// licences lays the text of each font's licence beside the fonts.
func licences(from, into string) error {
	texts, err := filepath.Glob(filepath.Join(from, "*", "LICENSE"))
	if err != nil {
		return err
	}
	for _, at := range texts {
		raw, err := os.ReadFile(at)
		if err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(into, filepath.Base(filepath.Dir(at))+".txt"), raw, 0o666); err != nil {
			return err
		}
	}
	return nil
}

// letters lays the faces of documents into their folder, with their licences: those of the page, and beyond Latin what documents
// may hold, in the packing that the PDF can be set from, too.
func letters(from, into string) error {
	files := []string{"b612/files/b612-latin-400-normal.woff"}
	for _, script := range []string{"latin", "latin-ext", "greek", "cyrillic"} {
		for _, cut := range []string{"400-normal", "400-italic", "600-normal"} {
			files = append(files, "vollkorn/files/vollkorn-"+script+"-"+cut+".woff")
		}
	}
	for _, name := range files {
		raw, err := os.ReadFile(filepath.Join(from, filepath.FromSlash(name)))
		if err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(into, filepath.Base(name)), raw, 0o666); err != nil {
			return err
		}
	}
	return licences(from, into)
}
