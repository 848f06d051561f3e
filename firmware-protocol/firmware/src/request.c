#include "request.h"

#include "line.h"
#include "progmem.h"
#include "words.h"

typedef struct {
    char verb[PW_LONGEST_VERB + 1];
    uint8_t first_field;
    uint8_t field_count;
    uint8_t touches_outputs;
} request_row_t;

typedef struct {
    char type;
    uint16_t smallest;
    uint16_t greatest;
} field_row_t;

#define REQUEST_ROW(id, verb, first, count, touches, repeatable, reply) {verb, first, count, touches},
#define FIELD_ROW(position, type, smallest, greatest) {type, smallest, greatest},

static const request_row_t request_rows[] PROGMEM = {PW_REQUESTS(REQUEST_ROW)};
static const field_row_t field_rows[] PROGMEM = {PW_REQUEST_FIELDS(FIELD_ROW)};

#define NO_FIELD 0xFF

typedef struct {
    const char *text;
    uint8_t length;
} token_t;

/* The characters up to the next space or the end; moves `rest` behind that space. False when nothing is left at all. */
static bool next_token(token_t *rest, bool *more, token_t *token) {
    if (!*more) return false;
    token->text = rest->text;
    token->length = 0;
    while (token->length < rest->length && rest->text[token->length] != ' ')
        token->length++;
    *more = token->length < rest->length;
    uint8_t used = (uint8_t)(token->length + (*more ? 1 : 0));
    rest->text += used;
    rest->length = (uint8_t)(rest->length - used);
    return true;
}

static bool is_word(const token_t *token, const char *word_P, uint8_t word_bytes) {
    for (uint8_t i = 0; i < word_bytes; i++) {
        char wanted = (char)pgm_read_byte(word_P + i);
        if (i == token->length) return wanted == 0;
        if (token->text[i] != wanted) return false;
    }
    return token->length == word_bytes;
}

/* `value` stands still at its greatest when there are more digits than it can hold, so that the range check refuses it.
 */
static bool parse_decimal(const token_t *token, uint32_t *value) {
    if (token->length == 0 || (token->text[0] == '0' && token->length > 1)) return false;
    *value = 0;
    for (uint8_t i = 0; i < token->length; i++) {
        char digit = token->text[i];
        if (digit < '0' || digit > '9') return false;
        if (*value > 99999999ul)
            *value = UINT32_MAX;
        else
            *value = *value * 10 + (uint32_t)(digit - '0');
    }
    return true;
}

static bool parse_hex(const token_t *token, uint32_t *value) {
    if (token->length != 4) return false;
    *value = 0;
    for (uint8_t i = 0; i < 4; i++) {
        uint8_t digit = line_hex_value(token->text[i]);
        if (digit == 0xFF) return false;
        *value = (*value << 4) | digit;
    }
    return true;
}

static bool parse_word(uint8_t list, const token_t *token, uint32_t *value) {
    uint8_t word = 0;
    if (!words_find(list, token->text, token->length, &word)) return false;
    *value = word;
    return true;
}

static bool is_text(const token_t *token) {
    if (token->length == 0 || token->length > PW_LONGEST_TEXT) return false;
    for (uint8_t i = 0; i < token->length; i++) {
        char c = token->text[i];
        bool good = (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '.' || c == '-';
        if (!good) return false;
    }
    return true;
}

static bool parse_field(char type, const token_t *token, uint32_t *value) {
    if (type == 'x') return parse_hex(token, value);
    if (type >= '0' && type <= '9') return parse_word((uint8_t)(type - '0'), token, value);
    return parse_decimal(token, value);
}

static enum request_verdict refuse(request_t *request, uint8_t refusal) {
    request->refusal = refusal;
    return REQUEST_REFUSED;
}

/* The field that is out of range because of what the others say. */
static uint8_t field_against_others(const request_t *request) {
    const uint16_t *fields = request->fields;
    if (request->verb == PW_REQUEST_LIMITS && fields[PW_LIMITS_SUPPLY_MIN] >= fields[PW_LIMITS_SUPPLY_MAX])
        return PW_LIMITS_SUPPLY_MAX;
    if (request->verb != PW_REQUEST_WATCH) return NO_FIELD;
    if (fields[PW_WATCH_MODE] != PW_MODE_LISTEN && fields[PW_WATCH_CHANNEL] >= PW_DRIVE_CHANNELS)
        return PW_WATCH_CHANNEL;
    if (fields[PW_WATCH_WHAT] == PW_WHAT_CURRENT && fields[PW_WATCH_MODE] != PW_MODE_DRIVE) return PW_WATCH_WHAT;
    return NO_FIELD;
}

static enum request_verdict parse_fields(const request_row_t *row, token_t rest, bool more, request_t *request) {
    bool in_range = true;
    uint8_t count = 0;
    token_t token;
    while (next_token(&rest, &more, &token)) {
        if (count == row->field_count) return refuse(request, PW_REFUSAL_FORM);
        field_row_t field;
        memcpy_P(&field, &field_rows[row->first_field + count], sizeof field);
        if (field.type == 't') {
            if (!is_text(&token)) return refuse(request, PW_REFUSAL_FORM);
            request->text = token.text;
            request->text_length = token.length;
            count++;
            continue;
        }
        uint32_t value;
        if (!parse_field(field.type, &token, &value)) return refuse(request, PW_REFUSAL_FORM);
        if (in_range && (value < field.smallest || value > field.greatest)) {
            in_range = false;
            request->range_field = count;
        }
        request->fields[count++] = (uint16_t)value;
    }
    if (count != row->field_count) return refuse(request, PW_REFUSAL_FORM);
    if (!in_range) return refuse(request, PW_REFUSAL_RANGE);
    uint8_t against_others = field_against_others(request);
    if (against_others != NO_FIELD) {
        request->range_field = against_others;
        return refuse(request, PW_REFUSAL_RANGE);
    }
    return REQUEST_GOOD;
}

enum request_verdict request_parse(const char *line, uint8_t length, request_t *request) {
    request->touches_outputs = false;
    uint8_t body = 0;
    switch (line_unseal(line, length, &body)) {
    case LINE_BAD_FORM: return REQUEST_GARBLED_FORM;
    case LINE_BAD_CRC: return REQUEST_GARBLED_CRC;
    case LINE_GOOD: break;
    }
    if (body < 4 || line[0] != PW_MARK_REQUEST || line[3] != ' ') return REQUEST_GARBLED_FORM;
    uint8_t high = line_hex_value(line[1]);
    uint8_t low = line_hex_value(line[2]);
    if (high == 0xFF || low == 0xFF) return REQUEST_GARBLED_FORM;
    request->tag = (uint8_t)((high << 4) | low);

    token_t rest = {line + 4, (uint8_t)(body - 4)};
    bool more = true;
    token_t verb;
    next_token(&rest, &more, &verb);
    for (uint8_t i = 0; i < PW_REQUEST_COUNT; i++) {
        request_row_t row;
        memcpy_P(&row, &request_rows[i], sizeof row);
        if (!is_word(&verb, request_rows[i].verb, sizeof row.verb)) continue;
        request->verb = i;
        request->touches_outputs = row.touches_outputs != 0;
        return parse_fields(&row, rest, more, request);
    }
    return refuse(request, PW_REFUSAL_VERB);
}
