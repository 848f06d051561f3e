/* A sealed line to a request of the table, with every field in its range. Knows nothing of the chip or of the bench's
 * state; tested on the host with the golden lines and garbage. */
#ifndef PINWALK_REQUEST_H
#define PINWALK_REQUEST_H

#include <stdbool.h>
#include <stdint.h>

#include "../generated/protocol.h"

enum request_verdict {
    REQUEST_GOOD,         /* verb and fields hold */
    REQUEST_REFUSED,      /* tag and refusal hold; `touches_outputs` if the verb is known and does */
    REQUEST_GARBLED_FORM, /* nothing of it can be trusted, not even the tag */
    REQUEST_GARBLED_CRC
};

typedef struct {
    uint8_t tag;
    uint8_t verb;                            /* enum pw_request */
    uint16_t fields[PW_MOST_REQUEST_FIELDS]; /* by the positions of the table; a word is its number */
    const char *text;                        /* a text field, in the line itself: until the next byte is taken */
    uint8_t text_length;
    bool touches_outputs;
    uint8_t refusal;     /* enum pw_refusal: VERB, FORM or RANGE */
    uint8_t range_field; /* for RANGE, counted from 0 */
} request_t;

/* Judges one line (without its line feed and carriage return) in the order that PROTOCOL.md gives. */
enum request_verdict request_parse(const char *line, uint8_t length, request_t *request);

#endif
