package uncertainty

import (
	"fmt"
	"math"
	"strings"
)

// tolerance of a thermocouple: the larger of Floor and Slope·|t| between Low and High, t in °C.
type class struct {
	low, high    float64 // °C
	floor, slope float64 // K and 1
}

// classes holds the tolerances by type and class; a slope below zero marks the form of types R and S in class 1,
// [1 + 0.003 (t − 1100)] above 1100 °C.
//
// Source: IEC 60584-1:2013, tolerances (formerly IEC 60584-2:1993), as quoted by makers' pages. Types K and N:
// three pages agree. The others: two pages; the bend of types R and S at 1100 °C from memory.
var classes = map[string][3]class{
	"T": {{-40, 350, 0.5, 0.004}, {-40, 350, 1, 0.0075}, {-200, 40, 1, 0.015}},
	"E": {{-40, 800, 1.5, 0.004}, {-40, 900, 2.5, 0.0075}, {-200, 40, 2.5, 0.015}},
	"J": {{-40, 750, 1.5, 0.004}, {-40, 750, 2.5, 0.0075}, {}},
	"K": {{-40, 1000, 1.5, 0.004}, {-40, 1200, 2.5, 0.0075}, {-200, 40, 2.5, 0.015}},
	"N": {{-40, 1000, 1.5, 0.004}, {-40, 1200, 2.5, 0.0075}, {-200, 40, 2.5, 0.015}},
	"R": {{0, 1600, 1, -1}, {0, 1600, 1.5, 0.0025}, {}},
	"S": {{0, 1600, 1, -1}, {0, 1600, 1.5, 0.0025}, {}},
	"B": {{}, {600, 1700, 1.5, 0.0025}, {600, 1700, 4, 0.005}},
}

// ThermocoupleTolerance returns the half-width in K within which a new thermocouple of the type (K, J, N, T, E, S, R,
// B) and class (1, 2, 3) reads at T in K. An error names what is wrong; a temperature outside the class's range is
// one. Source: IEC 60584-1:2013.
func ThermocoupleTolerance(kind string, cls int, T float64) (float64, error) {
	all, ok := classes[strings.ToUpper(kind)]
	if !ok {
		return 0, fmt.Errorf("%q is no thermocouple type with a tolerance class: give K, J, N, T, E, S, R or B", kind)
	}
	if cls < 1 || cls > 3 || all[cls-1] == (class{}) {
		return 0, fmt.Errorf("type %s has no class %d: give %s", strings.ToUpper(kind), cls, known(all))
	}
	c, t := all[cls-1], T-273.15
	if !(t >= c.low-1e-9 && t <= c.high+1e-9) {
		return 0, fmt.Errorf("type %s class %d is good from %g to %g °C, not at %.4g °C", strings.ToUpper(kind), cls, c.low, c.high, t)
	}
	if c.slope < 0 {
		return math.Max(1, 1+0.003*(t-1100)), nil
	}
	return math.Max(c.floor, c.slope*math.Abs(t)), nil
}

// ThermocoupleClass returns the numbers behind a tolerance, which is the larger of floor in K and slope·|t|, t in °C,
// from low to high in K. Types R and S in class 1 have a tolerance of another form and give an error.
// Source: IEC 60584-1:2013.
func ThermocoupleClass(kind string, cls int) (floor, slope, low, high float64, err error) {
	all, ok := classes[strings.ToUpper(kind)]
	if !ok || cls < 1 || cls > 3 || all[cls-1] == (class{}) {
		return 0, 0, 0, 0, fmt.Errorf("thermocouple type %s has no class %d", kind, cls)
	}
	c := all[cls-1]
	if c.slope < 0 {
		return 0, 0, 0, 0, fmt.Errorf("the tolerance of type %s class %d has another form: give the uncertainty as a number", kind, cls)
	}
	return c.floor, c.slope, c.low + 273.15, c.high + 273.15, nil
}

func known(all [3]class) string {
	var names []string
	for i, c := range all {
		if c != (class{}) {
			names = append(names, fmt.Sprint("class ", i+1))
		}
	}
	return strings.Join(names, " or ")
}

// Thermocouple is the component that a tolerance class brings at T in K: limits, so rectangular. group names what
// moves together: the thermocouple itself, or the reel of wire that several were cut from.
func Thermocouple(kind string, cls int, T float64, group string) (Component, error) {
	half, err := ThermocoupleTolerance(kind, cls, T)
	if err != nil {
		return Component{}, err
	}
	c := Within(fmt.Sprintf("type %s class %d", strings.ToUpper(kind), cls), half)
	c.Group = group
	return c, nil
}
