/* suites.h - the unit suites */

#ifndef SUITES_H
#define SUITES_H

#include <check.h>

#define SUITE(name) Suite *suite_##name(void);
#include "suites.def"
#undef SUITE

#endif
