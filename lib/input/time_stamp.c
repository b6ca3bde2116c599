/* time_stamp.c - a day or an hour as ISO 8601 writes it */

#include "input/time_stamp.h"

#include "model/calendar.h"

typedef struct scan {
  const char *text;
  size_t length, at;
} scan;

/* Exactly `digits` digits; -1 where there are others. */
static int take_number(scan *s, size_t digits) {
  int value = 0;
  if (s->length - s->at < digits)
    return -1;
  for (size_t i = 0; i < digits; i++) {
    char c = s->text[s->at + i];
    if (c < '0' || c > '9')
      return -1;
    value = 10 * value + (c - '0');
  }
  s->at += digits;
  return value;
}

static char next(const scan *s) {
  return s->at < s->length ? s->text[s->at] : '\0';
}

static bool take(scan *s, char c) {
  if (next(s) != c)
    return false;
  s->at++;
  return true;
}

static bool take_date(scan *s, ebi_time_stamp *stamp) {
  bool has_year = s->length - s->at > 4 && s->text[s->at + 4] == '-';
  stamp->year = has_year ? take_number(s, 4) : -1;
  if (has_year && (stamp->year < 1 || !take(s, '-')))
    return false;
  stamp->month = take_number(s, 2) - 1;
  if (stamp->month < 0 || stamp->month > 11 || !take(s, '-'))
    return false;
  stamp->day = take_number(s, 2);
  bool leap = !has_year || ebi_leap_year(stamp->year);
  return stamp->day >= 1 && stamp->day <= ebi_month_days(stamp->month, leap);
}

/* Seconds may stand there, but no parts of a minute. */
static bool take_time(scan *s, ebi_time_stamp *stamp) {
  stamp->has_time = true;
  stamp->hour = take_number(s, 2);
  stamp->minute = take(s, ':') ? take_number(s, 2) : -1;
  if (stamp->hour < 0 || stamp->hour > 24 || stamp->minute < 0 || stamp->minute > 59)
    return false;
  if (take(s, ':') && take_number(s, 2) != 0)
    return false;
  if (take(s, '.'))
    while (take(s, '0'))
      continue;
  return stamp->hour < 24 || stamp->minute == 0;
}

/* Z, +01:00, +0100 or +01. */
static bool take_zone(scan *s, ebi_time_stamp *stamp) {
  if (s->at == s->length)
    return true;
  stamp->has_zone = true;
  if (take(s, 'Z') || take(s, 'z'))
    return s->at == s->length;
  int sign = take(s, '-') ? -1 : take(s, '+') ? 1 : 0;
  int hours = take_number(s, 2), minutes = 0;
  if (s->at < s->length) {
    (void)take(s, ':');
    minutes = take_number(s, 2);
  }
  stamp->zone = sign * (60 * hours + minutes);
  return sign != 0 && hours >= 0 && hours <= 14 && minutes >= 0 && minutes < 60 &&
         s->at == s->length;
}

const char *ebi_time_stamp_read(const char *text, size_t length, ebi_time_stamp *stamp) {
  scan s = {text, length, 0};
  *stamp = (ebi_time_stamp){.year = -1};
  if (!take_date(&s, stamp))
    return "a day of the calendar is due, as in 2019-01-31 or 01-31";
  if (s.at == s.length)
    return NULL;
  if (!take(&s, 'T') && !take(&s, 't') && !take(&s, ' '))
    return "after the day stands T or a blank, and then the hour, as in 2019-01-31T07:00";
  if (!take_time(&s, stamp))
    return "the time is due as hours and minutes, 07:00, from 00:00 to 24:00";
  if (!take_zone(&s, stamp))
    return "after the time may stand Z or an offset such as +01:00, and nothing else";
  return NULL;
}
