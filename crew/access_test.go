package crew

import (
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/x509"
	"encoding/pem"
	"errors"
	"fmt"
	"math/big"
	"net"
	"strings"
	"testing"
	"time"

	"emberbank/farm"

	"github.com/nats-io/nats-server/v2/server"
	"pgregory.net/rapid"
)

// TestBeyondThisMachineOnlyEncryptedAndWithASecret asks without a server: who lacks one of the two is refused before.
func TestBeyondThisMachineOnlyEncryptedAndWithASecret(t *testing.T) {
	for _, one := range []struct {
		address, secret, why string
	}{
		{"nats://queue.example:4222", "a:b", "beyond this machine"},
		{"queue.example", "a:b", "beyond this machine"},
		{"nats://192.0.2.1:4222", "a:b", "beyond this machine"},
		{"nats://[2001:db8::1]:4222", "a:b", "beyond this machine"},
		{"tls://queue.example:4222", "", "with a secret only"},
		{"tls://queue.example:4222", " \n", "with a secret only"},
		{"nats://127.0.0.1:4222,nats://queue.example:4222", "a:b", "beyond this machine"},
		{"tls://a:b@queue.example:4222", "", "everybody on this machine"},
		{"https://queue.example", "a:b", "no address"},
		{"tls://", "a:b", "no address"},
		{"", "", "no address"},
		{"tls://127.0.0.1:1", "no colon", "neither name:password"},
		{"tls://127.0.0.1:1", "a:b\nc:d", "neither name:password"},
	} {
		_, err := Join(context.Background(), Access{Address: one.address, Secret: []byte(one.secret)})
		var refused *Refused
		if !errors.As(err, &refused) || !strings.Contains(refused.Why, one.why) || refused.Fix == "" {
			t.Errorf("%s with %q: %v", one.address, one.secret, err)
		}
	}
	for _, one := range []struct {
		address, secret, why string
	}{
		{"127.0.0.1:0", "", "with a secret only"},
		{"127.0.0.1:0", "word", "with a secret only"},
		{"0.0.0.0:0", "a:b", "nothing would be encrypted"},
		{":4222", "a:b", "nothing would be encrypted"},
		{"192.0.2.1:4222", "a:b", "nothing would be encrypted"},
		{"4222", "a:b", "no address to open"},
		{"127.0.0.1:x", "a:b", "no address to open"},
	} {
		_, err := Serve(context.Background(), t.TempDir(), &Opening{Address: one.address, Secret: []byte(one.secret)})
		var refused *Refused
		if !errors.As(err, &refused) || !strings.Contains(refused.Why, one.why) || refused.Fix == "" {
			t.Errorf("opening %s with %q: %v", one.address, one.secret, err)
		}
	}
	var away *Unreached
	if _, err := Join(context.Background(), Access{Address: "nats://127.0.0.1:1"}); !errors.As(err, &away) {
		t.Errorf("where nobody listens: %v", err)
	}
}

// certificate makes one that vouches for itself, for this machine's address.
func certificate(t *testing.T) (both, trust []byte) {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	c := &x509.Certificate{
		SerialNumber: big.NewInt(1), NotAfter: time.Now().Add(time.Hour), IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)},
		IsCA: true, BasicConstraintsValid: true, KeyUsage: x509.KeyUsageCertSign | x509.KeyUsageDigitalSignature,
	}
	raw, err := x509.CreateCertificate(rand.Reader, c, c, &key.PublicKey, key)
	if err != nil {
		t.Fatal(err)
	}
	secret, err := x509.MarshalPKCS8PrivateKey(key)
	if err != nil {
		t.Fatal(err)
	}
	trust = pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: raw})
	return append(pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: secret}), trust...), trust
}

// TestAnEncryptedQueueLetsInWhoKnowsTheSecretAndIsTrusted opens one to all addresses of the machine.
func TestAnEncryptedQueueLetsInWhoKnowsTheSecretAndIsTrusted(t *testing.T) {
	both, trust := certificate(t)
	_, stranger := certificate(t)
	l, err := Serve(context.Background(), t.TempDir(), &Opening{Address: "0.0.0.0:0", Secret: []byte("crew:word"), Certificate: both})
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	_, port, err := net.SplitHostPort(strings.TrimPrefix(l.Address(), "tls://"))
	if err != nil {
		t.Fatal(err)
	}
	address := "tls://127.0.0.1:" + port
	for _, one := range []struct {
		address, secret string
		trust           []byte
		why             string
	}{
		{address, "crew:another", trust, "does not accept the secret"},
		{address, "", trust, "does not accept the secret"},
		{address, "crew:word", nil, "not known here"},
		{address, "crew:word", stranger, "not known here"},
		{"tls://localhost:" + port, "crew:word", trust, "for another name"},
		{address, "crew:word", []byte("no certificate"), "holds no certificate"},
	} {
		_, err := Join(context.Background(), Access{Address: one.address, Secret: []byte(one.secret), Trust: one.trust})
		var refused *Refused
		if !errors.As(err, &refused) || !strings.Contains(refused.Why, one.why) {
			t.Errorf("%q: %v, want %s", one.secret, err, one.why)
		}
	}
	s := empty()
	q, j := offered1(t, l, s)
	joined(t, Access{Address: address, Secret: []byte("crew:word\n"), Trust: trust}, nil)
	same(t, worked(t, j), s)
	q.Close(true)
}

