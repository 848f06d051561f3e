/* The firmware's way from received bytes to requests (reception.c, line.c, request.c), as a libFuzzer target: its own
 * sources, with what lies behind them (answers, guard, outputs) watched instead of done. An input is what stands on the
 * line.
 *
 * Each input goes in twice: whole, and once more with a byte lost in the receiver. What must hold:
 *   - every ended line has exactly one outcome: answered, refused or thrown away;
 *   - only a line with a good checksum is a sign of life;
 *   - a request that is answered has a verb of the table and every field in its range, and says again, written by the
 * firmware's own writer, the very line that was read;
 *   - whether a refusal touches outputs is what the table says;
 *   - a line that outgrows every request, or has lost a byte, is distrusted before it ends and never answered.
 *
 * With FUZZ_SAY in the environment each outcome is printed, `end` after each input, for the comparison with the other
 * side's reader.
 */
#include <stdio.h>
#include <stdlib.h>

#include "reception.c"

#include "crc16.h"

#define CHECK(what)                                                                                                    \
    do {                                                                                                               \
        if (!(what)) {                                                                                                 \
            fprintf(stderr, "does not hold: %s (line %d)\n", #what, __LINE__);                                         \
            abort();                                                                                                   \
        }                                                                                                              \
    } while (0)

/* ---- The table, once more ---- */

typedef struct {
    const char *verb;
    int first;
    int count;
    int touches;
} verb_row_t;

static const verb_row_t verbs[] = {
#define VERB_ROW(id, verb, first, count, touches, repeatable, reply) {verb, first, count, touches},
    PW_REQUESTS(VERB_ROW)};

static const struct {
    char letter;
    uint32_t smallest;
    uint32_t greatest;
} fields[] = {
#define FIELD_ROW(position, letter, smallest, greatest) {letter, smallest, greatest},
    PW_REQUEST_FIELDS(FIELD_ROW)};

/* The word lists by number, which is the digit of a field's letter. */
#define WORD_OF_LIST(id, word) word,
#define LIST(id, count, rows) {rows(WORD_OF_LIST)},
static const char *const words[][16] = {PW_WORD_LISTS(LIST)};

static bool is_word(char letter) {
    return letter >= '0' && letter <= '9';
}

#define REFUSAL_ROW(id, name, letters) name,
static const char *const refusal_names[] = {PW_REFUSALS(REFUSAL_ROW)};

/* ---- What happened since the last byte ---- */

static struct {
    int answered;
    int refused;
    int garbled;
    int distrusted;
    int signs_of_life;
} seen;

static bool say;
static bool losing;

static void print_tagged(const char *what, const request_t *request) {
    if (say && !losing) printf("%s %02X", what, request->tag);
}

static void print_rest(const char *rest) {
    if (say && !losing) printf("%s\n", rest);
}

/* The request as the firmware's writer would put it: the line that was read, byte for byte. */
static void check_said_again(const request_t *request) {
    const verb_row_t *row = &verbs[request->verb];
    line_writer_t writer;
    line_begin(&writer, PW_MARK_REQUEST);
    line_hex(&writer, request->tag, 2);
    line_char(&writer, ' ');
    line_text(&writer, row->verb);
    for (int i = 0; i < row->count; i++) {
        line_char(&writer, ' ');
        char letter = fields[row->first + i].letter;
        if (is_word(letter))
            line_text(&writer, words[letter - '0'][request->fields[i]]);
        else if (letter == 'x')
            line_hex(&writer, request->fields[i], 4);
        else if (letter == 't')
            for (int at = 0; at < request->text_length; at++)
                line_char(&writer, request->text[at]);
        else
            line_unsigned(&writer, request->fields[i]);
    }
    line_seal(&writer);
    CHECK(writer.length == reader.length + 1);
    CHECK(memcmp(writer.text, reader.text, reader.length) == 0);
    CHECK(writer.text[reader.length] == '\n');
}

void answer(const request_t *request) {
    seen.answered++;
    CHECK(request->verb < PW_REQUEST_COUNT);
    const verb_row_t *row = &verbs[request->verb];
    CHECK(request->touches_outputs == (row->touches != 0));
    print_tagged("request", request);
    if (say && !losing) printf(" %s", row->verb);
    for (int i = 0; i < row->count; i++) {
        char letter = fields[row->first + i].letter;
        uint32_t value = letter == 't' ? request->text_length : request->fields[i];
        CHECK(value >= fields[row->first + i].smallest && value <= fields[row->first + i].greatest);
        if (!say || losing) continue;
        if (letter == 't')
            printf(" %.*s", request->text_length, request->text);
        else if (is_word(letter))
            printf(" %s", words[letter - '0'][value]);
        else
            printf(" %u", value);
    }
    print_rest("");
    check_said_again(request);
}

static bool names_verb_that_touches(void) {
    for (int i = 0; i < PW_REQUEST_COUNT; i++) {
        size_t length = strlen(verbs[i].verb);
        char after = (size_t)reader.length > 4 + length ? reader.text[4 + length] : 0;
        /* Its own seal or the space before its first field stands behind a verb. */
        bool whole = after == ' ' || (after == '*' && reader.length == 4 + length + 5);
        if (whole && memcmp(reader.text + 4, verbs[i].verb, length) == 0) return verbs[i].touches != 0;
    }
    return false;
}

void bench_refuse(const request_t *request, enum pw_refusal code) {
    seen.refused++;
    CHECK(code == PW_REFUSAL_VERB || code == PW_REFUSAL_FORM);
    CHECK(request->touches_outputs == names_verb_that_touches());
    print_tagged("refused", request);
    if (say && !losing) printf(" %s", refusal_names[code]);
    print_rest("");
}

void bench_refuse_value(const request_t *request, enum pw_refusal code, uint16_t value) {
    seen.refused++;
    CHECK(code == PW_REFUSAL_RANGE);
    CHECK(value < verbs[request->verb].count);
    CHECK(request->touches_outputs == names_verb_that_touches());
    print_tagged("refused", request);
    if (say && !losing) printf(" range %u", value);
    print_rest("");
}

void bench_garbled(const char *why) {
    seen.garbled++;
    if (say && !losing) printf("garbled %s\n", why);
}

void bench_distrust(void) {
    seen.distrusted++;
}

void guard_line_seen(void) {
    seen.signs_of_life++;
}

void clock_wake_main(void) {}

/* ---- The receiver ---- */

static const uint8_t *coming;
static size_t coming_left;
static bool lost_before_next;

bool uart_take(uint8_t *byte, bool *lost) {
    if (coming_left == 0) return false;
    coming_left--;
    *byte = *coming++;
    *lost = lost_before_next;
    lost_before_next = false;
    return true;
}

uint16_t uart_free(void) {
    return SENTENCE_ROOM;
}

/* Judged once more from a buffer that ends where the line ends, so that a look beyond it is caught. */
static void check_exact_buffer(void) {
    char *exact = malloc(reader.length ? reader.length : 1);
    memcpy(exact, reader.text, reader.length);
    request_t request;
    enum request_verdict verdict = request_parse(exact, reader.length, &request);
    CHECK((verdict == REQUEST_GOOD) == (seen.answered == 1));
    free(exact);
}

static void feed(const uint8_t *data, size_t size, size_t lost_at) {
    memset(&reader, 0, sizeof reader);
    size_t in_line = 0;
    bool spoiled = false;
    for (size_t i = 0; i < size; i++) {
        memset(&seen, 0, sizeof seen);
        coming = data + i;
        coming_left = 1;
        lost_before_next = i == lost_at;
        bool distrusted_here = lost_before_next;
        if (lost_before_next) spoiled = true;
        reception_poll();
        CHECK(reader.length <= PW_MAX_REQUEST_BYTES);
        CHECK(seen.signs_of_life == seen.answered + seen.refused);
        int outcomes = seen.answered + seen.refused + seen.garbled;
        if (data[i] == '\n') {
            CHECK(outcomes == 1);
            if (spoiled || in_line > PW_MAX_REQUEST_BYTES)
                CHECK(seen.garbled == 1);
            else
                check_exact_buffer();
            in_line = 0;
            spoiled = false;
        } else {
            CHECK(outcomes == 0);
            in_line++;
            if (in_line == PW_MAX_REQUEST_BYTES + 1 && !spoiled) distrusted_here = true;
        }
        CHECK(seen.distrusted >= (distrusted_here ? 1 : 0));
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    static bool asked;
    if (!asked) say = getenv("FUZZ_SAY") != NULL;
    asked = true;
    /* libFuzzer tries the empty input before those it is given; nothing is on the line then. */
    if (size == 0) return 0;
    losing = false;
    feed(data, size, SIZE_MAX);
    losing = true;
    feed(data, size, data[size / 2] % size);
    if (say) {
        printf("end\n");
        fflush(stdout);
    }
    return 0;
}

/* ---- Mutations that get past the checksum ---- */

size_t LLVMFuzzerMutate(uint8_t *data, size_t size, size_t most);

/* Puts the right checksum at the end of every line that ends in an asterisk and four more bytes. */
static void reseal(uint8_t *data, size_t size) {
    size_t start = 0;
    for (size_t i = 0; i < size; i++) {
        if (data[i] != '\n') continue;
        size_t end = i > start && data[i - 1] == '\r' ? i - 1 : i;
        if (end >= start + 5 && data[end - 5] == '*') {
            static const char digits[] = "0123456789ABCDEF";
            uint16_t crc = CRC16_START;
            for (size_t at = start; at < end - 5; at++)
                crc = crc16_add(crc, data[at]);
            for (int digit = 0; digit < 4; digit++)
                data[end - 1 - digit] = (uint8_t)digits[(crc >> (4 * digit)) & 15];
        }
        start = i + 1;
    }
}

size_t LLVMFuzzerCustomMutator(uint8_t *data, size_t size, size_t most, unsigned int seed) {
    size = LLVMFuzzerMutate(data, size, most);
    if (seed % 4 != 0) reseal(data, size);
    return size;
}
