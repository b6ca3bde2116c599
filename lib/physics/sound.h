/* sound.h - sound in ducts and rooms, by octave bands of 63 Hz to 8 kHz
 *
 * Powers are dB re 1 pW, levels in rooms dB re 20 uPa, losses dB and positive. A band is
 * its number, 0 for 63 Hz to 7 for 8 kHz. Arguments are SI. Silence is -infinity, which
 * sums and losses carry on; a function is NAN outside the range that it states.
 *
 * "Guide 2009" is an application guide on sound in ventilation design of 2009 that prints
 * the algorithms of the ASHRAE handbooks of the 1990s in inches and feet. */

#ifndef EBI_SOUND_H
#define EBI_SOUND_H

#include "evenbreath.h"

#define EBI_SPEED_OF_SOUND 343.0 /* m/s, air of 20 C */

/* ---- Levels (sound.c) ---- */

/* Middle frequency of a band [Hz]. */
double ebi_octave_hz(size_t band);

/* A-weighting of a band [dB], IEC 61672-1 (from memory). */
double ebi_octave_a(size_t band);

/* Two powers or levels together: 10 lg(10^(a/10) + 10^(b/10)). */
double ebi_sound_add(double a, double b);

/* All bands together, and weighted: dB(A). */
double ebi_sound_total(const double bands[EB_OCTAVES]);
double ebi_sound_weighted(const double bands[EB_OCTAVES]);

/* ---- Fans and valves (sound_source.c) ---- */

/* Total power of a fan by rule of thumb: 37 + 10 lg V + 20 lg dp, +-4 dB (VDI 2081:2001,
 * from memory). flow, rise > 0. */
double ebi_sound_fan_rule(double flow, double rise);

/* Power in a band by specific level: that + duty + increment in the band of the blade
 * frequency + off-peak (TM 5-805-4, eq. C-5). */
double ebi_sound_fan_band(size_t band, double specific, double duty, double blade_hz,
                          double increment, double off_peak);

/* 10 lg Q + 20 lg P of that form, Q in cfm and P in inches of water; flow, rise > 0. */
double ebi_sound_fan_duty(double flow, double rise);

/* Frequency of the blades [Hz]: turns a second x blades. */
double ebi_sound_blade_hz(double turns, double blades);

/* What a fan is louder beside its best efficiency; share 0.5..1 of its peak (Guide 2009; 65
 * to 74 and 55 to 64 % from memory). */
double ebi_sound_off_peak(double share);

/* What a fan or a valve was measured at. */
typedef struct ebi_sound_duty {
  double flow, pressure; /* m3/s, Pa; > 0 */
  double speed;          /* of a fan, 0..1; 0: not known */
  const double *power;   /* by band */
} ebi_sound_duty;

/* What a fan is louder at a duty than at a stated one: 50 lg of the speeds, and 20 lg of
 * the pressures beyond what the speeds explain, at most 3 dB either way (fan laws of sound,
 * VDI 2081, from memory; the bound is own). Where a speed is not known, 10 lg of the
 * flows and 20 lg of the pressures. -infinity at rest. */
double ebi_sound_fan_shift(const ebi_sound_duty *stated, double flow, double rise, double speed);

/* What a valve is louder: 10 lg of the flows and 25 lg of the drops, so 60 lg of the flow
 * at a fixed opening (own calculation: power as area x speed^6 in the gap, within the 50 to
 * 60 lg of common practice). -infinity without flow or drop. */
double ebi_sound_valve_shift(const ebi_sound_duty *stated, double flow, double drop);

/* Power by band at a duty from n >= 1 stated ones, each shifted to it; between them
 * by 1/distance^2 in lg flow and lg pressure, so that each stated figure is met. */
void ebi_sound_fan(const ebi_sound_duty *stated, size_t n, double flow, double rise, double speed,
                   double power[EB_OCTAVES]);
void ebi_sound_valve(const ebi_sound_duty *stated, size_t n, double flow, double drop,
                     double power[EB_OCTAVES]);

/* ---- Losses on the way (sound_duct.c) ---- */

/* Of a metre of bare round duct [dB/m], ASHRAE HVAC Applications (from memory, for 305 mm
 * quoted by Guide 2009); 8 kHz as 4 kHz. bore > 0. */
double ebi_sound_unlined_round(double bore, size_t band);

/* Of bare rectangular duct [dB/m] by perimeter P over area A [1/ft]: below 3 1.64 (P/A)^0.73
 * f^-0.58 dB/ft, else 17 (P/A)^-0.25 f^-0.85 to 250 Hz and 0.02 (P/A)^0.8 above (Guide 2009,
 * tables 16 and 18). Tables end at 8/ft. width, height > 0. */
