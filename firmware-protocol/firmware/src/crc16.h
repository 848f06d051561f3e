/* CRC-16/IBM-3740: polynomial 1021, initial value FFFF, not reflected, no final exclusive-or (catalogue of
 * parametrised CRC algorithms, reveng; check value of "123456789" is 29B1). */
#ifndef PINWALK_CRC16_H
#define PINWALK_CRC16_H

#include <stdint.h>

#define CRC16_START 0xFFFFu

/* The checksum after one more byte. */
uint16_t crc16_add(uint16_t crc, uint8_t byte);

#endif
