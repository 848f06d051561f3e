#include "calibration.h"

#include <avr/eeprom.h>
#include <stddef.h>

#include "board.h"
#include "crc16.h"

#define RECORD_VERSION 1
#define RECORD_ADDRESS ((const void *)0)

static calibration_t constants;

static void use_design_values(void) {
    constants.current = (calibration_line_t){CURRENT_GAIN, 0};
    constants.peak = (calibration_line_t){PEAK_GAIN, 0};
    constants.supply = (calibration_line_t){VOLTS_GAIN, 0};
    for (uint8_t i = 0; i < PW_CHANNELS; i++) {
        constants.near[i] = (calibration_line_t){VOLTS_GAIN, 0};
        constants.far[i] = (calibration_line_t){VOLTS_GAIN, 0};
    }
    constants.serial[0] = constants.date[0] = '-';
    constants.serial[1] = constants.date[1] = 0;
}

static bool record_holds(void) {
    if (constants.version != RECORD_VERSION) return false;
    const uint8_t *bytes = (const uint8_t *)&constants;
    uint16_t crc = CRC16_START;
    for (uint8_t i = 0; i < offsetof(calibration_t, crc); i++)
        crc = crc16_add(crc, bytes[i]);
    return crc == constants.crc;
}
_Static_assert(sizeof(calibration_t) < 256, "an eight-bit index reaches every byte");

bool calibration_load(void) {
    eeprom_read_block(&constants, RECORD_ADDRESS, sizeof constants);
    if (record_holds()) {
        constants.serial[PW_LONGEST_TEXT] = constants.date[PW_LONGEST_TEXT] = 0;
        return true;
    }
    use_design_values();
    return false;
}

const char *calibration_serial(void) {
    return constants.serial;
}

const char *calibration_date(void) {
    return constants.date;
}

/* Rounded to the nearest; nothing below zero, nothing above `most`. */
static uint16_t apply(const calibration_line_t *line, uint16_t q5, uint8_t shift, uint16_t most) {
    int32_t counts = (int32_t)q5 - line->offset_q5;
    if (counts <= 0) return 0;
    uint32_t value = ((uint32_t)counts * line->gain + (1ul << (shift - 1))) >> shift;
    return value > most ? most : (uint16_t)value;
}

uint16_t calibration_current_ma(uint16_t q5) {
    return apply(&constants.current, q5, CURRENT_SHIFT, UINT16_MAX);
}

uint16_t calibration_peak_ma(uint16_t q5) {
    return apply(&constants.peak, q5, PEAK_SHIFT, UINT16_MAX);
}

uint16_t calibration_supply_mv(uint16_t q5) {
    return apply(&constants.supply, q5, VOLTS_SHIFT, UINT16_MAX);
}

int16_t calibration_near_mv(uint8_t channel, uint16_t q5) {
    return (int16_t)apply(&constants.near[channel], q5, VOLTS_SHIFT, INT16_MAX);
}

int16_t calibration_far_mv(uint8_t channel, uint16_t q5) {
    return (int16_t)apply(&constants.far[channel], q5, VOLTS_SHIFT, INT16_MAX);
}

/* count = value x 2^shift / gain / 32 + offset, rounded down. A gain of zero cannot come through the checksum by
 * accident; it is still not divided by. */
static uint16_t count_for(const calibration_line_t *line, uint16_t value, uint8_t shift) {
    uint32_t q5 = line->gain == 0 ? 0 : ((uint32_t)value << shift) / line->gain;
    int32_t shifted = (int32_t)q5 + line->offset_q5;
    if (shifted < 0) return 0;
    uint32_t count = (uint32_t)shifted / CALIBRATION_SAMPLES;
    return count > 1023u ? 1023u : (uint16_t)count;
}

uint16_t calibration_current_count(uint16_t current_ma) {
    return count_for(&constants.current, current_ma, CURRENT_SHIFT);
}

uint16_t calibration_supply_count(uint16_t supply_mv) {
    return count_for(&constants.supply, supply_mv, VOLTS_SHIFT);
}
