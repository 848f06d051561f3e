/* Counts of the NTC input to degrees. Knows nothing of the chip; tested on the host. */
#ifndef PINWALK_TEMPERATURE_H
#define PINWALK_TEMPERATURE_H

#include <stdint.h>

/* In 0.1 degrees Celsius, within 0.2 of the part's own equation; outside -40 to 85 (a broken or shorted sensor too) the
 * nearer end. Takes the sum of 32 conversions: 16384 (half of the reference) -> 250. */
int16_t temperature_decidegrees(uint16_t q5);

#endif
