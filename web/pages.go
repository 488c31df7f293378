package web

import (
	"embed"
	"io/fs"
	"net/http"
	"strings"
)

// bundle is the page, made by `make` from the folder page.
//
//go:embed all:bundle
var bundle embed.FS

// pages serves the page. Every address that is no file of it is a view of the page, which finds out which by itself.
func pages() http.Handler {
	files, err := fs.Sub(bundle, "bundle")
	if err != nil {
		panic(err) // the name above is wrong
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Method != http.MethodGet && r.Method != http.MethodHead {
			http.Error(w, "the page is only read", http.StatusMethodNotAllowed)
			return
		}
		name := strings.TrimPrefix(r.URL.Path, "/")
		if name == "" {
			name = "index.html"
		}
		if st, err := fs.Stat(files, name); err != nil || st.IsDir() {
			if strings.Contains(name, ".") {
				http.NotFound(w, r)
				return
			}
			name = "index.html"
		}
		if _, err := fs.Stat(files, name); err != nil {
			http.Error(w, "this program was built without its page: build it by make", http.StatusNotFound)
			return
		}
		http.ServeFileFS(w, r, files, name)
	})
}
