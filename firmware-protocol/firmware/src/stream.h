/* The watched conversions cut into windows of 2 ms, and the interruptions in them, as they come from the interrupt; the
 * main loop takes them out. Counts are raw conversions, times tenths of a millisecond. */
#ifndef PINWALK_STREAM_H
#define PINWALK_STREAM_H

#include <stdbool.h>
#include <stdint.h>

typedef struct {
    uint16_t sum;
    uint16_t least;
    uint16_t greatest;
    uint8_t count;
    uint8_t edges;
} stream_window_t;

typedef struct {
    uint32_t at; /* since the first window */
    uint32_t length;
} stream_gap_t;

typedef struct {
    uint32_t windows;
    uint32_t gaps;
    uint32_t longest;
    uint32_t total;
} stream_sums_t;

/* `low_count`: at it or under, the line counts as interrupted. */
void stream_begin(uint16_t low_count);
/* Closes the interruption that goes on, if one does. */
void stream_end(void);
bool stream_active(void);

/* From the interrupt. */
void stream_add(uint16_t count);

/* The next window and its number; false when there is none yet. A number that jumps tells of windows that were not
 * taken in time. */
bool stream_take_window(stream_window_t *window, uint32_t *number);
bool stream_take_gap(stream_gap_t *gap);
stream_sums_t stream_sums(void);

#endif
