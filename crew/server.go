package crew

import (
	"bytes"
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"net"
	"os"
	"strconv"
	"strings"
	"sync/atomic"
	"syscall"
	"time"

	"github.com/nats-io/nats-server/v2/server"
	"github.com/nats-io/nats.go"
)

// Server is a queue's server within this process.
type Server struct {
	s       *server.Server
	open    bool
	address string
	full    atomic.Bool
	broken  atomic.Bool
	said    atomic.Pointer[string]
	well    context.Context // ended with a cause when it no longer keeps what it is given
	fail    context.CancelCauseFunc
}

// Opening is where a server listens, and to whom.
type Opening struct {
	Address     string // HOST:PORT; port 0 is any that is free
	Certificate []byte // certificate and key, PEM; empty: none
	Secret      []byte // "name:password", one line
}

// check refuses a server that others could listen to or join.
func (o *Opening) check() (host string, port int, err error) {
	host, text, err := net.SplitHostPort(o.Address)
	if err == nil {
		port, err = strconv.Atoi(text)
	}
	if err != nil || port < 0 || port > 65535 {
		return "", 0, &Refused{fmt.Sprintf("%q is no address to open", o.Address), "write HOST:PORT, for example 127.0.0.1:4222"}
	}
	if _, _, ok := namePassword(o.Secret); !ok {
		return "", 0, &Refused{"a study is opened to others with a secret only", "give --secret FILE, with one line in it: name:password"}
	}
	if !loopback(host) && len(o.Certificate) == 0 {
		return "", 0, &Refused{o.Address + " can be reached from beyond this machine, and nothing would be encrypted", "give --certificate FILE, with the certificate and its key as PEM, or open 127.0.0.1:" + text}
	}
	return host, port, nil
}

// free tells whether an address can be listened at.
func free(address string) error {
	l, err := net.Listen("tcp", address)
	if err != nil {
		return &Refused{"nothing can listen at " + address + ": " + err.Error(), "open another port"}
	}
	return l.Close()
}

// Serve starts a server within this process that keeps what it holds in dir. What a killed process has left there is taken
// over; what cannot be read is thrown away. Without an opening it listens to nobody.
func Serve(ctx context.Context, dir string, o *Opening) (*Link, error) {
	options := &server.Options{
		ServerName: "emberbank", DontListen: true, JetStream: true, StoreDir: dir, NoSigs: true, NoSystemAccount: true,
		MaxPayload: 1 << 20, JetStreamMaxMemory: 64 << 20,
	}
	pace := atHome
	if o != nil {
		host, port, err := o.check()
		if err != nil {
			return nil, err
		}
		if err := free(o.Address); err != nil {
			return nil, err
		}
		pace = abroad
		options.DontListen, options.Host, options.Port = false, host, port
		if port == 0 {
			options.Port = server.RANDOM_PORT
		}
		options.Username, options.Password, _ = namePassword(o.Secret)
		if len(o.Certificate) > 0 {
			pair, err := tls.X509KeyPair(o.Certificate, o.Certificate)
			if err != nil {
				return nil, &Refused{"the file of --certificate holds no certificate with its key: " + err.Error(), "put both into it, as PEM"}
			}
			options.TLSConfig = &tls.Config{MinVersion: tls.VersionTLS12, Certificates: []tls.Certificate{pair}}
			options.TLS, options.TLSTimeout = true, 5
		}
	}
	left, _ := os.ReadDir(dir) // none, or serving tells
	l, err := serve(ctx, options, pace, o != nil)
	if err == nil || len(left) == 0 || ctx.Err() != nil {
		return l, err
	}
	if removed := os.RemoveAll(dir); removed != nil {
		return nil, err
	}
	return serve(ctx, options.Clone(), pace, o != nil)
}

func serve(ctx context.Context, options *server.Options, pace Pace, open bool) (*Link, error) {
	own := &Server{open: open}
	own.well, own.fail = context.WithCancelCause(context.Background())
	var err error
	if own.s, err = server.NewServer(options); err != nil {
		return nil, fmt.Errorf("starting the queue: %w", err)
	}
	own.s.SetLoggerV2(ear{own}, false, false, false)
	go own.s.Start()
	ready := false
	for n := 0; n < 200 && !ready && !own.broken.Load(); n++ {
		ready = own.s.ReadyForConnections(100 * time.Millisecond)
	}
	if !ready {
		own.stop()
		if own.isFull() {
			return nil, fmt.Errorf("starting the queue: %w", syscall.ENOSPC)
		}
		return nil, fmt.Errorf("starting the queue: %s", own.last())
	}
	if open {
		_, port, _ := net.SplitHostPort(own.s.Addr().String()) // it is one of its own
		own.address = "nats://" + net.JoinHostPort(options.Host, port)
		if options.TLS {
			own.address = strings.Replace(own.address, "nats", "tls", 1)
		}
	}
	to := []nats.Option{nats.InProcessServer(own.s), nats.Name("emberbank"), nats.MaxReconnects(-1), nats.ErrorHandler(func(*nats.Conn, *nats.Subscription, error) {})}
	if options.Username != "" {
		to = append(to, nats.UserInfo(options.Username, options.Password))
	}
	conn, err := nats.Connect("", to...)
	if err == nil {
		var l *Link
		if l, err = linked(ctx, conn, pace, own); err == nil {
			return l, nil
		}
	}
	own.stop()
	return nil, fmt.Errorf("starting the queue: %w", err)
}

func (s *Server) stop() {
	s.s.Shutdown()
	s.s.WaitForShutdown()
}

func (s *Server) isFull() bool { return s.full.Load() }

func (s *Server) last() string {
	if t := s.said.Load(); t != nil {
		return *t
	}
	return "it does not answer"
}

// ear listens to what a server says of its troubles.
type ear struct{ s *Server }

func (e ear) hear(format string, v ...any) {
	text := fmt.Sprintf(format, v...)
	e.s.said.Store(&text)
	if bytes.Contains(bytes.ToLower([]byte(text)), []byte("no space left")) || strings.Contains(text, "out of resources") {
		e.s.full.Store(true)
		e.s.fail(fmt.Errorf("keeping the queue: %w", syscall.ENOSPC))
	}
	// After these it takes nothing more, and does not answer either.
	for _, sign := range []string{"write error", "failed to store", "disabling JetStream"} {
		if strings.Contains(text, sign) {
			if _, why, found := strings.Cut(text, "error: "); found {
				text = why
			}
			e.s.fail(&Broken{true, errors.New(text)})
			return
		}
	}
}

func (e ear) Noticef(string, ...any)    {}
func (e ear) Debugf(string, ...any)     {}
func (e ear) Tracef(string, ...any)     {}
func (e ear) Warnf(f string, v ...any)  { e.hear(f, v...) }
func (e ear) Errorf(f string, v ...any) { e.hear(f, v...) }

func (e ear) Fatalf(f string, v ...any) {
	e.hear(f, v...)
	e.s.broken.Store(true)
}
