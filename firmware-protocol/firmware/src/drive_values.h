/* The numbers of a running drive: what the converter has gathered, turned into milliamps and millivolts. */
#ifndef PINWALK_DRIVE_VALUES_H
#define PINWALK_DRIVE_VALUES_H

#include <stdbool.h>
#include <stdint.h>

#include "measurement.h"

void drive_values_begin(void);

/* Takes all conversions since the last time into current, peak, samples, spread and supply of the measurement, and into
 * the pin's voltage. False when there was no conversion of the current. */
bool drive_values_take(measurement_t *measurement, uint8_t channel);

/* The output has just gone off. After a trip the current is the last conversion before it; the pin's voltage is what
 * was seen last, unless a look had measured it already. */
void drive_values_at_stop(measurement_t *measurement, uint8_t channel, enum pw_end why);

/* Of the driven pin over the last two windows, some 30 conversions; NOT_MEASURED before there were two. */
int16_t drive_values_pin_steady_mv(void);

/* Newest voltage of the driven pin; 0 before the first. */
int16_t drive_values_pin_mv(void);
void drive_values_note_pin(int16_t millivolts);

#endif
