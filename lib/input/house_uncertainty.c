/* house_uncertainty.c - `uncertainty:`, one standard deviation of each input of the year
 *
 *   uncertainty: {flow: 5 %, ratio: 2 %, leakage: 15 %, degree_days: 6 %, gains: 20 %}
 *
 * Each is a share of its input, but for the ratio, to which it is added. */

#include "input/house_read.h"

#define MOST 1.0       /* as unsure as it is large */
#define MOST_RATIO 0.5 /* added to a temperature ratio */

static const ebi_field uncertainty_fields[] = {
    {.key = "flow",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_RATIO,
     .high = MOST,
     .offset = offsetof(ebi_uncertainty, flow),
     .about = "of the flows set"},
    {.key = "ratio",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_RATIO,
     .high = MOST_RATIO,
     .offset = offsetof(ebi_uncertainty, ratio),
     .about = "added to the exchanger's temperature ratio"},
    {.key = "degree_days",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_RATIO,
     .high = MOST,
     .offset = offsetof(ebi_uncertainty, degree_days),
     .about = "of the weather of a year"},
    {.key = "leakage",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_RATIO,
     .high = MOST,
     .offset = offsetof(ebi_uncertainty, leakage),
     .about = "of the air through leaks"},
    {.key = "gains",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_RATIO,
     .high = MOST,
     .offset = offsetof(ebi_uncertainty, gains),
     .about = "of the useful gains"},
    {.key = "baseline",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_RATIO,
     .high = MOST,
     .offset = offsetof(ebi_uncertainty, baseline),
     .about = "of the baseline's air beside its leaks"},
    {.key = "heat_loss",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_RATIO,
     .high = MOST,
     .offset = offsetof(ebi_uncertainty, heat_loss),
     .about = "of the fabric's heat loss"},
};

const ebi_field ebi_uncertainty_form = {.type = EBI_FIELD_MAPPING, EBI_TABLE(uncertainty_fields)};

void ebi_house_read_uncertainty(ebi_reader *reader, const ebi_yaml *value) {
  ebi_uncertainty *uncertainty = &ebi_reading(reader)->house->uncertainty;
  ebi_fields_read(reader, value, "the uncertainty", uncertainty_fields,
                  EBI_COUNT_OF(uncertainty_fields), uncertainty);
  uncertainty->where = value->where;
}
