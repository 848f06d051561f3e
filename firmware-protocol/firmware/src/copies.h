/* The two copies of the constants in EEPROM. The older one is written over, so that a power cut at any byte leaves the
 * newer one whole. */
#ifndef PINWALK_COPIES_H
#define PINWALK_COPIES_H

#include <stdbool.h>
#include <stdint.h>

#include "calibration.h"

#define COPIES_RECORD_VERSION 1

/* Reads the newer good copy; false, and the record as it was, when neither is good. */
bool copies_read(calibration_t *record);
/* How many are good. */
uint8_t copies_good(void);

/* CRC-16 of a record, its own crc left out. */
uint16_t copies_crc(const calibration_t *record);

/* Writes the record over the older copy, a byte at a time: version blanked first and written last. The record must stay
 * as it is meanwhile. */
void copies_begin(const calibration_t *record);
enum copies_progress { COPIES_WRITING, COPIES_WRITTEN, COPIES_FAILED };
/* Never waits; to be polled until it is over. */
enum copies_progress copies_poll(void);

#endif
