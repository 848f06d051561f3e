#include "window_line.h"

#define UNIT 4u
#define GREATEST 4095u
#define MOST_EDGES 63u

static char digit(uint8_t value) {
    if (value < 26) return (char)('A' + value);
    if (value < 52) return (char)('a' + value - 26);
    if (value < 62) return (char)('0' + value - 52);
    return value == 62 ? '.' : '-';
}

static char *put(char *at, uint16_t value) {
    uint16_t steps = value > GREATEST * UNIT ? GREATEST : (uint16_t)((value + UNIT / 2) / UNIT);
    if (steps > GREATEST) steps = GREATEST;
    *at++ = digit((uint8_t)(steps >> 6));
    *at++ = digit((uint8_t)(steps & 63u));
    return at;
}

void window_line_add(window_line_t *line, uint16_t least, uint16_t mean, uint16_t greatest, uint8_t edges) {
    char *at = line->text + line->windows * WINDOW_CHARACTERS;
    at = put(at, least);
    at = put(at, mean);
    at = put(at, greatest);
    *at = digit(edges > MOST_EDGES ? MOST_EDGES : edges);
    line->windows++;
}

bool window_line_full(const window_line_t *line) {
    return line->windows == WINDOW_LINE_WINDOWS;
}
