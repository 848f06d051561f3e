/* The chip-free half of the firmware as a program of the host: one question per line of standard input, one answer per
 * line of standard output. The tests ask the firmware's own source, not a copy of it.
 *
 *   bytes HEX            what the line reader and the request parser make of these bytes and a line feed
 *   say KIND TAG NAME V… the sentence, from numbers in decimal, words and texts as they are, and `-`
 *   crc HEX              the checksum
 *   settling MA…         for each window's mean, whether the current counts as settled (0 or 1)
 *   to-go MS MA…         after which of these windows it counts as settled, counted from 0 (-1: never), and what a
 *                        reading so much later has to lose
 *   windows L M G E …    the packed line of these windows, four numbers each
 *   temperature Q5       0.1 degrees Celsius
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "crc16.h"
#include "line.h"
#include "request.h"
#include "sentence.h"
#include "settling.h"
#include "temperature.h"
#include "uart.h"
#include "window_line.h"
#include "words.h"

#define MOST_TOKENS 400

#define REQUEST_ROW(id, verb, first, count, touches, repeatable, reply) {verb, reply},
#define NAME_ROW(id, name, letters) {name, letters},
#define WORD_ROW(id, word) word,

typedef struct {
    const char *name;
    const char *letters;
} row_t;

static const row_t replies[] = {PW_REQUESTS(REQUEST_ROW)};
static const row_t pushes[] = {PW_PUSHES(NAME_ROW)};
static const row_t refusals[] = {PW_REFUSALS(NAME_ROW)};
static const char *const states[] = {PW_WORDS_STATE(WORD_ROW)};
static const char *const sides[] = {PW_WORDS_SIDE(WORD_ROW)};
static const char *const resets[] = {PW_WORDS_RESET(WORD_ROW)};
static const char *const ends[] = {PW_WORDS_END(WORD_ROW)};
static const char *const constants[] = {PW_WORDS_CONSTANT(WORD_ROW)};
#define COUNT(array) (int)(sizeof(array) / sizeof((array)[0]))

/* What would go out on the line. */
bool uart_send(const char *bytes, uint8_t length) {
    printf("%.*s", length, bytes);
    return true;
}

uint16_t uart_free(void) {
    return UINT16_MAX;
}

static void fail(const char *why) {
    fprintf(stderr, "host-runner: %s\n", why);
    exit(1);
}

static int row_named(const row_t *rows, int count, const char *name) {
    for (int i = 0; i < count; i++)
        if (strcmp(rows[i].name, name) == 0) return i;
    fail(name);
    return 0;
}

static int word_of(const char *const *words, int count, const char *word) {
    for (int i = 0; i < count; i++)
        if (strcmp(words[i], word) == 0) return i;
    fail(word);
    return 0;
}

/* -32768 mV stands for "not measured" inside the firmware, which measures nothing below zero. */
static void say_millivolts(const char *value) {
    if (strcmp(value, "-") == 0)
        sentence_millivolts(NOT_MEASURED);
    else if (strcmp(value, "-32768") == 0)
        sentence_signed(INT16_MIN);
    else
        sentence_millivolts((int16_t)strtol(value, NULL, 10));
}

static void say_field(char letter, const char *value) {
    switch (letter) {
    case 'b':
    case 'w':
    case 'l': sentence_unsigned((uint32_t)strtoul(value, NULL, 10)); break;
    case 'i': sentence_signed((int16_t)strtol(value, NULL, 10)); break;
    case 'x': sentence_hex4((uint16_t)strtoul(value, NULL, 10)); break;
    case 't': sentence_text(value); break;
    case 'p': sentence_characters(value, (uint8_t)strlen(value)); break;
    case 'I': say_millivolts(value); break;
    case '0': sentence_state((enum pw_state)word_of(states, COUNT(states), value)); break;
    case '1': sentence_side((enum pw_side)word_of(sides, COUNT(sides), value)); break;
    case '2': sentence_reset((enum pw_reset)word_of(resets, COUNT(resets), value)); break;
    case '3': sentence_end_word((enum pw_end)word_of(ends, COUNT(ends), value)); break;
    case '6': sentence_constant((enum pw_constant)word_of(constants, COUNT(constants), value)); break;
    default: fail("unknown type letter");
    }
}

static void say(char **tokens, int count) {
    if (count < 3) fail("say KIND TAG NAME");
    uint8_t tag = (uint8_t)strtoul(tokens[1], NULL, 16);
    const char *letters = "";
    if (strcmp(tokens[0], "reply") == 0) {
        int row = row_named(replies, COUNT(replies), tokens[2]);
        letters = replies[row].letters;
        sentence_reply(tag, (enum pw_request)row);
    } else if (strcmp(tokens[0], "refusal") == 0) {
        int row = row_named(refusals, COUNT(refusals), tokens[2]);
        letters = refusals[row].letters;
        sentence_refusal(tag, (enum pw_refusal)row);
    } else {
        int row = row_named(pushes, COUNT(pushes), tokens[2]);
        letters = pushes[row].letters;
        sentence_push((enum pw_push)row);
    }
    for (int i = 3; i < count; i++) {
        if (*letters == 0) fail("too many values");
        say_field(*letters, tokens[i]);
        if (*letters != 'I') letters++;
    }
    if (*letters != 0 && *letters != 'I') fail("values are missing");
    sentence_send();
}

