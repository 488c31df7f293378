package web

import (
	"errors"
	"net/http"
	"path"
	"time"

	"emberbank/binder"
)

// documentTypes are the kinds of files of a dossier that are read as they are.
var documentTypes = map[string]string{".html": "text/html; charset=utf-8", ".pdf": "application/pdf"}

// documentPolicy shuts in a document of the dossier: it has its own look and typefaces, runs nothing, sends nothing, and may be framed by
// the page, which prints it.
const documentPolicy = "default-src 'none'; style-src 'unsafe-inline'; font-src data:; img-src data:; base-uri 'none'; form-action 'none'; sandbox allow-same-origin allow-modals; frame-ancestors 'self'"

// sheetsPolicy is that of pages: what shows them is a part of the browser, which a policy for documents would break.
const sheetsPolicy = "frame-ancestors 'none'"

// mayList tells whether a name is one of a document of the dossier, or of another file of results that may be shown.
func mayList(name string) bool { return isDocument(name) || mayShow(name) }

// isDocument tells whether a name is one of a document of the dossier. No other file of results is shown as a page of this server.
func isDocument(name string) bool {
	return isPlain(name) && path.Dir(name) == binder.Folder && documentTypes[path.Ext(name)] != ""
}

// shown serves files of the bench under the names that they have in it, so that the links of a document lead on: its documents,
// results, and the bench's own files as text.
func (d *Desk) shown(w http.ResponseWriter, r *http.Request) {
	name := r.PathValue("name")
	kind, policy := "text/plain; charset=utf-8", resultPolicy
	switch {
	case isDocument(name):
		kind, policy = documentTypes[path.Ext(name)], documentPolicy
		if path.Ext(name) == ".pdf" {
			policy = sheetsPolicy
		}
	case mayShow(name):
		kind = resultTypes[path.Ext(name)]
	case !mayOpen(name):
		http.Error(w, "no such file of the bench is shown here", http.StatusForbidden)
		return
	}
	f, st, err := d.openOrdinary(name)
	switch {
	case errors.Is(err, errIrregular):
		http.Error(w, "no such file of the bench is shown here", http.StatusForbidden)
		return
	case err != nil:
		http.Error(w, "there is no such file in the bench", http.StatusNotFound)
		return
	}
	defer f.Close()
	if st.Size() > largestResult {
		http.Error(w, errLargeResult.Error(), http.StatusRequestEntityTooLarge)
		return
	}
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Content-Security-Policy", policy)
	http.ServeContent(w, r, "", time.Time{}, f)
}
