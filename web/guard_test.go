package web

import (
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

// guarded is a server at 127.0.0.1:8123 with the key "right", behind which everything answers "in".
func guarded() *guard {
	in := http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { _, _ = w.Write([]byte("in")) })
	return newGuard(&net.TCPAddr{IP: net.IPv4(127, 0, 0, 1), Port: 8123}, "right", false, nil, in)
}

// asked is a request as a browser or a script sends it.
func asked(method, target, host string, headers ...string) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, "http://"+host+target, nil)
	r.Host = host
	for i := 0; i+1 < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	w := httptest.NewRecorder()
	guarded().ServeHTTP(w, r)
	return w
}

const (
	here   = "127.0.0.1:8123"
	cookie = "emberbank-8123=right"
)

func TestTheGuardLetsInItsUserAlone(t *testing.T) {
	for _, c := range []struct {
		name    string
		method  string
		target  string
		host    string
		headers []string
		want    int
	}{
		{"the page with its cookie", "GET", "/", here, []string{"Cookie", cookie, "Sec-Fetch-Site", "same-origin"}, 200},
		{"by the other name of loopback", "GET", "/", "localhost:8123", []string{"Cookie", cookie}, 200},
		{"a script with the key", "POST", "/api/run/again", here, []string{"Authorization", "Bearer right"}, 200},
		{"the page changes something", "POST", "/api/run/again", here, []string{"Cookie", cookie, "Origin", "http://" + here, "Sec-Fetch-Site", "same-origin"}, 200},

		{"nobody's key", "GET", "/api/bench", here, nil, 401},
		{"a wrong cookie", "GET", "/api/bench", here, []string{"Cookie", "emberbank-8123=wrong"}, 401},
		{"the cookie of another port", "GET", "/api/bench", here, []string{"Cookie", "emberbank-8124=right"}, 401},
		{"a wrong bearer", "GET", "/api/bench", here, []string{"Authorization", "Bearer wrong"}, 401},
		{"part of the key", "GET", "/api/bench", here, []string{"Authorization", "Bearer righ"}, 401},
		{"a name that was pointed here", "GET", "/api/bench", "rebound.example:8123", []string{"Cookie", cookie}, 421},
		{"the right host, another port", "GET", "/api/bench", "127.0.0.1:80", []string{"Cookie", cookie}, 421},
		{"no host", "GET", "/api/bench", "", []string{"Cookie", cookie}, 421},
		{"a form on another site", "POST", "/api/run/again", here, []string{"Cookie", cookie, "Origin", "http://other.example"}, 403},
		{"a form on another port of this machine", "POST", "/api/run/again", here, []string{"Cookie", cookie, "Origin", "http://127.0.0.1:9999"}, 403},
		{"an origin that is hidden", "POST", "/api/run/again", here, []string{"Cookie", cookie, "Origin", "null"}, 403},
		{"a cookie and no origin may not change anything", "POST", "/api/run/again", here, []string{"Cookie", cookie}, 403},
		{"another site reads", "GET", "/api/bench", here, []string{"Cookie", cookie, "Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "no-cors"}, 403},
		{"another port of this machine reads", "GET", "/api/bench", here, []string{"Cookie", cookie, "Sec-Fetch-Site", "same-site", "Sec-Fetch-Mode", "cors"}, 403},
		{"another site frames the page", "GET", "/", here, []string{"Cookie", cookie, "Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "navigate", "Sec-Fetch-Dest", "iframe"}, 403},
		{"another site leads into the interface", "GET", "/api/bench", here, []string{"Cookie", cookie, "Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "navigate", "Sec-Fetch-Dest", "document"}, 403},
		{"a link to the page from elsewhere", "GET", "/", here, []string{"Cookie", cookie, "Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "navigate", "Sec-Fetch-Dest", "document"}, 200},
		{"a wrong key in the link", "GET", "/?key=wrong", here, nil, 403},
		{"the key in a form", "POST", "/?key=right", here, []string{"Authorization", "Bearer right"}, 403},
	} {
		w := asked(c.method, c.target, c.host, c.headers...)
		if w.Code != c.want {
			t.Errorf("%s: %d, want %d (%s)", c.name, w.Code, c.want, strings.TrimSpace(w.Body.String()))
		}
		if (w.Code == 200) != (w.Body.String() == "in") {
			t.Errorf("%s: %d with %q", c.name, w.Code, w.Body)
		}
		for _, h := range []string{"Content-Security-Policy", "X-Content-Type-Options", "Referrer-Policy", "Cross-Origin-Resource-Policy"} {
			if w.Header().Get(h) == "" {
				t.Errorf("%s: no %s", c.name, h)
			}
		}
	}
}

func TestTheLinkBecomesACookieAndLeavesTheAddress(t *testing.T) {
	w := asked("GET", "/will?run=a.yaml&key=right", here)
	if w.Code != http.StatusSeeOther || w.Header().Get("Location") != "/will?run=a.yaml" {
		t.Errorf("%d to %q", w.Code, w.Header().Get("Location"))
	}
	c := w.Result().Cookies()
	if len(c) != 1 || c[0].Name+"="+c[0].Value != cookie || !c[0].HttpOnly || c[0].SameSite != http.SameSiteStrictMode {
		t.Errorf("the cookie is %+v", c)
	}
	// No address of another site may be made of it.
	for _, target := range []string{"//other.example/?key=right", `/\other.example/?key=right`} {
		if to := asked("GET", target, here).Header().Get("Location"); strings.HasPrefix(to, "//") || strings.HasPrefix(to, `/\`) {
			t.Errorf("%s leads to %s", target, to)
		}
	}
}

func TestThePageMayRunNoScriptButItsOwn(t *testing.T) {
	policy := asked("GET", "/", here).Header().Get("Content-Security-Policy")
	for _, part := range []string{"default-src 'none'", "script-src 'self'", "frame-ancestors 'none'", "base-uri 'none'", "form-action 'none'"} {
		if !strings.Contains(policy, part) {
			t.Errorf("the policy lacks %q: %s", part, policy)
		}
	}
	if strings.Contains(policy, "unsafe") {
		t.Errorf("the policy is loosened: %s", policy)
	}
}
