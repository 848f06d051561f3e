/* Tables that live in flash on the chip and in plain memory on the host, where the parser is tested. */
#ifndef PINWALK_PROGMEM_H
#define PINWALK_PROGMEM_H

#ifdef __AVR__
#include <avr/pgmspace.h>
#else
#include <string.h>
#define PROGMEM
#define PSTR(text) (text)
#define pgm_read_byte(address) (*(address))
#define pgm_read_word(address) (*(address))
#define memcpy_P memcpy
#endif

#endif
