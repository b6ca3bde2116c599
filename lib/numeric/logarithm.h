/* logarithm.h - a natural logarithm without branches, for loops over many numbers
 *
 * A compiler turns a loop of it into vector code, of any width with the same
 * bits. Within 2 units in the last place of libm's, for finite x >= 1e-300;
 * other arguments give some number or other. */

#ifndef EBI_LOGARITHM_H
#define EBI_LOGARITHM_H

#include <stdint.h>
#include <string.h>

static inline uint64_t ebi_bits_of(double x) {
  uint64_t bits;
  memcpy(&bits, &x, sizeof bits);
  return bits;
}

static inline double ebi_of_bits(uint64_t bits) {
  double x;
  memcpy(&x, &bits, sizeof x);
  return x;
}

/* x = 2^k m with m within sqrt(1/2) .. sqrt 2 (IEEE 754 binary64); k becomes a double by standing
 * in the last digits of 2^52. Then ln m = 2 artanh s, s = (m - 1)/(m + 1), by its series, of
 * which s^23/23 is below the last place. */
static inline double ebi_logarithm(double x) {
  const uint64_t one = 0x3ff0000000000000u, root_half = 0x3fe6a09e667f3bcdu;
  const uint64_t two52 = 0x4330000000000000u;
  uint64_t bits = ebi_bits_of(x), k = (bits + (one - root_half)) >> 52; /* k + 1023 */
  double m = ebi_of_bits(bits - (k << 52) + one);
  double exponent = ebi_of_bits(k | two52) - (0x1p52 + 1023.0);
  double s = (m - 1.0) / (m + 1.0), z = s * s, z2 = z * z;
  double low = (1.0 / 3.0 + z * (1.0 / 5.0)) + z2 * (1.0 / 7.0 + z * (1.0 / 9.0));
  double middle = (1.0 / 11.0 + z * (1.0 / 13.0)) + z2 * (1.0 / 15.0 + z * (1.0 / 17.0));
  double high = 1.0 / 19.0 + z * (1.0 / 21.0);
  double z4 = z2 * z2;
  double series = low + z4 * (middle + z4 * high);
  return exponent * 0.69314718055994530942 + 2.0 * (s + s * z * series);
}

#endif
