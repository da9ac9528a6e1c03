/*
 * home.h - the address where the program's pages are, if the build names one.
 *
 * Whoever builds the program decides which pages it points to: `make HOME_PAGE=https://...`.
 */
#ifndef ROTORTAB_REPORT_HOME_H
#define ROTORTAB_REPORT_HOME_H

/* Without a slash at its end; "" if the build named none. */
extern const char report_home[];

#endif
