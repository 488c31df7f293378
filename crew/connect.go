package crew

import (
	"bytes"
	"context"
	"crypto/tls"
	"crypto/x509"
	"errors"
	"fmt"
	"net"
	"net/url"
	"strings"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"
)

// Access is how a server is reached.
type Access struct {
	Address string // such as tls://queue.example:4222; several with commas between them are servers of one cluster
	Secret  []byte // "name:password", one line, or the text of a file of NATS credentials; empty: none
	Trust   []byte // certificates, PEM, of who vouches for the server; empty: those that this machine trusts
	Told    func(string)
}

// check refuses what would let others listen or join.
func (a *Access) check() (encrypted bool, err error) {
	encrypted = len(a.Trust) > 0
	for _, one := range strings.Split(a.Address, ",") {
		if !strings.Contains(one, "://") {
			one = "nats://" + one
		}
		u, err := url.Parse(strings.TrimSpace(one))
		if err != nil || u.Hostname() == "" || u.Scheme != "nats" && u.Scheme != "tls" {
			return false, &Refused{fmt.Sprintf("%q is no address of a queue", a.Address), "write tls://HOST:PORT, or nats://127.0.0.1:PORT for this machine"}
		}
		if u.User != nil {
			return false, &Refused{"the address holds a name or password, which everybody on this machine can see", "put name:password into a file that only you can read, and give --secret FILE"}
		}
		encrypted = encrypted || u.Scheme == "tls"
		if loopback(u.Hostname()) {
			continue
		}
		switch {
		case u.Scheme != "tls":
			return false, &Refused{u.Host + " is beyond this machine, and nats:// may go there unencrypted", "write tls://" + u.Host + ", and let its server have a certificate"}
		case len(bytes.TrimSpace(a.Secret)) == 0:
			return false, &Refused{u.Host + " is beyond this machine and is joined with a secret only", "give --secret FILE, with name:password or NATS credentials in it"}
		}
	}
	return encrypted, nil
}

// loopback tells whether a host is this machine, to which nobody else can listen.
func loopback(host string) bool {
	ip := net.ParseIP(host)
	return host == "localhost" || ip != nil && ip.IsLoopback()
}

// namePassword splits a secret; ok is false where it is something else.
func namePassword(secret []byte) (name, password string, ok bool) {
	line := strings.TrimSpace(string(secret))
	name, password, ok = strings.Cut(line, ":")
	return name, password, ok && name != "" && password != "" && !strings.ContainsAny(line, "\r\n")
}

// Join connects to a server that stands elsewhere.
func Join(ctx context.Context, a Access) (*Link, error) {
	encrypted, err := a.check()
	if err != nil {
		return nil, err
	}
	told := a.Told
	if told == nil {
		told = func(string) {}
	}
	options := []nats.Option{
		nats.Name("emberbank"), nats.MaxReconnects(-1), nats.ReconnectWait(time.Second), nats.Timeout(5 * time.Second),
		nats.PingInterval(10 * time.Second), nats.MaxPingsOutstanding(2), nats.RetryOnFailedConnect(false),
		nats.ErrorHandler(func(*nats.Conn, *nats.Subscription, error) {}), // what fails says so where it was called
		nats.DisconnectErrHandler(func(c *nats.Conn, _ error) {
			if !c.IsClosed() {
				told("the queue's server is away; waiting for it")
			}
		}),
		nats.ReconnectHandler(func(*nats.Conn) { told("the queue's server is back") }),
	}
	if encrypted {
		c := &tls.Config{MinVersion: tls.VersionTLS12}
		if len(a.Trust) > 0 {
			c.RootCAs = x509.NewCertPool()
			if !c.RootCAs.AppendCertsFromPEM(a.Trust) {
				return nil, &Refused{"the file of --trust holds no certificate", "give the certificate, as PEM, of who vouches for the server"}
			}
		}
		options = append(options, nats.Secure(c))
	}
	if secret := bytes.TrimSpace(a.Secret); len(secret) > 0 {
		name, password, ok := namePassword(secret)
		switch {
		case bytes.Contains(secret, []byte("-----BEGIN NATS USER JWT-----")):
			options = append(options, nats.UserCredentialBytes(secret))
		case ok:
			options = append(options, nats.UserInfo(name, password))
		default:
			return nil, &Refused{"the file of --secret holds neither name:password nor NATS credentials", "write one line, name:password"}
		}
	}
	conn, err := nats.Connect(a.Address, options...)
	if err != nil {
		return nil, notJoined(a.Address, err)
	}
	return linked(ctx, conn, abroad, nil)
}

// linked lays out what a link needs.
func linked(ctx context.Context, conn *nats.Conn, pace Pace, own *Server) (*Link, error) {
	js, err := jetstream.New(conn)
	if err != nil {
		conn.Close()
		return nil, fmt.Errorf("reaching the queue: %w", err)
	}
	l := &Link{conn: conn, js: js, pace: pace, own: own, patience: patienceAbroad}
	if l.closed() {
		l.patience = patienceHere
	}
	if own != nil {
		l.well, l.fail = own.well, own.fail
	} else {
		l.well, l.fail = context.WithCancelCause(context.Background())
	}
	one, stop := context.WithTimeout(ctx, 20*time.Second)
	defer stop()
	if err := l.lay(one); err != nil {
		conn.Close()
		return nil, err
	}
	return l, nil
}

// notJoined words why a server was not reached.
func notJoined(address string, err error) error {
	var unknown x509.UnknownAuthorityError
	var name x509.HostnameError
	switch {
	case errors.Is(err, nats.ErrAuthorization) || errors.Is(err, nats.ErrAuthExpired):
		return &Refused{address + " does not accept the secret", "give the right one with --secret FILE"}
	case errors.Is(err, nats.ErrSecureConnWanted):
		return &Refused{address + " does not encrypt", "let its server have a certificate"}
	case errors.As(err, &unknown):
		return &Refused{"who vouches for the certificate of " + address + " is not known here", "give that certificate with --trust FILE"}
	case errors.As(err, &name):
		return &Refused{"the certificate of " + address + " is for another name: " + name.Error(), "join by the name that stands in the certificate"}
	}
	return &Unreached{fmt.Errorf("no queue answers at %s: %w", address, err)}
}

// Unreached says that there is no server now; there may be one later.
type Unreached struct{ err error }

func (u *Unreached) Error() string { return u.err.Error() }

func (u *Unreached) Unwrap() error { return u.err }
