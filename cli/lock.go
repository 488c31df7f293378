package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
)

const onWindows = runtime.GOOS == "windows"

// lock is a file whose exclusive creation keeps two runs from writing to one results folder at a time. It holds
// the process's number and the machine's name. Creation with O_EXCL works alike on every system and on network
// drives, where advisory locks do not.
type lock struct{ path string }

// takeLock creates the lock file. Where it stands already, the error says who holds it and what to do.
func takeLock(path, target string) (*lock, error) {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if errors.Is(err, fs.ErrExist) {
		return nil, heldBy(path, target)
	}
	if err != nil {
		return nil, disk("making the lock file "+path, err)
	}
	host, _ := os.Hostname() // an unknown name is never taken for this machine's
	_, err = fmt.Fprintf(f, "process %d\nmachine %s\n", os.Getpid(), host)
	if closed := f.Close(); err == nil {
		err = closed
	}
	if err != nil {
		_ = os.Remove(path)
		return nil, disk("making the lock file "+path, err)
	}
	return &lock{path}, nil
}

func (l *lock) release() { _ = os.Remove(l.path) }

// heldBy words the error for a lock that stands.
func heldBy(path, target string) error {
	raw, err := os.ReadFile(path)
	if err != nil {
		return disk("reading the lock file "+path, err)
	}
	var pid int
	var host string
	if n, _ := fmt.Sscanf(string(raw), "process %d\nmachine %s\n", &pid, &host); n < 1 {
		return &failure{
			code: ExitDisk, message: fmt.Sprintf("%s is locked by %s, which does not say by whom", target, path),
			hint: "if no run is writing there, delete the lock file",
		}
	}
	here, err := os.Hostname()
	if err == nil && host != "" && strings.TrimSpace(host) == here && !alive(pid) {
		return &failure{
			code:    ExitDisk,
			message: fmt.Sprintf("%s is locked by process %d, which no longer runs: it was killed", target, pid),
			hint:    "delete " + path + " and start again",
		}
	}
	return &failure{
		code:    ExitDisk,
		message: fmt.Sprintf("%s is being written by process %d on %s", target, pid, host),
		hint:    "wait for it, or choose another folder with -o; if no such process runs, delete " + path,
	}
}

// alive tells whether a process of this machine runs. On Windows finding it is the answer; elsewhere finding
// always succeeds, and signal 0 asks without doing anything.
func alive(pid int) bool {
	p, err := os.FindProcess(pid)
	if err != nil {
		return false
	}
	defer func() { _ = p.Release() }()
	if onWindows {
		return true
	}
	err = p.Signal(syscall.Signal(0))
	return err == nil || errors.Is(err, fs.ErrPermission)
}

// openAfterDeath opens a results folder as openToPlace does, and takes over the lock of a process of this machine that
// was killed: what such a process has left does no harm to who keeps whole files only.
func openAfterDeath(target string, d disks) (*folder, error) {
	f := &folder{target: filepath.Clean(fromHere(target))}
	removeDeadLock(f.beside("lock"))
	return openToPlace(target, d)
}

// removeDeadLock removes a lock whose process of this machine no longer runs.
func removeDeadLock(path string) {
	raw, err := os.ReadFile(path)
	if err != nil || !diedHere(raw) {
		return
	}
	// Of several that see it, one moves it away; who moves a newer one puts it back.
	aside := fmt.Sprintf("%s.%d", path, os.Getpid())
	if os.Rename(path, aside) != nil {
		return
	}
	if moved, err := os.ReadFile(aside); err == nil && !diedHere(moved) {
		_ = os.Link(aside, path)
	}
	_ = os.Remove(aside)
}

// diedHere tells whether a lock's text names a process of this machine that no longer runs.
func diedHere(text []byte) bool {
	var pid int
	var host string
	if n, _ := fmt.Sscanf(string(text), "process %d\nmachine %s\n", &pid, &host); n < 2 {
		return false
	}
	here, err := os.Hostname()
	return err == nil && host == here && !alive(pid)
}
