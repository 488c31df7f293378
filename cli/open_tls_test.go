package cli

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"math/big"
	"net"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// certified writes a key and a certificate for a name that is nobody's, and returns the files and who trusts them.
func certified(t *testing.T) (certificate, private string, trusting *x509.CertPool) {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	form := &x509.Certificate{
		SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "bench.example"},
		NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
		DNSNames: []string{"bench.example"}, IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)},
	}
	der, err := x509.CreateCertificate(rand.Reader, form, form, &key.PublicKey, key)
	if err != nil {
		t.Fatal(err)
	}
	raw, err := x509.MarshalECPrivateKey(key)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	certificate, private = filepath.Join(dir, "certificate.pem"), filepath.Join(dir, "private.pem")
	write(t, certificate, string(pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: der})))
	write(t, private, string(pem.EncodeToMemory(&pem.Block{Type: "EC PRIVATE KEY", Bytes: raw})))
	trusting = x509.NewCertPool()
	parsed, err := x509.ParseCertificate(der)
	if err != nil {
		t.Fatal(err)
	}
	trusting.AddCert(parsed)
	return certificate, private, trusting
}

func TestBeyondThisMachineAllIsEncryptedAndTheKeyIsTheUsersOwn(t *testing.T) {
	certificate, private, trusting := certified(t)
	own := filepath.Join(t.TempDir(), "key")
	write(t, own, "a-key-drawn-by-chance-0123456789\n")
	link, stop := opening(t, openedBench(t), "--listen", "0.0.0.0", "--key", own, "--certificate", certificate, "--private-key", private)
	at, err := url.Parse(link)
	if err != nil || at.Scheme != "https" || at.Query().Get("key") != "a-key-drawn-by-chance-0123456789" {
		t.Fatalf("the link is %s, %v", link, err)
	}
	machine, err := os.Hostname()
	if err != nil {
		t.Fatal(err)
	}
	if !strings.EqualFold(at.Hostname(), machine) {
		t.Errorf("the link names %s", at.Hostname())
	}
	local := net.JoinHostPort("127.0.0.1", at.Port())
	status := func(scheme, host string, most uint16) (int, []*http.Cookie) {
		transport := &http.Transport{TLSClientConfig: &tls.Config{RootCAs: trusting, ServerName: "bench.example", MaxVersion: most}}
		defer transport.CloseIdleConnections()
		client := &http.Client{Transport: transport, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
		r, err := http.NewRequest(http.MethodGet, scheme+"://"+local+"/?key="+at.Query().Get("key"), nil)
		if err != nil {
			t.Fatal(err)
		}
		r.Host = host
		got, err := client.Do(r)
		if err != nil {
			return 0, nil
		}
		defer got.Body.Close()
		return got.StatusCode, got.Cookies()
	}
	code, cookies := status("https", at.Host, 0)
	if code != http.StatusSeeOther || len(cookies) != 1 || !cookies[0].Secure || !cookies[0].HttpOnly || cookies[0].SameSite != http.SameSiteStrictMode {
		t.Errorf("by the link: %d, cookies %v", code, cookies)
	}
	if code, cookies := status("http", at.Host, 0); code != http.StatusBadRequest || len(cookies) != 0 {
		t.Errorf("without encryption: %d, cookies %v", code, cookies)
	}
	if code, _ := status("https", at.Host, tls.VersionTLS11); code != 0 {
		t.Errorf("by an encryption that is out of use: %d", code)
	}
	if code, cookies := status("https", "rebound.example:"+at.Port(), 0); code != http.StatusMisdirectedRequest || len(cookies) != 0 {
		t.Errorf("by another name: %d, cookies %v", code, cookies)
	}
	if code := stop(); code != ExitDone {
		t.Errorf("it ends with %d", code)
	}
}

// The link of yesterday opens nothing today.
func TestALinkLetsInAsLongAsTheProgramRuns(t *testing.T) {
	dir := openedBench(t)
	before, stop := opening(t, dir)
	if code := stop(); code != ExitDone {
		t.Fatalf("it ends with %d", code)
	}
	now, stop := opening(t, dir)
	defer stop()
	old, err := url.Parse(before)
	if err != nil {
		t.Fatal(err)
	}
	at, err := url.Parse(now)
	if err != nil {
		t.Fatal(err)
	}
	if old.Query().Get("key") == at.Query().Get("key") || len(at.Query().Get("key")) < 40 {
		t.Errorf("the keys are %s and %s", old.Query().Get("key"), at.Query().Get("key"))
	}
	at.RawQuery = old.RawQuery
	got, err := http.Get(at.String())
	if err != nil {
		t.Fatal(err)
	}
	defer got.Body.Close()
	if got.StatusCode != http.StatusForbidden || len(got.Cookies()) != 0 {
		t.Errorf("with the link of before: %d, cookies %v", got.StatusCode, got.Cookies())
	}
}
