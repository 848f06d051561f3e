/* Has the current settled? By its slope, not by a fixed wait. Knows nothing of the chip; tested on the host. */
#ifndef PINWALK_SETTLING_H
#define PINWALK_SETTLING_H

#include <stdbool.h>
#include <stdint.h>

#define SETTLING_WINDOW_MS 10
#define SETTLING_WINDOWS 5

typedef struct {
    uint16_t means_ma[SETTLING_WINDOWS];
    uint8_t count; /* stands still at SETTLING_WINDOWS */
    uint8_t next;
} settling_t;

void settling_reset(settling_t *settling);

/* One more window's mean. True when the means of the last five windows (50 ms) lie within 0.25 % of the newest, or 5 mA
 * where that is more: the noise of a window's mean is 1 to 2 mA.
 * 2000 2004 2003 2005 2004 -> true at the fifth; 2400 2300 2220 2150 2100 -> false. */
bool settling_add(settling_t *settling, uint16_t mean_ma);

#endif
