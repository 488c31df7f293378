package cli

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"net"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"emberbank/kernel"
	"emberbank/web"
)

type openCommand struct {
	Dir         string `arg:"" optional:"" default:"."`
	Port        int
	NoBrowser   bool `name:"no-browser"`
	Listen      string
	Key         string
	Certificate string
	PrivateKey  string `name:"private-key"`
	Threads     int
}

// leastKey is how long a key must be that a user gives for a server which others on the net can reach.
const leastKey = 20

func (o *openCommand) run(c *call) error {
	at, err := locate(o.Dir)
	if err != nil {
		return err
	}
	if o.Threads, err = c.limit(o.Threads, false); err != nil {
		return err
	}
	access, err := o.access()
	if err != nil {
		return err
	}
	loops, err := kernel.Named(os.Getenv(kernelChoice))
	if err != nil {
		return &failure{code: ExitUsage, message: "reading " + kernelChoice, err: err, hint: "set " + kernelChoice + " to " + kernel.Names() + ", or leave it unset"}
	}
	root, err := os.OpenRoot(at.root)
	if err != nil {
		return disk("opening "+at.root, err)
	}
	defer root.Close()
	listener, err := o.listen()
	if err != nil {
		return err
	}
	access.Address = listener.Addr()
	others, unmark := markOpen(at.root, access.Address)
	defer unmark()
	for _, by := range others {
		fmt.Fprintf(c.err, "note: this bench is open already, by %s. Both write to the same files and see each other's edits, but each computes for itself, and may write the results that the other is writing.\n", by)
	}
	desk := web.Open(root, web.Options{Version: Version, Kernel: loops, Threads: o.Threads, Work: o.work(at.root), Follow: o.follow(at.root)})
	defer desk.Close()
	if !o.NoBrowser {
		desk.Begin() // while the browser starts
	}
	return o.serve(c, listener, desk.Handler(access), link(access))
}

// access is who may ask: without more being said, who has the key that is drawn now, from this machine.
func (o *openCommand) access() (web.Access, error) {
	a := web.Access{Key: web.NewKey(), TLS: o.Certificate != ""}
	if o.Key != "" {
		raw, err := os.ReadFile(o.Key)
		if err != nil {
			return a, disk("reading the key from "+o.Key, err)
		}
		if a.Key = strings.TrimSpace(string(raw)); len(a.Key) < leastKey {
			return a, &failure{code: ExitUsage, message: fmt.Sprintf("the key in %s has %d characters", o.Key, len(a.Key)), hint: fmt.Sprintf("let it have %d or more, drawn by chance", leastKey)}
		}
	}
	if (o.Certificate == "") != (o.PrivateKey == "") {
		return a, &failure{code: ExitUsage, message: "a certificate and its private key go together", hint: "give both --certificate FILE and --private-key FILE"}
	}
	ip := net.ParseIP(o.Listen)
	if o.Listen == "" || o.Listen == "localhost" || ip != nil && ip.IsLoopback() {
		return a, nil
	}
	if o.Key == "" || o.Certificate == "" {
		return a, &failure{
			code: ExitUsage, message: "others on the net could reach " + o.Listen + ", and who reaches it can change the bench",
			hint: "give a key of your own and encrypt: --key FILE --certificate FILE --private-key FILE; or leave --listen out",
		}
	}
	a.Names = []string{o.Listen}
	if ip != nil && ip.IsUnspecified() { // at all addresses: it goes by the machine's name
		name, err := os.Hostname()
		if err != nil {
			return a, &failure{code: ExitUsage, message: "this machine states no name", err: err, hint: "give --listen the name or address under which others reach it"}
		}
		a.Names = []string{name}
	}
	return a, nil
}

func (o *openCommand) listen() (net.Listener, error) {
	host := o.Listen
	if host == "" {
		host = "127.0.0.1"
	}
	address := net.JoinHostPort(host, fmt.Sprint(o.Port))
	l, err := net.Listen("tcp", address)
	if err != nil {
		return nil, &failure{code: ExitDisk, message: "listening at " + address, err: err, hint: "choose another --port, or leave it out"}
	}
	if o.Certificate == "" {
		return l, nil
	}
	pair, err := tls.LoadX509KeyPair(o.Certificate, o.PrivateKey)
	if err != nil {
		_ = l.Close()
		return nil, &failure{code: ExitInput, message: "reading the certificate", err: err, hint: "give a certificate and its private key as PEM files"}
	}
	return tls.NewListener(l, &tls.Config{Certificates: []tls.Certificate{pair}, MinVersion: tls.VersionTLS12}), nil
}

// link is the address that lets its reader in.
func link(a web.Access) string {
	scheme, at := "http", a.Address.String()
	if a.TLS {
		scheme = "https"
	}
	if _, port, err := net.SplitHostPort(at); err == nil && len(a.Names) > 0 {
		at = net.JoinHostPort(a.Names[0], port)
	}
	return (&url.URL{Scheme: scheme, Host: at, Path: "/", RawQuery: url.Values{"key": {a.Key}}.Encode()}).String()
}

// serve answers until it is stopped.
func (o *openCommand) serve(c *call, l net.Listener, h http.Handler, address string) error {
	ctx, stop := context.WithCancel(c.ctx)
	defer stop()
	s := &http.Server{
		Handler: h, ReadHeaderTimeout: 10 * time.Second, IdleTimeout: 2 * time.Minute, MaxHeaderBytes: 64 << 10,
		BaseContext: func(net.Listener) context.Context { return ctx },
	}
	ended := make(chan error, 1)
	go func() { ended <- s.Serve(l) }()
	here, err := filepath.Abs(o.Dir)
	if err != nil {
		here = o.Dir
	}
	fmt.Fprintf(c.out, "The bench %s is open at\n  %s\nThe link lets in who has it. Ctrl-C ends it.\n", here, address)
	if !o.NoBrowser {
		showInBrowser(address)
	}
	select {
	case err := <-ended:
		return &failure{code: ExitDisk, message: "serving the bench", err: err}
	case <-c.ctx.Done():
	}
	stop() // ends the streams of events, which would wait for ever
	patience, over := context.WithTimeout(context.Background(), 2*time.Second)
	defer over()
	if err := s.Shutdown(patience); err != nil && !errors.Is(err, context.DeadlineExceeded) {
		return &failure{code: ExitDisk, message: "ending", err: err}
	}
	return nil
}

// showInBrowser opens the link in the user's browser where there is one; the link stands on the terminal anyway.
func showInBrowser(address string) {
	var cmd *exec.Cmd
	switch runtime.GOOS {
	case "windows":
		cmd = exec.Command("rundll32", "url.dll,FileProtocolHandler", address)
	case "darwin":
		cmd = exec.Command("open", address)
	default:
		cmd = exec.Command("xdg-open", address)
	}
	if cmd.Start() == nil {
		go func() { _ = cmd.Wait() }()
	}
}
