#include "crc16.h"

/* Without a table: a nibble pair at a time, 512 bytes of flash saved and still far faster than the line. */
uint16_t crc16_add(uint16_t crc, uint8_t byte) {
    uint8_t mixed = (uint8_t)((uint8_t)(crc >> 8) ^ byte);
    mixed = (uint8_t)(mixed ^ (mixed >> 4));
    uint16_t wide = mixed;
    return (uint16_t)((uint16_t)(crc << 8) ^ (uint16_t)(wide << 12) ^ (uint16_t)(wide << 5) ^ wide);
}
