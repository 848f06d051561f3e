/* From counts to millivolts and milliamps, by the constants in EEPROM or, when there are none, by design values.
 * A mean comes as the sum of 32 conversions ("q5": five bits behind the point). */
#ifndef PINWALK_CALIBRATION_H
#define PINWALK_CALIBRATION_H

#include <stdbool.h>
#include <stdint.h>

#include "../generated/protocol.h"

#define CALIBRATION_SAMPLES 32u

/* value = (q5 - offset_q5) x gain >> shift; the shift belongs to the input and stands in board.h. */
typedef struct {
    uint16_t gain;
    int16_t offset_q5;
} calibration_line_t;

typedef struct {
    uint8_t version;
    calibration_line_t current;
    calibration_line_t peak;
    calibration_line_t supply;
    calibration_line_t near[PW_CHANNELS];
    calibration_line_t far[PW_CHANNELS];
    char serial[PW_LONGEST_TEXT + 1];
    char date[PW_LONGEST_TEXT + 1]; /* YYYY-MM-DD, or `-` */
    uint16_t crc;                   /* CRC-16 over all before it */
} calibration_t;

/* Reads the EEPROM; false when the record is blank or damaged and design values are in force. */
bool calibration_load(void);

const char *calibration_serial(void);
const char *calibration_date(void);

uint16_t calibration_current_ma(uint16_t q5);
uint16_t calibration_peak_ma(uint16_t q5);
uint16_t calibration_supply_mv(uint16_t q5);
int16_t calibration_near_mv(uint8_t channel, uint16_t q5);
int16_t calibration_far_mv(uint8_t channel, uint16_t q5);

/* The other way, for limits: the greatest single count that is not above the value. */
uint16_t calibration_current_count(uint16_t current_ma);
uint16_t calibration_supply_count(uint16_t supply_mv);

#endif
