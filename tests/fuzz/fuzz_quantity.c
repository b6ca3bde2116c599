/* fuzz_quantity.c - any text as a quantity: the first byte picks its kind */

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/quantity.h"
#include "fuzz.h"

static void require(bool good) {
  if (!good)
    abort();
}

/* What is shown must read back as what it was, to the digits that are shown. */
static void check_round_trip(double si, ebi_kind kind) {
  char text[64];
  ebi_shown shown = ebi_quantity_show(si, kind);
  if (!isfinite(shown.value))
    return; /* near the end of the doubles the shown unit may be too small */
  size_t length = ebi_number_print(text, shown.value);
  require(length < 32);
  text[length] = ' ';
  strcpy(text + length + 1, shown.unit);
  ebi_quantity again = ebi_quantity_read(text, strlen(text), kind);
  if (again.fault == EBI_QUANTITY_OK)
    require(fabs(again.value - si) <= 1e-11 * fabs(si) + 1e-9);
  else
    require(fabs(shown.value) > 1e300);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
  if (size < 1 || size > 300)
    return 0;
  ebi_kind kind = (ebi_kind)(data[0] % EBI_KIND_COUNT);
  char *text = malloc(size); /* to the byte, so that a step beyond is seen */
  require(text != NULL);
  memcpy(text, data + 1, size - 1);
  ebi_quantity read = ebi_quantity_read(text, size - 1, kind);
  require(isfinite(read.value));
  if (read.fault == EBI_QUANTITY_OK) {
    char unit[300] = "";
    memcpy(unit, read.unit, read.unit_length);
    double si = NAN;
    require(ebi_unit_to_si(1, unit, kind, &si) && isfinite(si));
    check_round_trip(read.value, kind);
  }
  free(text);
  return 0;
}
