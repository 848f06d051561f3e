/* From counts to millivolts and milliamps, by the constants in force: those in EEPROM, design values where there are
 * none, and whatever a host has staged since. A mean comes as the sum of 32 conversions ("q5": five bits behind the
 * point). */
#ifndef PINWALK_CALIBRATION_H
#define PINWALK_CALIBRATION_H

#include <stdbool.h>
#include <stdint.h>

#include "../generated/protocol.h"

#define CALIBRATION_SAMPLES 32u
#define CALIBRATION_UNCERTAINTIES 4

/* value = (q5 - offset_q5) x gain >> shift; the shift belongs to the input and stands in board.h. */
typedef struct {
    uint16_t gain;
    int16_t offset_q5;
} calibration_line_t;

typedef struct {
    uint8_t version;
    uint16_t revision; /* one more with every storing; wraps */
    calibration_line_t current;
    calibration_line_t peak;
    calibration_line_t supply;
    calibration_line_t near[PW_CHANNELS];
    calibration_line_t far[PW_CHANNELS];
    uint16_t low_mv; /* open voltage of the low-current source, for the host */
    uint16_t low_ohms;
    uint16_t uncertainty[CALIBRATION_UNCERTAINTIES]; /* of volts and amps, for the host; 0: not stated */
    char serial[PW_LONGEST_TEXT + 1];
    char date[PW_LONGEST_TEXT + 1]; /* YYYY-MM-DD, or `-` */
    uint16_t crc;                   /* CRC-16 over all before it */
} calibration_t;

/* Reads the newer good copy in EEPROM; design values are in force when there is none. */
void calibration_load(void);

const char *calibration_serial(void);
const char *calibration_date(void);

/* The record in force, sealed under this date and the next revision, as it is to be stored. */
const calibration_t *calibration_seal(const char *date, uint8_t length);
uint16_t calibration_revision(void);

/* A constant by its number on the wire; false when the item has no such channel. */
bool calibration_constant(enum pw_constant item, uint8_t channel, uint16_t *value);
/* False when the value is none that a bench of this design would need. The date is `-` from then on. */
bool calibration_stage(enum pw_constant item, uint8_t channel, uint16_t value);
void calibration_set_serial(const char *text, uint8_t length);
void calibration_undate(void);

uint16_t calibration_current_ma(uint16_t q5);
uint16_t calibration_peak_ma(uint16_t q5);
uint16_t calibration_supply_mv(uint16_t q5);
int16_t calibration_near_mv(uint8_t channel, uint16_t q5);
int16_t calibration_far_mv(uint8_t channel, uint16_t q5);

/* The other way, for limits: the greatest single count that is not above the value. */
uint16_t calibration_current_count(uint16_t current_ma);
uint16_t calibration_supply_count(uint16_t supply_mv);
uint16_t calibration_near_count(uint8_t channel, uint16_t near_mv);
uint16_t calibration_far_count(uint8_t channel, uint16_t far_mv);

#endif
