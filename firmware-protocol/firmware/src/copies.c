#include "copies.h"

#include <avr/eeprom.h>
#include <stddef.h>

#include "crc16.h"

#define COPIES 2u
#define COPY_BYTES 256u
#define BLANK 0xFF
#define RECORD_BYTES ((uint8_t)sizeof(calibration_t))
_Static_assert(sizeof(calibration_t) < COPY_BYTES, "an eight-bit index reaches every byte");
_Static_assert(offsetof(calibration_t, version) == 0, "the version is the first byte");

static const uint8_t *written;
static uint8_t *target;
static enum { BLANKING, BODY, VERSION, VERIFYING } phase;
static uint8_t at;

static uint8_t *copy(uint8_t number) {
    return (uint8_t *)(uint16_t)(number * COPY_BYTES);
}

static uint16_t word_at(const uint8_t *address) {
    return eeprom_read_word((const uint16_t *)address);
}

static bool holds(uint8_t number) {
    const uint8_t *bytes = copy(number);
    if (eeprom_read_byte(bytes) != COPIES_RECORD_VERSION) return false;
    uint16_t crc = CRC16_START;
    for (uint8_t i = 0; i < offsetof(calibration_t, crc); i++)
        crc = crc16_add(crc, eeprom_read_byte(bytes + i));
    return crc == word_at(bytes + offsetof(calibration_t, crc));
}

static uint16_t revision(uint8_t number) {
    return word_at(copy(number) + offsetof(calibration_t, revision));
}

/* The number of the newer good copy, or COPIES. */
static uint8_t newest(void) {
    bool first = holds(0);
    if (!holds(1)) return first ? 0 : COPIES;
    if (!first) return 1;
    return (int16_t)(revision(1) - revision(0)) > 0 ? 1 : 0;
}

bool copies_read(calibration_t *record) {
    uint8_t number = newest();
    if (number == COPIES) return false;
    eeprom_read_block(record, copy(number), sizeof *record);
    return true;
}

uint8_t copies_good(void) {
    return (uint8_t)(holds(0) + holds(1));
}

uint16_t copies_crc(const calibration_t *record) {
    const uint8_t *bytes = (const uint8_t *)record;
    uint16_t crc = CRC16_START;
    for (uint8_t i = 0; i < offsetof(calibration_t, crc); i++)
        crc = crc16_add(crc, bytes[i]);
    return crc;
}

void copies_begin(const calibration_t *record) {
    written = (const uint8_t *)record;
    target = copy(newest() == 0 ? 1 : 0);
    phase = BLANKING;
}

static enum copies_progress verify(void) {
    for (uint8_t i = 0; i < RECORD_BYTES; i++)
        if (eeprom_read_byte(target + i) != written[i]) return COPIES_FAILED;
    return COPIES_WRITTEN;
}

/* `update` writes only what differs, and only starts the writing. */
enum copies_progress copies_poll(void) {
    if (!eeprom_is_ready()) return COPIES_WRITING;
    switch (phase) {
    case BLANKING:
        eeprom_update_byte(target, BLANK);
        at = 1;
        phase = BODY;
        break;
    case BODY:
        eeprom_update_byte(target + at, written[at]);
        if (++at == RECORD_BYTES) phase = VERSION;
        break;
    case VERSION:
        eeprom_update_byte(target, written[0]);
        phase = VERIFYING;
        break;
    case VERIFYING: return verify();
    }
    return COPIES_WRITING;
}
