package dossier

import (
	"slices"
	"testing"
)

func TestTwoDossiersDifferWhereTheirPlacesSayOtherwise(t *testing.T) {
	first := []Said{{"a /x", "1"}, {"a /y", "2"}, {"a /x", "1.0"}, {"a /z", "3"}}
	second := []Said{{"a /y", "2"}, {"a /x", "4"}, {"b /w", "5"}}
	want := []Changed{{"a /x", "1; 1.0", "4"}, {"a /z", "3", ""}, {"b /w", "", "5"}}
	if got := Differences(first, second); !slices.Equal(got, want) {
		t.Errorf("they differ in %v", got)
	}
	if got := Differences(first, first); len(got) > 0 {
		t.Errorf("a dossier differs from itself in %v", got)
	}
}

func TestWhatAReportSaysIsListedOnceWithItsPlace(t *testing.T) {
	d, problems := composed(t, "{day: lost} and {day: lost} and {day: lost, MJ}")
	if problems != nil {
		t.Fatal(problems)
	}
	want := []Said{{"results/day/summary.json /ledger/lost_J", "0.30\u2009kWh"}, {"results/day/summary.json /ledger/lost_J", "1.087\u2009MJ"}}
	if got := SaidBy(d); !slices.Equal(got, want) {
		t.Errorf("it says %v", got)
	}
}
