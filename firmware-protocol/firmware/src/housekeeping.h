/* Supply and temperature for `status`: looked at four times a second while no job runs, taken from the jobs otherwise.
 */
#ifndef PINWALK_HOUSEKEEPING_H
#define PINWALK_HOUSEKEEPING_H

#include <stdint.h>

#include "sampling.h"

/* The first look, so that the first `status` tells the truth; takes about 4 ms. */
void housekeeping_init(void);
void housekeeping_poll(void);

uint16_t housekeeping_supply_mv(void);
int16_t housekeeping_temperature(void); /* 0.1 degrees Celsius */

/* A job has measured the supply. */
void housekeeping_note_supply(const samples_t *supply);

#endif
