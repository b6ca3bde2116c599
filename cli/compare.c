/* compare.c - evenbreath compare: which of several houses, or of two settings
 * of one */

#include "compare.h"

#include <stdlib.h>

/* What is wrong with one part of a house leaves the others to compare. */
static eb_status go_on(cli_run *run, eb_status status) {
  if (status == EB_E_ARGUMENT || status >= EB_E_MEMORY)
    return status;
  run->lacking = run->lacking ? run->lacking : status;
  return EB_OK;
}

/* Without a solution there is nothing to order and no year to reckon. */
eb_status compare_rest(cli_run *run) {
  eb_status status = EB_OK;
  if (run->ducts && !run->ducts->sizes)
    status = go_on(run, eb_parts_list(run->context, run->house, NULL, run->ledger, &run->parts));
  if (!status && eb_house_has_climate(run->house))
    status = go_on(run, eb_energy_year(run->context, run->house, run->rates, run->ducts, NULL,
                                       run->ledger, &run->energy));
  return status;
}

static eb_status calculate(cli_run *run) {
  bool ducts = eb_house_has_ducts(run->house);
  eb_status status = ducts ? calculate_ducts(run) : calculate_rates(run);
  return status ? go_on(run, status) : compare_rest(run);
}

eb_status compare_together(cli_run *runs, size_t count) {
  cli_run *all = &runs[count];
  eb_compare_input *inputs = calloc(count, sizeof *inputs);
  if (!inputs)
    return EB_E_MEMORY;
  for (size_t i = 0; i < count; i++) {
    const cli_run *run = &runs[i];
    inputs[i] = (eb_compare_input){.name = run->label,
                                   .house = run->house,
                                   .rates = run->rates,
                                   .ducts = run->ducts,
                                   .energy = run->energy,
                                   .parts = run->parts};
    inputs[i].findings = eb_diagnostics(run->context, &inputs[i].n_findings);
  }
  eb_status status =
      eb_compare_houses(all->context, inputs, count, NULL, all->ledger, &all->comparison);
  free(inputs);
  return status;
}

const cli_command command_compare = {
    .name = "compare",
    .summary = "houses, or two settings of one, side by side: which is better "
               "in what, by how much",
    .help = "Puts any number of houses side by side: required flows that are "
            "met, pressures,\n"
            "specific fan power, sound, ducts and parts, cost, the year, and "
            "what was found of\n"
            "each; then what differs between the files, run by run. A * stands "
            "at the figure that\n"
            "wins its row, and by how much over the next; there is no score of "
            "all rows. What a\n"
            "file does not give is \"-\", and then wins and loses nothing.\n\n"
            "One file with --set is compared with itself: A as it is written, "
            "B with all that is\n"
            "set. With several files --set acts on each of them.\n\n"
            "The life-cycle cost is the parts and the energy bills of 25 years "
            "at 3 % interest,\n"
            "unless the file says otherwise: costs: {parts: {years: 20, "
            "interest: 2 %}}.\n",
    .examples = "evenbreath compare alder-row.yaml alder-row-branched.yaml\n"
                "evenbreath compare --set unit=generic-unit-b alder-row.yaml\n",
    .calculate = calculate,
    .together = compare_together,
    .text_all = compare_text,
    .json_all = compare_json,
};
