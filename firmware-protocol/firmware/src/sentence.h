/* What the bench says: replies, refusals and pushes of the table, put together field by field, sealed and queued whole.
 */
#ifndef PINWALK_SENTENCE_H
#define PINWALK_SENTENCE_H

#include <stdbool.h>
#include <stdint.h>

#include "../generated/protocol.h"

#define NOT_MEASURED INT16_MIN /* written as `-` in a list of voltages */

/* Bytes that must be free in the sending ring before a request is taken up, so that its reply and the pushes that come
 * with it always fit: the longest reply, an `ended` and an `off`. */
#define SENTENCE_ROOM 256u

void sentence_reply(uint8_t tag, enum pw_request verb);
void sentence_refusal(uint8_t tag, enum pw_refusal code);
void sentence_push(enum pw_push name);

void sentence_unsigned(uint32_t value);
void sentence_signed(int16_t value);
void sentence_hex4(uint16_t value);
void sentence_text(const char *text);
void sentence_characters(const char *text, uint8_t length);
void sentence_text_P(const char *text);
void sentence_millivolts(int16_t value_or_not_measured);
void sentence_state(enum pw_state word);
void sentence_side(enum pw_side word);
void sentence_reset(enum pw_reset word);
void sentence_end_word(enum pw_end word);
void sentence_constant(enum pw_constant word);

/* Seals and queues it; false when the sending ring had no room and it was dropped. */
bool sentence_send(void);
/* The same for what may be lost: only when the room kept for replies stays free, before and (but for half a line)
 * after.
 */
bool sentence_send_if_room(void);
bool sentence_has_room(void);
/* Likewise for the last line of a stream, after which nothing but an `ended` and an `off` comes. */
bool sentence_send_last(void);

#endif
