package trial

import (
	"fmt"
	"strings"
	"testing"
	"time"
)

// TestLoggersApartByAWrongZoneAreTold lays two loggers of one trial of two hours side by side, the second with its zone
// stated wrong, and beside them loggers that differ as those of sound trials do.
func TestLoggersApartByAWrongZoneAreTold(t *testing.T) {
	file := func(from string, minutes int) string {
		start, err := time.Parse("15:04:05", from)
		if err != nil {
			t.Fatal(err)
		}
		var b strings.Builder
		b.WriteString("t,x\n")
		for k := 0; k <= 6*minutes; k++ {
			fmt.Fprintf(&b, "2026-04-06 %s,%d\n", start.Add(time.Duration(k)*10*time.Second).Format("15:04:05"), 20+k%7)
		}
		return b.String()
	}
	for _, c := range []struct {
		name          string
		zone          string // of the second
		from          string
		minutes       int
		refused, says string
		doubted       bool
	}{
		{"UTC taken as +02:00, one row in common", "+02:00", "07:00:00", 120, "hardly any time in common", "moved by +2 h: is its zone UTC and not +02:00? Or that of a.csv +04:00", false},
		{"UTC taken as +02:00, one row short of a meeting", "+02:00", "06:59:50", 120, "no time in common", "moved by +2 h: is its zone UTC and not +02:00?", false},
		{"UTC taken as +01:00, half in common", "+01:00", "07:00:30", 120, "", "moved by +1 h: is its zone UTC and not +01:00?", true},
		{"+05:30 taken as UTC", "UTC", "12:30:00", 120, "no time in common", "moved by -5.5 h: is its zone +05:30 and not UTC?", false},
		{"right", "+02:00", "09:00:00", 120, "", "", false},
		{"began twenty minutes late and ran on", "+02:00", "09:20:00", 120, "", "", false},
		{"began an hour late and ran half an hour", "+02:00", "10:00:00", 30, "", "", false},
		{"ran an hour before and with the first", "+02:00", "08:00:00", 180, "", "", false},
		{"came on for the drain, and ran on for 70 minutes", "+02:00", "10:30:00", 100, "", "", false},
	} {
		s := &Setup{Axis: -1}
		for i, n := range []string{"a", "b"} {
			s.Sources = append(s.Sources, Source{Name: n + ".csv", Layout: open, Channels: []Channel{channel(t, 2, "x"+fmt.Sprint(i), Other, "degC")}})
		}
		s.Sources[0].Clock.Zone, _ = Zone("+02:00")
		s.Sources[1].Clock.Zone, _ = Zone(c.zone)
		rec, found := tryRead(s, file("09:00:00", 120), file(c.from, c.minutes))
		if (rec == nil) != (c.refused != "") {
			t.Errorf("%s: record %v, %+v", c.name, rec != nil, found)
			continue
		}
		if c.refused == "" && !c.doubted {
			if len(found) > 0 {
				t.Errorf("%s: %+v", c.name, found)
			}
			continue
		}
		if len(found) != 1 || !strings.Contains(found[0].Message, c.refused) || !strings.Contains(found[0].Fix, c.says) || found[0].Doubt != c.doubted {
			t.Errorf("%s: %+v", c.name, found)
		}
	}
}
