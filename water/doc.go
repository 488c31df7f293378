// Package water gives the properties of ordinary water and steam: density, enthalpy, entropy and heat capacity
// after the IAPWS Industrial Formulation 1997 (IF97), viscosity, thermal conductivity and surface tension after
// the IAPWS releases of 2008, 2011 and 2014. All is in SI: Pa, K, J/kg, kg/m³, J/(kg K), Pa s, W/(m K), N/m.
//
// It holds from 0 °C to 800 °C up to 100 MPa and on to 2000 °C up to 50 MPa: regions 1 (liquid), 2 (vapour),
// 3 (the dense fluid around the critical point), 4 (liquid and vapour together) and 5 (hot steam) of IF97.
// Superheated liquid is left out; subcooled vapour is given apart, by MetastableVapour. The critical enhancement of the
// viscosity is set to one, as its release advises for industrial use (CriticalViscosityFactor tells it); that of the
// conductivity is in, in its industrial form. A state outside gives an error that wraps ErrRange and says what the range
// is.
//
// AtPT, AtPH and AtPS give a state by pressure, AtVT and AtVU that of water shut in a volume, SharedPressure the pressure
// of a closed circuit. The pressure of water that fills its volume as a liquid rises by some 5 to 17 bar with each kelvin,
// soon beyond what a tube can bear: see ErrOverPressure, and leave the design of pressure parts and their relief to local
// codes and licensed practice.
//
// Enthalpy and entropy count from the liquid at the triple point.
//
// The functions of state evaluate the equations, a few microseconds each. A march at nearly constant pressure
// reads an Isobar instead: one pressure as a table, read in tens of nanoseconds and without allocation.
//
//	b, err := water.NewIsobar(1e5)
//	if err != nil {
//		return err
//	}
//	state := b.At(1e6) // boiling water: 99.606 °C, a quarter of it vapour
package water
