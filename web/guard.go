package web

import (
	"crypto/rand"
	"crypto/subtle"
	"encoding/base64"
	"net"
	"net/http"
	"net/url"
	"strings"
)

// guard lets in only what comes from the user who started the server, by the page that this server gave him.
//
// Any page in the same browser may send requests to a loopback address, and any program on the machine may. So:
//
//   - the Host must be one under which the server was started, or a name that somebody else made point here could be
//     used to read answers (a rebound name);
//   - an Origin, where the browser states one, must be the server's own, and what changes anything must state it;
//   - a key is asked for: in the link that the program prints, then in a cookie that other sites cannot send, or as a
//     bearer token from a script;
//   - answers may not be framed, sniffed, or read by another origin, and the page may run no script but its own; it alone may frame
//     documents that are handed over, which run none.
type guard struct {
	hosts   map[string]bool // as in the header, in small letters
	origins map[string]bool
	key     string
	cookie  string // its name holds the port: browsers share cookies over ports
	secure  bool   // behind TLS
	next    http.Handler
}

// newKey draws a key that cannot be guessed: 256 bits.
func newKey() string {
	raw := make([]byte, 32)
	_, _ = rand.Read(raw) // it never fails; the program would have ended
	return base64.RawURLEncoding.EncodeToString(raw)
}

// newGuard guards a server that listens at addr; names are further hosts under which it may be asked.
func newGuard(addr net.Addr, key string, secure bool, names []string, next http.Handler) *guard {
	host, port, err := net.SplitHostPort(addr.String())
	if err != nil {
		host, port = addr.String(), ""
	}
	g := &guard{hosts: map[string]bool{}, origins: map[string]bool{}, key: key, cookie: "emberbank-" + port, secure: secure, next: next}
	scheme := "http://"
	if secure {
		scheme = "https://"
	}
	all := append([]string{host}, names...)
	if ip := net.ParseIP(host); ip != nil && ip.IsLoopback() {
		all = append(all, "127.0.0.1", "localhost", "::1")
	}
	for _, h := range all {
		h = strings.ToLower(net.JoinHostPort(h, port))
		g.hosts[h], g.origins[scheme+h] = true, true
	}
	return g
}

// contentPolicy lets the page load from this server alone and run no inline script.
const contentPolicy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; font-src 'self'; connect-src 'self'; frame-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

func (g *guard) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	h.Set("Content-Security-Policy", contentPolicy)
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Cache-Control", "no-store")
	switch {
	case !g.hosts[strings.ToLower(r.Host)]:
		refuse(w, r, http.StatusMisdirectedRequest, "this server does not go by that name; open the link that the program printed")
	case !g.ownOrigin(r):
		refuse(w, r, http.StatusForbidden, "the request comes from another site")
	case r.URL.Query().Has("key"):
		g.enter(w, r)
	case !g.known(r):
		refuse(w, r, http.StatusUnauthorized, "open the link that the program printed when it started: it holds the key")
	default:
		inTime(w, r)
		g.next.ServeHTTP(w, r)
	}
}

// ownOrigin is false where a browser says that another site is behind the request. A script states neither header and
// is let through, since it must show the key itself; a cookie is then not enough to change anything.
func (g *guard) ownOrigin(r *http.Request) bool {
	if site := r.Header.Get("Sec-Fetch-Site"); site != "" && site != "same-origin" && site != "none" {
		// A link from elsewhere may open the page, no more.
		if r.Method != http.MethodGet || r.Header.Get("Sec-Fetch-Mode") != "navigate" || r.Header.Get("Sec-Fetch-Dest") != "document" || r.URL.Path != "/" {
			return false
		}
	}
	switch origin := r.Header.Get("Origin"); {
	case origin != "":
		return g.origins[strings.ToLower(origin)]
	case r.Method == http.MethodGet || r.Method == http.MethodHead:
		return true
	}
	return g.bearer(r)
}

// enter takes the key from the link into a cookie and leads on to the same address without it.
func (g *guard) enter(w http.ResponseWriter, r *http.Request) {
	if r.Method != http.MethodGet || !g.is(r.URL.Query().Get("key")) {
		refuse(w, r, http.StatusForbidden, "that is not the key; open the link that the program printed when it started this time")
		return
	}
	http.SetCookie(w, &http.Cookie{Name: g.cookie, Value: g.key, Path: "/", HttpOnly: true, Secure: g.secure, SameSite: http.SameSiteStrictMode})
	q := r.URL.Query()
	q.Del("key")
	to := url.URL{Path: "/" + strings.TrimLeft(r.URL.Path, "/\\"), RawQuery: q.Encode()}
	http.Redirect(w, r, to.String(), http.StatusSeeOther)
}

func (g *guard) known(r *http.Request) bool {
	if c, err := r.Cookie(g.cookie); err == nil && g.is(c.Value) {
		return true
	}
	return g.bearer(r)
}

func (g *guard) bearer(r *http.Request) bool {
	key, ok := strings.CutPrefix(r.Header.Get("Authorization"), "Bearer ")
	return ok && g.is(key)
}

// is compares in a time that does not tell how much of the key is right.
func (g *guard) is(key string) bool {
	return subtle.ConstantTimeCompare([]byte(key), []byte(g.key)) == 1
}
