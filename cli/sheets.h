/* sheets.h - the tables that commands print as text and the report sets on pages
 *
 * Each is made where its command is. NULL where memory ran out; free with sheet_free. */

#ifndef CLI_SHEETS_H
#define CLI_SHEETS_H

#include "command.h"
#include "sheet.h"

/* Of rates. One row of heads; transfers have two. */
cli_sheet *rates_duties_sheet(const cli_units *units, const eb_rates *rates, bool supply);
cli_sheet *rates_transfers_sheet(const cli_units *units, const eb_rates *rates);
cli_sheet *rates_doors_sheet(const cli_units *units, const eb_rates *rates);
cli_sheet *rates_openings_sheet(const cli_units *units, const eb_rates *rates);
cli_sheet *rates_co2_sheet(const eb_rates *rates);

/* Of ducts. */
cli_sheet *ducts_levels_sheet(const cli_units *units, const eb_ducts *ducts);
cli_sheet *ducts_valves_sheet(const cli_units *units, const eb_ducts *ducts);
cli_sheet *ducts_rooms_sheet(const cli_units *units, const eb_ducts *ducts);
cli_sheet *ducts_house_sheet(const cli_units *units, const eb_ducts *ducts);
cli_sheet *ducts_sizes_sheet(const cli_units *units, const eb_sizes *sizes);

/* "2 x 75", "204x60": what stands in a column headed by the unit of bores. */
void ducts_size_cell(cli_sheet *sheet, const cli_units *units, const eb_run_info *info);

/* The one at which valves are set. */
const eb_level_state *ducts_set_level(const eb_ducts *ducts);

/* Of energy. */
cli_sheet *energy_year_sheet(const eb_energy *energy);
cli_sheet *energy_months_sheet(const cli_units *units, const eb_energy *energy);
cli_sheet *energy_methods_sheet(const eb_energy *energy);

/* Of record. */
cli_sheet *record_rows_sheet(const cli_units *units, const eb_record *record, const char *level);
cli_sheet *record_settings_sheet(const eb_record *record);
cli_sheet *revisit_sheet(const cli_units *units, const eb_revisit *revisit);

#endif
