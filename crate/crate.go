// Package crate describes a bench and its results for archives and other people's tools: as an RO-Crate, the open standard for a
// folder of research data whose metadata lie beside the data, and as a citation file. It reads no file and writes none: it is told
// which files there are, and answers with texts.
//
// Followed is RO-Crate 1.2 (researchobject.org, 2025): the metadata are JSON-LD in ro-crate-metadata.json with terms of schema.org, one
// entity for each file and folder, and one action for each result, which says by which command of which version it was made from
// which inputs. The citation file follows the Citation File Format 1.2.0.
package crate

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/url"
	"path"
	"slices"
	"strconv"
	"strings"

	"emberbank/shelf"
)

// Names of the files that stand at the top of a crate.
const (
	MetadataName = "ro-crate-metadata.json"
	CitationName = "CITATION.cff"
)

// About is what its owner says of a bench.
type About struct {
	Name    string
	Says    string // one or two sentences
	Licence string // an SPDX identifier such as "CC-BY-4.0", or an address
	Date    string // of publication, as 2026-11-28
	Authors []Author
}

// Author is a person, if there is a given name, or an organisation.
type Author struct {
	Name        string // the family name of a person
	Given       string
	ORCID       string // as 0000-0002-1825-0097; empty: none
	Affiliation string // the name of an organisation; empty: none
}

// Full is the name in one.
func (a *Author) Full() string { return strings.TrimSpace(a.Given + " " + a.Name) }

// File is a file of the crate.
type File struct {
	Path   string // relative to the crate, with forward slashes
	Size   int64  // bytes
	SHA256 string // hexadecimal
}

// Lacks lists what a crate needs and About does not say, by the keys of bench.yaml. An RO-Crate's root needs name, description,
// date and licence (RO-Crate 1.2, "Root Data Entity"), a citation file authors and a title (Citation File Format 1.2.0).
func (a *About) Lacks() (keys []string) {
	for _, one := range []struct{ key, says string }{{"name", a.Name}, {"question", a.Says}, {"licence", a.Licence}, {"date", a.Date}} {
		if one.says == "" {
			keys = append(keys, one.key)
		}
	}
	if len(a.Authors) == 0 {
		keys = append(keys, "authors")
	}
	return keys
}

// entity is one thing of the crate; keys are printed in the order of their names.
type entity map[string]any

// to refers to an entity.
func to(id string) entity { return entity{"@id": id} }

// Metadata is the text of ro-crate-metadata.json. Files are those of the crate but this one; version is the program's. The same
// arguments give the same bytes.
func Metadata(about About, files []File, kept []shelf.Kept, version string) ([]byte, error) {
	m := &metadata{files: map[string]File{}, version: version}
	for _, f := range files {
		m.files[f.Path] = f
	}
	root := entity{
		"@id": "./", "@type": "Dataset", "name": about.Name, "description": about.Says, "datePublished": about.Date,
		"license": to(licence(about.Licence)),
	}
	m.add(entity{
		"@id": MetadataName, "@type": "CreativeWork", "about": to("./"), "conformsTo": to("https://w3id.org/ro/crate/1.2"),
	}, root, entity{"@id": licence(about.Licence), "@type": "CreativeWork", "name": about.Licence})
	root["author"] = m.authors(about.Authors)
	held := map[string]bool{}
	var parts, actions []entity
	for _, k := range kept {
		if k.Folder == "" {
			continue
		}
		folder, action := m.result(&k, held)
		parts, actions = append(parts, to(folder)), append(actions, to(action))
	}
	for _, f := range files {
		if !held[f.Path] {
			parts = append(parts, to(identifier(f.Path)))
		}
		m.add(m.file(f))
	}
	root["hasPart"], root["mentions"] = parts, actions
	m.add(entity{"@id": programID(version), "@type": "SoftwareApplication", "name": "Emberbank", "softwareVersion": version})
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	err := e.Encode(entity{"@context": "https://w3id.org/ro/crate/1.2/context", "@graph": m.graph})
	return b.Bytes(), err
}

// metadata gathers entities, each once.
type metadata struct {
	files   map[string]File
	graph   []entity
	version string
	known   []string // programs of other versions
}

func (m *metadata) add(all ...entity) { m.graph = append(m.graph, all...) }

// result adds a folder of results, and the action that made it; held takes the files that the folder holds.
func (m *metadata) result(k *shelf.Kept, held map[string]bool) (folder, action string) {
	folder = identifier(k.Folder) + "/"
	var parts []entity
	for _, name := range append(slices.Clone(k.Files), shelf.ManifestName) {
		at := path.Join(k.Folder, name)
		if _, there := m.files[at]; there && !held[at] {
			held[at] = true
			parts = append(parts, to(identifier(at)))
		}
	}
	title := k.Title
	if title == "" {
		title = k.Name()
	}
	m.add(entity{"@id": folder, "@type": "Dataset", "name": title, "description": "results of kind " + k.Kind, "hasPart": parts})
	action = "#made-" + identifier(k.Folder)
	a := entity{
		"@id": action, "@type": "CreateAction", "name": k.Renew, "instrument": to(m.program(k.Version)), "result": []entity{to(folder)},
	}
	var objects []entity
	for _, in := range k.Inputs {
		if _, there := m.files[in.Name]; there {
			objects = append(objects, to(identifier(in.Name)))
		}
	}
	if len(objects) > 0 {
		a["object"] = objects
	}
	if len(k.Changed) > 0 {
		a["description"] = "older than what it was made from: " + strings.Join(k.Changed, ", ") + " changed since"
	}
	m.add(a)
	return folder, action
}

