/* time_stamp.h - a day or an hour as ISO 8601 writes it */

#ifndef EBI_TIME_STAMP_H
#define EBI_TIME_STAMP_H

#include <stdbool.h>
#include <stddef.h>

typedef struct ebi_time_stamp {
  int year;       /* -1: not given */
  int month, day; /* 0..11, 1..31 */
  bool has_time;
  int hour, minute; /* 24:00 is the end of the day */
  bool has_zone;
  int zone; /* minutes that the clock is ahead of UTC */
} ebi_time_stamp;

/* 2019-01-31T07:00, 2019-01-31 07:00:00, 2019-01-31T07:00Z, ...+01:00, 01-31T07:00, or the day
 * alone. NULL, or what is wrong with it. */
const char *ebi_time_stamp_read(const char *text, size_t length, ebi_time_stamp *stamp);

#endif
