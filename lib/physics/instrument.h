/* instrument.h - what a flow instrument shows against what flows */

#ifndef EBI_INSTRUMENT_PHYSICS_H
#define EBI_INSTRUMENT_PHYSICS_H

/* Factor from the flow shown to the flow of the air that is there, of density `density` [kg/m3],
 * for instruments calibrated at 1.2 kg/m3: those that go by a pressure (orifice, pitot, k-factor),
 * and those that go by cooling (hot wire or film). A vane shows the velocity itself. */
double ebi_pressure_instrument_factor(double density);
double ebi_thermal_instrument_factor(double density);

/* Resistances K in Pa per flow squared. Flow without the hood, where the pressure behind the branch
 * stays. Any unit of flow, >= 0; K >= 0, of the branch > 0. */
double ebi_flow_without_hood(double read, double hood, double branch);

/* Of the branch, from the flows read with the hood's flap open (K1, q1) and closed (K2, q2 < q1).
 * NAN where the two tell nothing. */
double ebi_branch_by_two_positions(double open_hood, double closed_hood, double open_flow,
                                   double closed_flow);

#endif