// program is the identifier of a version of the program; one other than that which makes the crate is added at its first mention.
func (m *metadata) program(version string) string {
	if version != m.version && !slices.Contains(m.known, version) {
		m.known = append(m.known, version)
		m.add(entity{"@id": programID(version), "@type": "SoftwareApplication", "name": "Emberbank", "softwareVersion": version})
	}
	return programID(version)
}

func programID(version string) string { return "#emberbank-" + url.PathEscape(version) }

func (m *metadata) file(f File) entity {
	return entity{
		"@id": identifier(f.Path), "@type": "File", "name": path.Base(f.Path), "contentSize": strconv.FormatInt(f.Size, 10),
		"sha256": f.SHA256, "encodingFormat": format(f.Path),
	}
}

// authors adds people and organisations, and returns references to the authors among them.
func (m *metadata) authors(all []Author) (refs []entity) {
	for i, a := range all {
		id := "#author-" + strconv.Itoa(i+1)
		if a.ORCID != "" {
			id = "https://orcid.org/" + a.ORCID
		}
		refs = append(refs, to(id))
		if slices.ContainsFunc(all[:i], func(o Author) bool { return a.ORCID != "" && o.ORCID == a.ORCID }) {
			continue // named twice: one person
		}
		one := entity{"@id": id, "@type": "Organization", "name": a.Full()}
		if a.Given != "" {
			one["@type"], one["givenName"], one["familyName"] = "Person", a.Given, a.Name
		}
		if a.Affiliation != "" {
			at := "#affiliation-" + strconv.Itoa(i+1)
			one["affiliation"] = to(at)
			m.add(entity{"@id": at, "@type": "Organization", "name": a.Affiliation})
		}
		m.add(one)
	}
	return refs
}

// identifier is a path as an entity names it: each part escaped as in an address (RFC 3986).
func identifier(name string) string {
	parts := strings.Split(name, "/")
	for i, p := range parts {
		parts[i] = url.PathEscape(p)
	}
	return strings.Join(parts, "/")
}

// licence is an address: that of SPDX's list where an identifier is given.
func licence(says string) string {
	if strings.Contains(says, "://") {
		return says
	}
	return "https://spdx.org/licenses/" + url.PathEscape(says)
}

// formats are media types by a name's ending: those registered with IANA, from memory.
var formats = map[string]string{
	".csv": "text/csv", ".json": "application/json", ".svg": "image/svg+xml", ".vtr": "application/xml", ".txt": "text/plain", ".md": "text/markdown",
	".yaml": "application/yaml", ".yml": "application/yaml", ".parquet": "application/vnd.apache.parquet", ".pdf": "application/pdf", ".html": "text/html",
	".xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", ".png": "image/png", ".gif": "image/gif", ".cff": "application/yaml",
}

func format(name string) string {
	if f := formats[strings.ToLower(path.Ext(name))]; f != "" {
		return f
	}
	return "application/octet-stream"
}

// Citation is the text of CITATION.cff (Citation File Format 1.2.0, a YAML file).
func Citation(about About, version string) []byte {
	var b bytes.Buffer
	say := func(key, value string) { fmt.Fprintf(&b, "%s: %s\n", key, quoted(value)) }
	say("cff-version", "1.2.0")
	say("message", "Cite these data with the names below.")
	say("type", "dataset")
	say("title", about.Name)
	say("abstract", about.Says)
	say("date-released", about.Date)
	if strings.Contains(about.Licence, "://") {
		say("license-url", about.Licence)
	} else {
		say("license", about.Licence)
	}
	b.WriteString("authors:\n")
	for _, a := range about.Authors {
		first := true
		add := func(key, value string) {
			if value == "" {
				return
			}
			lead := "    "
			if first {
				lead, first = "  - ", false
			}
			fmt.Fprintf(&b, "%s%s: %s\n", lead, key, quoted(value))
		}
		if a.Given == "" {
			add("name", a.Name)
		} else {
			add("family-names", a.Name)
			add("given-names", a.Given)
			add("affiliation", a.Affiliation)
		}
		if a.ORCID != "" {
			add("orcid", "https://orcid.org/"+a.ORCID)
		}
	}
	b.WriteString("references:\n  - type: software\n    title: Emberbank\n    authors:\n      - name: Emberbank\n")
	fmt.Fprintf(&b, "    version: %s\n", quoted(version))
	return b.Bytes()
}

// quoted is a text as YAML reads it back, whatever it holds: as in JSON, with what YAML does not print escaped besides (YAML 1.2.2,
// rule c-printable).
func quoted(s string) string {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if e.Encode(s) != nil {
		return `""`
	}
	var out strings.Builder
	for _, c := range strings.TrimSuffix(b.String(), "\n") {
		if c >= 0x7f && c <= 0x9f || c == 0xfeff || c == 0xfffe || c == 0xffff {
			fmt.Fprintf(&out, `\u%04x`, c)
			continue
		}
		out.WriteRune(c)
	}
	return out.String()
}
