package main

import (
	"bufio"
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"runtime"
	"strconv"
	"strings"
	"time"
)

// machine is where and with what was measured.
type machine struct {
	processor string
	cores     int
	system    string
	goVersion string
	commit    string  // with the date of the commit
	busy      float64 // share of the processors' time that others took in the second before; NaN: not known
}

// look looks at the machine before anything runs.
func look() machine {
	m := machine{processor: "unknown processor", cores: runtime.NumCPU(), goVersion: runtime.Version(), system: runtime.GOOS + "/" + runtime.GOARCH, commit: "unknown"}
	if f, err := os.Open("/proc/cpuinfo"); err == nil {
		defer f.Close()
		for s := bufio.NewScanner(f); s.Scan(); {
			if name, value, ok := strings.Cut(s.Text(), ":"); ok && strings.TrimSpace(name) == "model name" {
				m.processor = strings.TrimSpace(value)
				break
			}
		}
	}
	if raw, err := os.ReadFile("/etc/os-release"); err == nil {
		for line := range strings.Lines(string(raw)) {
			if name, ok := strings.CutPrefix(strings.TrimSpace(line), "PRETTY_NAME="); ok {
				m.system += ", " + strings.Trim(name, `"`)
			}
		}
	}
	if raw, err := os.ReadFile("/proc/sys/kernel/osrelease"); err == nil {
		m.system += ", Linux " + strings.TrimSpace(string(raw))
	}
	if raw, err := exec.Command("git", "log", "-1", "--format=%h of %cs").Output(); err == nil {
		m.commit = strings.TrimSpace(string(raw))
		changed, err := exec.Command("git", "status", "--porcelain", "--untracked-files=no", "--", ".", ":!docs").Output()
		if err == nil && len(bytes.TrimSpace(changed)) > 0 {
			m.commit += ", with changes"
		}
	}
	m.busy = othersShare(2 * time.Second)
	return m
}

// othersShare returns the share of the processors' time that is taken while this program sleeps, by other programs
// or by other guests of the same machine; below zero where the system does not say.
func othersShare(during time.Duration) float64 {
	idle0, all0, ok0 := processorTimes()
	time.Sleep(during)
	idle1, all1, ok1 := processorTimes()
	if !ok0 || !ok1 || all1 == all0 {
		return -1
	}
	return 1 - (idle1-idle0)/(all1-all0)
}

// processorTimes returns the first line of /proc/stat: time without work, and all time.
func processorTimes() (idle, all float64, ok bool) {
	raw, err := os.ReadFile("/proc/stat")
	if err != nil {
		return 0, 0, false
	}
	line, _, _ := strings.Cut(string(raw), "\n")
	fields := strings.Fields(line)
	if len(fields) < 9 || fields[0] != "cpu" {
		return 0, 0, false
	}
	for i, f := range fields[1:9] { // user, nice, system, idle, waiting for disks, interrupts (2), stolen by other guests
		v, err := strconv.ParseFloat(f, 64)
		if err != nil {
			return 0, 0, false
		}
		all += v
		if i == 3 || i == 4 {
			idle += v
		}
	}
	return idle, all, true
}

func (m machine) text() string {
	s := fmt.Sprintf("Measured on %s, %d cores, %s, %s; program of commit %s.", m.processor, m.cores, m.system, m.goVersion, m.commit)
	if m.busy >= 0 {
		s += fmt.Sprintf(" In the two seconds before the first run other work took %.0f %% of the processors' time", 100*m.busy)
		if m.busy > 0.05 {
			s += ": **the machine was not quiet, these numbers are provisional**"
		}
		s += "."
	}
	return s
}
