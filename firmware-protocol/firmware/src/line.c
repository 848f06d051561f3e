#include "line.h"

#include "crc16.h"
#include "progmem.h"

#define SEAL_BYTES 5 /* asterisk and four digits */

enum line_event line_take(line_reader_t *reader, uint8_t byte) {
    if (reader->complete) {
        reader->complete = false;
        reader->length = 0;
    }
    if (byte == '\n') {
        if (reader->outgrown) {
            reader->outgrown = false;
            reader->length = 0;
            return LINE_THROWN_AWAY;
        }
        if (reader->length > 0 && reader->text[reader->length - 1] == '\r') reader->length--;
        reader->complete = true;
        return LINE_COMPLETE;
    }
    if (reader->outgrown) return LINE_GOING_ON;
    if (reader->length == PW_MAX_REQUEST_BYTES) {
        reader->outgrown = true;
        return LINE_OUTGROWN;
    }
    reader->text[reader->length++] = (char)byte;
    return LINE_GOING_ON;
}

uint8_t line_hex_value(char digit) {
    if (digit >= '0' && digit <= '9') return (uint8_t)(digit - '0');
    if (digit >= 'A' && digit <= 'F') return (uint8_t)(digit - 'A' + 10);
    return 0xFF;
}

enum line_verdict line_unseal(const char *text, uint8_t length, uint8_t *body_length) {
    if (length < SEAL_BYTES) return LINE_BAD_FORM;
    uint8_t body = (uint8_t)(length - SEAL_BYTES);
    if (text[body] != '*') return LINE_BAD_FORM;
    uint16_t sealed = 0;
    for (uint8_t i = (uint8_t)(body + 1); i < length; i++) {
        uint8_t value = line_hex_value(text[i]);
        if (value == 0xFF) return LINE_BAD_FORM;
        sealed = (uint16_t)((sealed << 4) | value);
    }
    uint16_t crc = CRC16_START;
    for (uint8_t i = 0; i < body; i++) {
        uint8_t byte = (uint8_t)text[i];
        if (byte < 0x20 || byte > 0x7E) return LINE_BAD_FORM;
        crc = crc16_add(crc, byte);
    }
    if (crc != sealed) return LINE_BAD_CRC;
    *body_length = body;
    return LINE_GOOD;
}

void line_begin(line_writer_t *writer, char mark) {
    writer->length = 0;
    line_char(writer, mark);
}

void line_char(line_writer_t *writer, char character) {
    if (writer->length < PW_MAX_REPLY_BYTES) writer->text[writer->length++] = character;
}

void line_hex(line_writer_t *writer, uint16_t value, uint8_t digits) {
    while (digits > 0) {
        digits--;
        uint8_t nibble = (uint8_t)((value >> (4 * digits)) & 0xFu);
        line_char(writer, (char)(nibble < 10 ? '0' + nibble : 'A' + nibble - 10));
    }
}

void line_unsigned(line_writer_t *writer, uint32_t value) {
    char digits[10];
    uint8_t count = 0;
    /* A division of 32 bits takes the chip three times as long as one of 16, and most numbers need none. */
    while (value > UINT16_MAX) {
        digits[count++] = (char)('0' + (uint8_t)(value % 10));
        value /= 10;
    }
    uint16_t narrow = (uint16_t)value;
    do {
        digits[count++] = (char)('0' + (uint8_t)(narrow % 10));
        narrow /= 10;
    } while (narrow > 0);
    while (count > 0)
        line_char(writer, digits[--count]);
}

void line_signed(line_writer_t *writer, int16_t value) {
    int32_t wide = value;
    if (wide < 0) {
        line_char(writer, '-');
        wide = -wide;
    }
    line_unsigned(writer, (uint32_t)wide);
}

void line_text(line_writer_t *writer, const char *text) {
    while (*text)
        line_char(writer, *text++);
}

void line_text_P(line_writer_t *writer, const char *text, uint8_t longest) {
    for (uint8_t i = 0; i < longest; i++) {
        char character = (char)pgm_read_byte(text + i);
        if (character == 0) return;
        line_char(writer, character);
    }
}

void line_seal(line_writer_t *writer) {
    if (writer->length <= PW_MAX_REPLY_BYTES - SEAL_BYTES) {
        uint16_t crc = CRC16_START;
        for (uint8_t i = 0; i < writer->length; i++)
            crc = crc16_add(crc, (uint8_t)writer->text[i]);
        line_char(writer, '*');
        line_hex(writer, crc, 4);
    }
    writer->text[writer->length++] = '\n';
}
