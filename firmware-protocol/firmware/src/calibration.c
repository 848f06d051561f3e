#include "calibration.h"

#include <stddef.h>

#include "board.h"
#include "copies.h"

#define OFFSET_ZERO 32768u /* of an offset on the wire */
#define MOST_OFFSET_Q5 1024
#define LOW_MV 4400u
#define LOW_OHMS 1000u

static calibration_t constants;

static void use_design_values(void) {
    constants.revision = 0;
    constants.current = (calibration_line_t){CURRENT_GAIN, 0};
    constants.peak = (calibration_line_t){PEAK_GAIN, 0};
    constants.supply = (calibration_line_t){VOLTS_GAIN, 0};
    for (uint8_t i = 0; i < PW_CHANNELS; i++) {
        constants.near[i] = (calibration_line_t){VOLTS_GAIN, 0};
        constants.far[i] = (calibration_line_t){VOLTS_GAIN, 0};
    }
    constants.low_mv = LOW_MV;
    constants.low_ohms = LOW_OHMS;
    for (uint8_t i = 0; i < CALIBRATION_UNCERTAINTIES; i++)
        constants.uncertainty[i] = 0;
    constants.serial[0] = constants.date[0] = '-';
    constants.serial[1] = constants.date[1] = 0;
}

void calibration_load(void) {
    use_design_values();
    copies_read(&constants);
    constants.serial[PW_LONGEST_TEXT] = constants.date[PW_LONGEST_TEXT] = 0;
}

const char *calibration_serial(void) {
    return constants.serial;
}

const char *calibration_date(void) {
    return constants.date;
}

uint16_t calibration_revision(void) {
    return constants.revision;
}

/* What follows the text is zero, so that equal records are equal in every byte. */
static void set_text(char *target, const char *text, uint8_t length) {
    for (uint8_t i = 0; i <= PW_LONGEST_TEXT; i++)
        target[i] = i < length ? text[i] : 0;
}

void calibration_set_serial(const char *text, uint8_t length) {
    set_text(constants.serial, text, length);
}

void calibration_undate(void) {
    set_text(constants.date, "-", 1);
}

const calibration_t *calibration_seal(const char *date, uint8_t length) {
    set_text(constants.date, date, length);
    constants.version = COPIES_RECORD_VERSION;
    constants.revision++;
    constants.crc = copies_crc(&constants);
    return &constants;
}

/* ---- Constants by their number on the wire ---- */

typedef struct {
    calibration_line_t *line;
    uint16_t design_gain;
} item_t;

/* Items come in pairs, gain before offset; the low-current source and the uncertainties come last and are none of
 * these. */
static bool line_of(enum pw_constant item, uint8_t channel, item_t *found) {
    found->design_gain = VOLTS_GAIN;
    switch (item & ~1u) {
    case PW_CONSTANT_CURRENT_GAIN: *found = (item_t){&constants.current, CURRENT_GAIN}; break;
    case PW_CONSTANT_PEAK_GAIN: *found = (item_t){&constants.peak, PEAK_GAIN}; break;
    case PW_CONSTANT_SUPPLY_GAIN: found->line = &constants.supply; break;
    case PW_CONSTANT_NEAR_GAIN: found->line = &constants.near[channel]; return true;
    case PW_CONSTANT_FAR_GAIN: found->line = &constants.far[channel]; return true;
    default: found->line = NULL; break;
    }
    return channel == 0;
}
_Static_assert(PW_CONSTANT_CURRENT_GAIN % 2 == 0 && PW_CONSTANT_CURRENT_OFFSET == PW_CONSTANT_CURRENT_GAIN + 1 &&
                   PW_CONSTANT_PEAK_OFFSET == PW_CONSTANT_PEAK_GAIN + 1 &&
                   PW_CONSTANT_SUPPLY_OFFSET == PW_CONSTANT_SUPPLY_GAIN + 1 &&
                   PW_CONSTANT_NEAR_OFFSET == PW_CONSTANT_NEAR_GAIN + 1 &&
                   PW_CONSTANT_FAR_OFFSET == PW_CONSTANT_FAR_GAIN + 1,
               "items come in pairs");

_Static_assert(PW_CONSTANT_LOW_OHMS + 1 == PW_CONSTANT_U_VOLTS_SCALE &&
                   PW_CONSTANT_U_AMPS_OFFSET + 1 - PW_CONSTANT_U_VOLTS_SCALE == CALIBRATION_UNCERTAINTIES,
               "uncertainties come last, in one row");

/* What the bench itself has no use for: kept for the host. */
static uint16_t *kept(enum pw_constant item) {
    if (item >= PW_CONSTANT_U_VOLTS_SCALE) return &constants.uncertainty[item - PW_CONSTANT_U_VOLTS_SCALE];
    return item == PW_CONSTANT_LOW_VOLTS ? &constants.low_mv : &constants.low_ohms;
}

static bool is_offset(enum pw_constant item) {
    return (item & 1u) != 0;
}

bool calibration_constant(enum pw_constant item, uint8_t channel, uint16_t *value) {
    item_t found;
    if (!line_of(item, channel, &found)) return false;
    if (!found.line)
        *value = *kept(item);
    else
        *value = is_offset(item) ? (uint16_t)(found.line->offset_q5 + OFFSET_ZERO) : found.line->gain;
    return true;
}

static bool within(uint16_t value, uint16_t least, uint16_t most) {
    return value >= least && value <= most;
}

bool calibration_stage(enum pw_constant item, uint8_t channel, uint16_t value) {
    item_t found;
    if (!line_of(item, channel, &found)) return false;
    if (!found.line) {
        if (item == PW_CONSTANT_LOW_VOLTS && !within(value, 3000, 6000)) return false;
        if (item == PW_CONSTANT_LOW_OHMS && !within(value, 500, 2000)) return false;
        *kept(item) = value;
    } else if (is_offset(item)) {
        if (!within(value, OFFSET_ZERO - MOST_OFFSET_Q5, OFFSET_ZERO + MOST_OFFSET_Q5)) return false;
        found.line->offset_q5 = (int16_t)(value - OFFSET_ZERO);
    } else {
        uint16_t eighth = found.design_gain / 8;
        if (!within(value, found.design_gain - eighth, found.design_gain + eighth)) return false;
        found.line->gain = value;
    }
    calibration_undate();
    return true;
}

/* ---- Counts to values and back ---- */

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

uint16_t calibration_near_count(uint8_t channel, uint16_t near_mv) {
    return count_for(&constants.near[channel], near_mv, VOLTS_SHIFT);
}

uint16_t calibration_far_count(uint8_t channel, uint16_t far_mv) {
    return count_for(&constants.far[channel], far_mv, VOLTS_SHIFT);
}
