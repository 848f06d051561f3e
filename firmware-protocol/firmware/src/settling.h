/* When has a current come to rest? Fed with the mean of each 10 ms. Three ways to be settled:
 * - flat from the start: from the second window on, five lie within 0.5 %, or 5 mA where that is more. A resistor or an
 * LED lamp is done after 60 ms.
 * - foreseen: three means in a row, of 50 or 100 ms each, differ by less and less, as a filament's do once it is near
 * its end. With d and e the older and the newer difference it has e x e / (d - e) to go from the middle of the newest
 * (Aitken 1926; from memory). When that is at most 1.7 %, and the differences stand clear of the noise, `to_go_ma` says
 * what will still be missing after some time more.
 * - come to rest: the mean of the last 100 ms differs from that of the 100 ms before by no more than 0.3 %, or 3 mA,
 * and nothing in those 200 ms lies further than 1 %, or 10 mA, from the rest.
 * The noise of one window's mean is about 1 mA. */
#ifndef PINWALK_SETTLING_H
#define PINWALK_SETTLING_H

#include <stdbool.h>
#include <stdint.h>

#define SETTLING_WINDOW_MS 10
#define SETTLING_WINDOWS 30

typedef struct {
    uint16_t means_ma[SETTLING_WINDOWS]; /* the newest ones, in a ring */
    uint8_t next;
    uint8_t count; /* windows so far; stands still at 255 */
    /* Once settled: what a current that falls (or, negative, rises) still had to go in the middle of the newest `span`
     * windows, in mA x 16, and the share of it, in 256ths, that is left one span later. 0 unless foreseen. */
    int16_t to_go_ma16;
    uint8_t left_share;
    uint8_t span;
} settling_t;

void settling_reset(settling_t *settling);

/* One more window's mean. True when it has settled.
 * 2900 2000 2004 2003 2005 2004 -> true at the sixth; 2400 2300 2220 2150 2100 2060 -> false. */
bool settling_add(settling_t *settling, uint16_t mean_ma);

/* What a reading has to lose (or, negative, gain) that is taken around so long after the last window; before its end
 * where negative, no earlier than its beginning. */
int16_t settling_to_go_ma(const settling_t *settling, int16_t later_ms);

#endif
