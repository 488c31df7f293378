package cli

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"emberbank/bench"
	"emberbank/crew"
	"emberbank/shelf"
	"emberbank/survey"
)

// queueName is the folder of a study's results that holds its queue while it runs. A study that was killed leaves it, and the
// next start takes it over: it knows which variants were under way, and how often.
const queueName = ".queue"

// workers is how many variants run in this process; below 0: none, where others join.
func (k *studyCommand) workers() int {
	if k.Workers == 0 && k.Open+k.Join != "" {
		return -1
	}
	return threads(k.Workers)
}

// studyQueue is what a study's variants go through.
type studyQueue struct {
	queue *crew.Queue
	link  *crew.Link
	dir   string // "": the server stands elsewhere
}

// close ends it. A study that is done leaves nothing of it, one that was stopped nothing here.
func (q *studyQueue) close(done bool) {
	if q.link == nil {
		return
	}
	q.queue.Close(done)
	q.link.Close()
	if q.dir != "" {
		_ = os.RemoveAll(q.dir) // the next start does
	}
}

// queue opens what the study's variants go through: a server within this process, which listens to nobody unless it is
// opened, or one that stands elsewhere.
func (k *studyCommand) queue(c *call, dir string, s *bench.Study, files *crew.Seen, work *survey.Survey) (*studyQueue, error) {
	access, err := c.access(k.Join, k.Secret, k.Trust, k.Quiet || k.JSON)
	if err != nil {
		return nil, err
	}
	certificate, err := readFile("--certificate", k.Certificate)
	if err != nil {
		return nil, err
	}
	q := &studyQueue{}
	switch {
	case k.Open != "" && k.Join != "":
		return nil, &failure{code: ExitUsage, message: "--open and --join are both given", hint: "open a queue of its own, or join one that stands elsewhere"}
	case k.Join != "":
		q.link, err = crew.Join(c.ctx, access)
	case k.Open != "":
		q.dir = filepath.Join(dir, queueName)
		q.link, err = crew.Serve(c.ctx, q.dir, &crew.Opening{Address: k.Open, Certificate: certificate, Secret: access.Secret})
	default:
		q.dir = filepath.Join(dir, queueName)
		q.link, err = crew.Serve(c.ctx, q.dir, nil)
	}
	if err == nil {
		machine, _ := os.Hostname() // without a name, the folder has to do
		q.queue, err = q.link.Offer(c.ctx, crew.Offer{Name: s.Name, Place: machine + ":" + dir, Program: work.Job.Model, Run: s.Run, Files: files})
		if err != nil {
			q.link.Close()
		}
	}
	if err != nil && k.Open+k.Join == "" && !isDiskFull(err) && c.ctx.Err() == nil { // a disk on which no queue can be kept is no reason not to compute
		access.Told("the queue is kept in memory alone: " + err.Error())
		_ = os.RemoveAll(q.dir)
		return &studyQueue{}, nil
	}
	if err != nil {
		return nil, queueTrouble(err)
	}
	work.Job.Queue = crew.WithSpare(q.queue, access.Told)
	if k.Open+k.Join != "" && !k.Quiet && !k.JSON {
		fmt.Fprintf(c.err, "%s waits for workers: %s\n", s.Name, k.worker(q.link.Address()))
	}
	return q, nil
}

// worker is the command that joins a worker, with the files as they were named here. The file of --certificate holds the
// server's key, which stays where it is: a worker is given the certificate alone, under a name that is not known here.
func (k *studyCommand) worker(address string) string {
	text := "emberbank work --join " + address
	if k.Secret != "" {
		text += " --secret " + shelf.Word(k.Secret)
	}
	switch {
	case k.Trust != "":
		text += " --trust " + shelf.Word(k.Trust)
	case k.Open != "" && k.Certificate != "":
		text += " --trust FILE\nFILE: the certificate in " + k.Certificate + " without its key, or that of who signed it"
	}
	return text
}

// access is how a queue is reached, with what the files of flags hold.
func (c *call) access(address, secret, trust string, quiet bool) (a crew.Access, err error) {
	a.Address = address
	a.Told = func(text string) {
		if !quiet {
			fmt.Fprintln(c.err, text)
		}
	}
	if a.Secret, err = readFile("--secret", secret); err != nil {
		return a, err
	}
	a.Trust, err = readFile("--trust", trust)
	return a, err
}

// readFile reads the file that a flag names; no name, no content.
func readFile(flag, name string) ([]byte, error) {
	if name == "" {
		return nil, nil
	}
	raw, err := os.ReadFile(name)
	if err != nil {
		return nil, &failure{code: ExitDisk, message: "reading the file of " + flag + ", " + name, err: err}
	}
	return raw, nil
}

// brokenHint says what mends a queue's server.
func brokenHint(b *crew.Broken) string {
	where := "on the server's machine"
	if b.Own {
		where = "where the results stand"
	}
	return "see that files can grow " + where + " (room, quota, limits on the size of files); then start the same command again: what was computed is kept"
}

// queueTrouble words what a queue refuses, or cannot do.
func queueTrouble(err error) error {
	var refused *crew.Refused
	var away *crew.Unreached
	var broken *crew.Broken
	switch {
	case errors.As(err, &refused):
		return &failure{code: ExitUsage, message: refused.Why, hint: refused.Fix}
	case errors.As(err, &away):
		return &failure{code: ExitDisk, message: away.Error(), hint: "start the queue's server, or mend the address"}
	case isDiskFull(err):
		return disk("keeping the queue", err)
	case errors.As(err, &broken):
		return &failure{code: ExitDisk, message: broken.Error(), hint: brokenHint(broken)}
	case errors.Is(err, context.DeadlineExceeded):
		return &failure{code: ExitDisk, message: "the queue does not answer", err: err}
	}
	return err
}
