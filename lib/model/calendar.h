/* calendar.h - hours and days of a year, and dates as numbers */

#ifndef EBI_MODEL_CALENDAR_H
#define EBI_MODEL_CALENDAR_H

#include <stdbool.h>

/* Places for the days and hours of a leap year, in which each date has its own. */
#define EBI_CALENDAR_DAYS 366
#define EBI_CALENDAR_HOURS (24 * EBI_CALENDAR_DAYS)
#define EBI_LEAP_DAY 59 /* 29 February, counted from 0 */

/* Days of month 0..11. */
int ebi_month_days(int month, bool leap);
bool ebi_leap_year(int year);

/* Day 0..365 of a leap year from month 0..11 and day 1..31, and back. */
int ebi_calendar_day(int month, int day);
void ebi_calendar_date(int place, int *month, int *day);

/* Days since 1 January of year 0 (proleptic Gregorian), years 0..9999; and back. */
long ebi_day_number(int year, int month, int day);
void ebi_date_of_number(long number, int *year, int *month, int *day);

#endif