// elsewhere starts a server that is none of ours; options may be changed before.
func elsewhere(t *testing.T, o server.Options) *server.Server {
	t.Helper()
	o.Host, o.NoSigs, o.NoLog = "127.0.0.1", true, true
	if o.Port == 0 {
		o.Port = server.RANDOM_PORT
	}
	s, err := server.NewServer(&o)
	if err != nil {
		t.Fatal(err)
	}
	go s.Start()
	t.Cleanup(func() {
		s.Shutdown()
		s.WaitForShutdown()
	})
	if !s.ReadyForConnections(20 * time.Second) {
		t.Fatal("the server does not start")
	}
	return s
}

func TestAServerThatKeepsNoStreamsOrDoesNotEncryptIsRefused(t *testing.T) {
	s := elsewhere(t, server.Options{})
	for address, why := range map[string]string{s.ClientURL(): "keeps no streams", strings.Replace(s.ClientURL(), "nats", "tls", 1): "does not encrypt"} {
		_, err := Join(context.Background(), Access{Address: address})
		var refused *Refused
		if !errors.As(err, &refused) || !strings.Contains(refused.Why, why) {
			t.Errorf("%s: %v, want %s", address, err, why)
		}
	}
}

// TestACrewOnAClusterOutlivesOneServer runs three servers, and shuts one down in the middle.
func TestACrewOnAClusterOutlivesOneServer(t *testing.T) {
	var routes, addresses []string
	var ports []int
	for range 3 {
		l, err := net.Listen("tcp", "127.0.0.1:0")
		if err != nil {
			t.Fatal(err)
		}
		defer func() { _ = l.Close() }()
		ports = append(ports, l.Addr().(*net.TCPAddr).Port)
		routes = append(routes, fmt.Sprintf("nats://%s", l.Addr()))
		_ = l.Close()
	}
	var servers []*server.Server
	for i, port := range ports {
		s := elsewhere(t, server.Options{
			ServerName: fmt.Sprint("s", i), JetStream: true, StoreDir: t.TempDir(),
			Cluster: server.ClusterOpts{Name: "crew", Host: "127.0.0.1", Port: port}, Routes: server.RoutesFromStr(strings.Join(routes, ",")),
		})
		servers = append(servers, s)
		addresses = append(addresses, s.ClientURL())
	}
	a := Access{Address: strings.Join(addresses, ",")}
	var l *Link
	var err error
	for began := time.Now(); time.Since(began) < 3*time.Minute; time.Sleep(500 * time.Millisecond) { // they choose who leads
		if l, err = Join(context.Background(), a); err == nil {
			break
		}
	}
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	st, err := l.js.Stream(context.Background(), tasks)
	if err != nil || st.CachedInfo().Config.Replicas != copies {
		t.Fatalf("tasks are kept on %+v, %v", st, err)
	}
	s := empty()
	q, j := offered1(t, l, s)
	j.Progress = func(p farm.Progress) {
		if p.Done == 6 {
			go servers[0].Shutdown()
		}
	}
	joined(t, a, nil)
	same(t, worked(t, j), s)
	q.Close(true)
}

// TestParcelsReadBackAndTornOnesAreRefused: to the bit, and never a panic.
func TestParcelsReadBackAndTornOnesAreRefused(t *testing.T) {
	_, kept := undisturbed(t)
	for _, r := range kept.held {
		raw := bits(t, r)
		p, err := unpack(raw)
		if err != nil || string(bits(t, p.Record)) != string(raw) {
			t.Errorf("it reads back as %+v, %v", p, err)
		}
		if len(raw) > 10_000 {
			continue
		}
		rapid.Check(t, func(t *rapid.T) {
			cut := rapid.IntRange(0, len(raw)-1).Draw(t, "cut")
			if _, err := unpack(raw[:cut]); err == nil {
				t.Errorf("cut at %d of %d it reads", cut, len(raw))
			}
			torn := append([]byte(nil), raw...)
			torn[cut] ^= byte(rapid.IntRange(1, 255).Draw(t, "bits"))
			_, _ = unpack(torn) // no panic
		})
		break
	}
}
