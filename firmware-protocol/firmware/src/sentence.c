#include "sentence.h"

#include "line.h"
#include "progmem.h"
#include "uart.h"
#include "words.h"

#define LONGEST_WORD 10

#define REQUEST_ROW(id, verb, first, count, touches, repeatable, reply) verb,
#define NAME_ROW(id, name, fields) name,

static const char verbs[][LONGEST_WORD] PROGMEM = {PW_REQUESTS(REQUEST_ROW)};
static const char push_names[][LONGEST_WORD] PROGMEM = {PW_PUSHES(NAME_ROW)};
static const char refusal_codes[][LONGEST_WORD + 1] PROGMEM = {PW_REFUSALS(NAME_ROW)};

static line_writer_t writer;

static void tagged(char mark, uint8_t tag) {
    line_begin(&writer, mark);
    line_hex(&writer, tag, 2);
    line_char(&writer, ' ');
}

static void field_P(const char *text, uint8_t longest) {
    line_char(&writer, ' ');
    line_text_P(&writer, text, longest);
}

void sentence_reply(uint8_t tag, enum pw_request verb) {
    tagged(PW_MARK_REPLY, tag);
    line_text_P(&writer, verbs[verb], sizeof verbs[0]);
}

void sentence_refusal(uint8_t tag, enum pw_refusal code) {
    tagged(PW_MARK_REFUSAL, tag);
    line_text_P(&writer, refusal_codes[code], sizeof refusal_codes[0]);
}

void sentence_push(enum pw_push name) {
    line_begin(&writer, PW_MARK_PUSH);
    line_text_P(&writer, push_names[name], sizeof push_names[0]);
}

void sentence_unsigned(uint32_t value) {
    line_char(&writer, ' ');
    line_unsigned(&writer, value);
}

void sentence_signed(int16_t value) {
    line_char(&writer, ' ');
    line_signed(&writer, value);
}

void sentence_hex4(uint16_t value) {
    line_char(&writer, ' ');
    line_hex(&writer, value, 4);
}

void sentence_text(const char *text) {
    line_char(&writer, ' ');
    line_text(&writer, text);
}

void sentence_characters(const char *text, uint8_t length) {
    line_char(&writer, ' ');
    while (length-- > 0)
        line_char(&writer, *text++);
}

void sentence_text_P(const char *text) {
    field_P(text, PW_LONGEST_TEXT);
}

void sentence_millivolts(int16_t value_or_not_measured) {
    if (value_or_not_measured == NOT_MEASURED)
        sentence_text("-");
    else
        sentence_signed(value_or_not_measured);
}

void sentence_state(enum pw_state word) {
    field_P(words_text_P(WORDS_STATE, word), WORDS_LONGEST);
}

void sentence_side(enum pw_side word) {
    field_P(words_text_P(WORDS_SIDE, word), WORDS_LONGEST);
}

void sentence_reset(enum pw_reset word) {
    field_P(words_text_P(WORDS_RESET, word), WORDS_LONGEST);
}

void sentence_end_word(enum pw_end word) {
    field_P(words_text_P(WORDS_END, word), WORDS_LONGEST);
}

void sentence_constant(enum pw_constant word) {
    field_P(words_text_P(WORDS_CONSTANT, word), WORDS_LONGEST);
}

bool sentence_send(void) {
    line_seal(&writer);
    return uart_send(writer.text, writer.length);
}

bool sentence_has_room(void) {
    return uart_free() > SENTENCE_ROOM + PW_MAX_REPLY_BYTES / 2;
}

bool sentence_send_last(void) {
    return uart_free() >= SENTENCE_ROOM && sentence_send();
}

bool sentence_send_if_room(void) {
    return sentence_has_room() && sentence_send();
}
