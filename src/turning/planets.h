/*
 * planets.h - whether neighbouring planets of an epicyclic set touch.
 *
 * Equally spaced planets turn on a circle of diameter sun + planet, counted in modules.  The
 * centres of two neighbours are (sun + planet) sin(180 deg / planets) apart.  Each planet is planet
 * + 2 across, with teeth of full depth.  (SDP/SI, Elements of Metric Gear Technology, p. T-116, eq.
 * 13-9.)
 *
 * The sine is bounded from both sides in whole numbers, so no rounding decides.
 */
#ifndef ROTORTAB_TURNING_PLANETS_H
#define ROTORTAB_TURNING_PLANETS_H

#include <stdbool.h>
#include <stdint.h>

/*
 * Whether neighbours touch or overlap: (sun + planet) sin(180 deg / planets) <= planet + 2.  Each
 * number is 1 to 9999.  One planet has no neighbour.  Where the bounds of the sine do not decide,
 * which takes a difference below 10^-12 of a module, the answer is yes.
 */
bool turning_planets_touch(int64_t sun, int64_t planet, int64_t planets);

#endif