double ebi_sound_unlined_rectangle(double width, double height, size_t band);

/* Of lined round duct [dB/m], lining 25..76 mm thick inside, clear bore 100..1524 mm (below
 * 152 mm extrapolated); Guide 2009, tables 20 and 21 (Reynolds & Bledsoe). */
double ebi_sound_lined_round(double bore, double lining, size_t band);

/* Of lined rectangular duct [dB/m], the bare duct's loss included: B (P/A)^C t^D dB/ft, t in
 * inches; Guide 2009, table 18, confirmed for 25 mm. lining 25..51 mm. */
double ebi_sound_lined_rectangle(double width, double height, double lining, size_t band);

/* Of a round bend of 90 degrees by f x bore; Guide 2009 (readings of a graph). bore > 0. */
double ebi_sound_bend_round(double bore, size_t band);

/* Of a mitred bend with vanes by f x width; the same. */
double ebi_sound_bend_vaned(double width, size_t band);

/* At a junction into one branch of all that leave: 10 lg(sum / area), ASHRAE, CIBSE. */
double ebi_sound_division(double area, double sum);

/* End reflection of a duct of diameter D [m] at f [Hz]: 10 lg(1 + (0.7 c / (pi f D))^2) flush
 * with a wall, 1.0 for 0.7 in free space (ASHRAE after Cunefare & Michaud 2008). */
double ebi_sound_end_flush(double diameter, double hz);
double ebi_sound_end_free(double diameter, double hz);

/* The older handbooks' flush form, 10 lg(1 + (0.8 c / (pi f D))^1.88), to reproduce them. */
double ebi_sound_end_old(double diameter, double hz);

/* The piston in a baffle (Rayleigh), which the flush form approximates to 0.25 dB for 80 to
 * 250 mm and 63 to 1000 Hz. pi f D / c up to 10. */
double ebi_sound_end_piston(double diameter, double hz);

/* ---- Sound that the air makes itself (sound_flow.c) ---- */

/* Total power of straight duct: 7 + 50 lg v + 10 lg A (VDI 2081, from memory). */
double ebi_sound_duct_flow(double velocity, double area);

/* In a band: 2 + 26 lg(1.14 + 0.02 f/v) below the total (VDI 2081, from memory). */
double ebi_sound_duct_flow_band(double velocity, double area, size_t band);

/* Spectrum of bends with and without vanes, of junctions (speed_ratio of main over branch)
 * and of dampers by Strouhal number f D / v; Guide 2009. strouhal > 0. */
double ebi_sound_vaned_spectrum(double strouhal);
double ebi_sound_bend_spectrum(double strouhal);
double ebi_sound_junction_spectrum(double strouhal, double speed_ratio);
double ebi_sound_damper_spectrum(double strouhal);

/* Power in a band from a spectrum: K + 10 lg f + 50 lg U + 10 lg S + 10 lg D - 107 in feet and
 * minutes; velocity [m/s], area [m2], depth [m] > 0; Guide 2009. */
double ebi_sound_generated(double spectrum, double hz, double velocity, double area, double depth);

/* A damper's loss coefficient by its drop, and the part of the duct it leaves open. */
double ebi_sound_damper_loss(double drop, double velocity);
double ebi_sound_damper_blockage(double coefficient, bool single_blade);

/* ---- Rooms (sound_room.c) ---- */

/* Sabine's absorption area [m2]: 0.163 V / T. */
double ebi_sound_absorption(double volume, double reverberation_s);

/* Level less power: 10 lg(4/A), mean over the room; with the direct sound of a source of
 * directivity Q at r [m], 10 lg(Q/(4 pi r^2) + 4/A) (VDI 2081, CIBSE, ASHRAE). */
double ebi_sound_room_mean(double absorption);
double ebi_sound_room_at(double directivity, double distance, double absorption);

/* Schultz 1985: -10 lg r - 5 lg V - 3 lg f + 12, furnished dwelling rooms (from memory). */
double ebi_sound_room_schultz(double distance, double volume, double hz);

/* Many outlets in a ceiling, the sum of all: level of one outlet less this. H [m] above the
 * ear, area per outlet over H^2, N outlets: 27.6 lg H + 5 lg A + 3 lg f - 1.3 lg N - 30, H in ft;
 * Guide 2009. */
double ebi_sound_room_ceiling(double height, double area_ratio, double outlets, double hz);

#endif