static int bytes_of(const char *hex, uint8_t *bytes) {
    int length = 0;
    for (; hex[0] && hex[1]; hex += 2) {
        char pair[3] = {hex[0], hex[1], 0};
        bytes[length++] = (uint8_t)strtoul(pair, NULL, 16);
    }
    return length;
}

static void print_request(const line_reader_t *reader) {
    static const char *const field_letters[] = {
#define FIELD_ROW(position, type, smallest, greatest) #type,
        PW_REQUEST_FIELDS(FIELD_ROW)};
    static const struct {
        int first;
        int count;
    } spans[] = {
#define SPAN_ROW(id, verb, first, count, touches, repeatable, reply) {first, count},
        PW_REQUESTS(SPAN_ROW)};
    request_t request;
    memset(&request, 0, sizeof request);
    switch (request_parse(reader->text, reader->length, &request)) {
    case REQUEST_GARBLED_FORM: printf("garbled form\n"); break;
    case REQUEST_GARBLED_CRC: printf("garbled crc\n"); break;
    case REQUEST_REFUSED:
        printf("refused %02X %s", request.tag, refusals[request.refusal].name);
        if (request.refusal == PW_REFUSAL_RANGE) printf(" %u", request.range_field);
        printf("\n");
        break;
    case REQUEST_GOOD:
        printf("request %02X %s", request.tag, replies[request.verb].name);
        for (int i = 0; i < spans[request.verb].count; i++) {
            char letter = field_letters[spans[request.verb].first + i][1];
            if (letter == 't')
                printf(" %.*s", request.text_length, request.text);
            else if (letter >= '0' && letter <= '9')
                printf(" %s", words_text_P((uint8_t)(letter - '0'), (uint8_t)request.fields[i]));
            else
                printf(" %u", request.fields[i]);
        }
        printf("\n");
        break;
    }
}

static void take_bytes(const char *hex) {
    static line_reader_t reader;
    static uint8_t bytes[65536];
    int length = bytes_of(hex, bytes);
    bytes[length++] = '\n';
    for (int i = 0; i < length; i++) {
        switch (line_take(&reader, bytes[i])) {
        case LINE_GOING_ON:
        case LINE_OUTGROWN: break;
        case LINE_THROWN_AWAY: printf("garbled long\n"); break;
        case LINE_COMPLETE: print_request(&reader); break;
        }
    }
}

int main(void) {
    static char line[140000];
    setvbuf(stdout, NULL, _IOFBF, 1 << 16);
    while (fgets(line, sizeof line, stdin)) {
        line[strcspn(line, "\n")] = 0;
        char *tokens[MOST_TOKENS];
        int count = 0;
        for (char *token = strtok(line, " "); token && count < MOST_TOKENS; token = strtok(NULL, " "))
            tokens[count++] = token;
        if (count == 0) continue;
        if (strcmp(tokens[0], "bytes") == 0) {
            take_bytes(count > 1 ? tokens[1] : "");
        } else if (strcmp(tokens[0], "say") == 0) {
            say(tokens + 1, count - 1);
        } else if (strcmp(tokens[0], "crc") == 0) {
            uint8_t bytes[256];
            int length = bytes_of(count > 1 ? tokens[1] : "", bytes);
            uint16_t crc = CRC16_START;
            for (int i = 0; i < length; i++) crc = crc16_add(crc, bytes[i]);
            printf("%04X\n", crc);
        } else if (strcmp(tokens[0], "settling") == 0) {
            settling_t settling;
            settling_reset(&settling);
            for (int i = 1; i < count; i++) printf("%d", settling_add(&settling, (uint16_t)atoi(tokens[i])));
            printf("\n");
        } else if (strcmp(tokens[0], "to-go") == 0) {
            settling_t settling;
            settling_reset(&settling);
            int at = 2;
            while (at < count && !settling_add(&settling, (uint16_t)atoi(tokens[at]))) at++;
            printf("%d %d\n", at < count ? at - 2 : -1, settling_to_go_ma(&settling, (uint16_t)atoi(tokens[1])));
        } else if (strcmp(tokens[0], "windows") == 0) {
            window_line_t windows = {.windows = 0};
            for (int i = 1; i + 3 < count && !window_line_full(&windows); i += 4)
                window_line_add(&windows, (uint16_t)atoi(tokens[i]), (uint16_t)atoi(tokens[i + 1]),
                                (uint16_t)atoi(tokens[i + 2]), (uint8_t)atoi(tokens[i + 3]));
            printf("%.*s\n", (int)(windows.windows * WINDOW_CHARACTERS), windows.text);
        } else if (strcmp(tokens[0], "temperature") == 0) {
            printf("%d\n", temperature_decidegrees((uint16_t)atoi(tokens[1])));
        } else {
            fail(tokens[0]);
        }
    }
    return 0;
}
