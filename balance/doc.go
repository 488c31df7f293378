// Package balance reduces what was measured, or what a run computed, to heat: phases of a trial, and for each the
// energy put in, the heat to the water, the heat stored and the heat lost, with their uncertainty; cooling constants;
// whether trials agree; and the map of heat flow over block temperature.
//
// For a phase from a to b
//
//	in     = ∫ Σ f P dt            f: watts into the receiver for one unit of a source's reading
//	water  = ∫ ṁ (h_out − h_in) dt  h by IAPWS-IF97 at temperature and pressure
//	stored = Σ w H(T(b)) − Σ w H(T(a))
//	lost   = in − water − stored
//
// and, where the conductance UA of the losses is known from elsewhere in the record or is given, the balance closes
// to in − water − stored − UA ∫(T − T_ambient) dt.
//
// It takes a history.History and what its columns mean, so that trials and runs go through the same code. It
// computes, it opens nothing. Sentences about the numbers are made beside the numbers and handed out as data.
//
// Left out: heat content of the water in the tubes (its part of the stored heat is that of a kilogram or two), and
// the moment's heat flow corrected for the time that the water needs from inlet to outlet; over a phase both are
// small where the phase is long against that time.
package balance
