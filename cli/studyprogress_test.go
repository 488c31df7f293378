package cli

import (
	"testing"

	"emberbank/survey"
)

func TestAStudysProgressNamesEachCountOnce(t *testing.T) {
	got := progressText(survey.Progress{Done: 12, Known: 5, Running: 3, Failed: 1, Total: 20, Left: 90, Best: "outlet 400 °C"})
	if want := "12 of 20 done, 5 of them known, 1 failed, 3 running, about " + duration(90) + " left; so far outlet 400 °C"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got := progressText(survey.Progress{Total: 20}); got != "0 of 20 done" {
		t.Errorf("at the beginning: %q", got)
	}
}
