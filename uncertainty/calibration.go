package uncertainty

import (
	"fmt"
	"math"
	"time"
)

// Calibration is a sensor's record: what to add to its readings, how well that is known, and how it drifts since.
type Calibration struct {
	Date   time.Time
	Points []CalibrationPoint // by rising reading; between them linear, outside the nearest
	Drift  float64            // per year, added to the correction with age; in the unit of the readings
	UDrift float64            // per year, standard uncertainty of Drift
	Group  string             // what moves together; "": this calibration alone
}

// CalibrationPoint is one row of a certificate.
type CalibrationPoint struct {
	Reading    float64
	Correction float64 // added to the reading
	U          float64 // standard uncertainty of the correction; a certificate's expanded one is divided by its k
	DoF        float64 // 0: infinitely many
}

// year is the mean Gregorian year in hours.
const year = 365.2425 * 24

// At returns the correction for a reading on a day, and its components. A day before the calibration counts as much
// drift as one after. Between two points the larger uncertainty holds.
func (c *Calibration) At(reading float64, on time.Time) (correction float64, parts []Component, err error) {
	if len(c.Points) == 0 {
		return 0, nil, fmt.Errorf("the calibration of %s has no points: give at least one reading with its correction", c.Date.Format(time.DateOnly))
	}
	for i := 1; i < len(c.Points); i++ {
		if !(c.Points[i].Reading > c.Points[i-1].Reading) {
			return 0, nil, fmt.Errorf("the points of the calibration of %s must rise: %g stands after %g", c.Date.Format(time.DateOnly), c.Points[i].Reading, c.Points[i-1].Reading)
		}
	}
	p := c.Points[0]
	for i := 1; i < len(c.Points) && reading > c.Points[i-1].Reading; i++ {
		a, b := c.Points[i-1], c.Points[i]
		p = b
		if reading < b.Reading {
			f := (reading - a.Reading) / (b.Reading - a.Reading)
			if a.U > b.U {
				p = a
			}
			p.Correction = a.Correction + f*(b.Correction-a.Correction)
		}
	}
	age := on.Sub(c.Date).Hours() / year
	group := func(part string) string {
		if c.Group == "" {
			return ""
		}
		return c.Group + " " + part
	}
	parts = append(parts, Component{Name: "calibration of " + c.Date.Format(time.DateOnly), U: p.U, DoF: p.DoF, Group: group("calibration")})
	if c.UDrift != 0 {
		parts = append(parts, Component{Name: fmt.Sprintf("drift over %.2g years", math.Abs(age)), U: math.Abs(age) * c.UDrift, Group: group("drift")})
	}
	return p.Correction + age*c.Drift, parts, nil
}
