/* The line of windows that is being filled: sixteen times seven digits of base 64 (PROTOCOL.md, "Watching"). Knows
 * nothing of the chip; tested on the host. */
#ifndef PINWALK_WINDOW_LINE_H
#define PINWALK_WINDOW_LINE_H

#include <stdbool.h>
#include <stdint.h>

#define WINDOW_LINE_WINDOWS 16u
#define WINDOW_CHARACTERS 7u

typedef struct {
    char text[WINDOW_LINE_WINDOWS * WINDOW_CHARACTERS];
    uint8_t windows;
} window_line_t;

/* One more window, in millivolts or milliamps; there must be room. */
void window_line_add(window_line_t *line, uint16_t least, uint16_t mean, uint16_t greatest, uint8_t edges);
bool window_line_full(const window_line_t *line);

#endif
