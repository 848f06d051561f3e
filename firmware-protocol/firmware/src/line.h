/* Bytes to lines, and the seal (`*` and four hex digits) on each. Knows nothing of the chip; tested on the host. */
#ifndef PINWALK_LINE_H
#define PINWALK_LINE_H

#include <stdbool.h>
#include <stdint.h>

#include "../generated/protocol.h"

enum line_event {
    LINE_GOING_ON,   /* nothing to do yet */
    LINE_COMPLETE,   /* text and length hold a line, its line feed and one carriage return taken off */
    LINE_OUTGROWN,   /* just now longer than any request: outputs go off before its end is awaited */
    LINE_THROWN_AWAY /* a line that had outgrown has ended */
};

typedef struct {
    char text[PW_MAX_REQUEST_BYTES];
    uint8_t length;
    bool outgrown;
    bool complete;
} line_reader_t;

/* Takes one byte. After LINE_COMPLETE the text stays until the next call. Never keeps more than PW_MAX_REQUEST_BYTES.
 */
enum line_event line_take(line_reader_t *reader, uint8_t byte);

enum line_verdict { LINE_GOOD, LINE_BAD_FORM, LINE_BAD_CRC };

/* Judges the seal of a line; when it is good, `body_length` is what stands before the asterisk. */
enum line_verdict line_unseal(const char *text, uint8_t length, uint8_t *body_length);

/* Value of an upper-case hex digit, or 0xFF. */
uint8_t line_hex_value(char digit);

/* A line on its way out. The longest sentence of the table is far under its size; a longer one is cut, and its checksum
 * left off, so that no host believes it. */
typedef struct {
    char text[PW_MAX_REPLY_BYTES + 1];
    uint8_t length;
} line_writer_t;

void line_begin(line_writer_t *writer, char mark);
void line_char(line_writer_t *writer, char character);
void line_hex(line_writer_t *writer, uint16_t value, uint8_t digits);
void line_unsigned(line_writer_t *writer, uint32_t value);
void line_signed(line_writer_t *writer, int16_t value);
void line_text(line_writer_t *writer, const char *text);
/* From flash; at most `longest` characters, or up to the closing zero. */
void line_text_P(line_writer_t *writer, const char *text, uint8_t longest);
/* Adds the seal and the line feed. */
void line_seal(line_writer_t *writer);

#endif
