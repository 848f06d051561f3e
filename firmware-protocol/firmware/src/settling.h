/* Has the current settled? By its slope, not by a fixed wait. Knows nothing of the chip; tested on the host.
 *
 * Fed with the mean of each 10 ms. Two ways to be settled:
 * - flat from the start: from the second window on, five lie within 0.5 %, or 5 mA where that is more. A resistor or an
 * LED lamp is done after 60 ms.
 * - come to rest: the mean of the last 100 ms differs from that of the 100 ms before by no more than 0.3 %, or 3 mA,
 * and nothing in those 200 ms lies further than 1 %, or 10 mA, from the rest. A filament that approaches its end with a
 * time constant T then has 0.3 % / (exp(100 ms / T) - 1) to go: 0.35 % at 160 ms. The noise of one window's mean is 1
 * to 2 mA. */
#ifndef PINWALK_SETTLING_H
#define PINWALK_SETTLING_H

#include <stdbool.h>
#include <stdint.h>

#define SETTLING_WINDOW_MS 10
#define SETTLING_WINDOWS 20

typedef struct {
    uint16_t means_ma[SETTLING_WINDOWS]; /* the newest ones, in a ring */
    uint8_t next;
    uint8_t count; /* windows so far; stands still at 255 */
} settling_t;

void settling_reset(settling_t *settling);

/* One more window's mean. True when it has settled.
 * 2900 2000 2004 2003 2005 2004 -> true at the sixth; 2400 2300 2220 2150 2100 2060 -> false. */
bool settling_add(settling_t *settling, uint16_t mean_ma);

#endif
