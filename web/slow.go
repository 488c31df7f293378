package web

import (
	"errors"
	"io"
	"net/http"
	"time"
)

// slowest is how long a request that is refused may still keep its connection busy with what it sends.
const slowest = 2 * time.Second

// refuse answers and has done with the connection: what the client still wants to send is not waited for.
func refuse(w http.ResponseWriter, r *http.Request, status int, why string) {
	if r.ContentLength != 0 {
		w.Header().Set("Connection", "close")
		_ = http.NewResponseController(w).SetReadDeadline(time.Now().Add(slowest))
	}
	http.Error(w, why, status)
}

// timely is a request's body that ends the time limit for its reading when it has been read: the limit would otherwise
// end what is done with it as well.
type timely struct {
	io.ReadCloser
	control *http.ResponseController
}

func (t timely) Read(p []byte) (int, error) {
	n, err := t.ReadCloser.Read(p)
	if errors.Is(err, io.EOF) {
		_ = t.control.SetReadDeadline(time.Time{})
	}
	return n, err
}

// longestPause is how long a file on its way in may stand still.
const longestPause = 30 * time.Second

// patient is a body that may take its time as a whole, but not stand still.
type patient struct {
	io.Reader
	until func(time.Time) error // it must have sent something
	pause time.Duration
}

func (p patient) Read(b []byte) (int, error) {
	_ = p.until(time.Now().Add(p.pause)) // some connections know no limit
	return p.Reader.Read(b)
}

// inTime lets a body be read within the time limit of whoever reads it, and no longer.
func inTime(w http.ResponseWriter, r *http.Request) {
	if r.ContentLength != 0 && r.Body != nil {
		r.Body = timely{r.Body, http.NewResponseController(w)}
	}
}
