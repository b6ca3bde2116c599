/* calendar.c - hours and days of a year, and dates as numbers */

#include "model/calendar.h"

int ebi_month_days(int month, bool leap) {
  static const int days[12] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  return days[month] + (month == 1 && leap);
}

bool ebi_leap_year(int year) {
  return year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
}

int ebi_calendar_day(int month, int day) {
  int place = day - 1;
  for (int i = 0; i < month; i++)
    place += ebi_month_days(i, true);
  return place;
}

void ebi_calendar_date(int place, int *month, int *day) {
  *month = 0;
  while (place >= ebi_month_days(*month, true))
    place -= ebi_month_days((*month)++, true);
  *day = place + 1;
}

/* Of whole years before `year`; year 0 is a leap year. */
static long days_before(long year) {
  return year > 0 ? 365 * year + (year - 1) / 4 - (year - 1) / 100 + (year - 1) / 400 + 1 : 0;
}

long ebi_day_number(int year, int month, int day) {
  long number = days_before(year) + day - 1;
  for (int i = 0; i < month; i++)
    number += ebi_month_days(i, ebi_leap_year(year));
  return number;
}

void ebi_date_of_number(long number, int *year, int *month, int *day) {
  *year = (int)(number / 366);
  while (days_before(*year + 1) <= number)
    ++*year;
  long left = number - days_before(*year);
  *month = 0;
  while (left >= ebi_month_days(*month, ebi_leap_year(*year)))
    left -= ebi_month_days((*month)++, ebi_leap_year(*year));
  *day = (int)left + 1;
}
