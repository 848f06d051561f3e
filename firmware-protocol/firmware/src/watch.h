/* `watch`: one channel driven, fed with low current or listened to, streamed in windows of 2 ms with its interruptions,
 * for as long as the host keeps it. */
#ifndef PINWALK_WATCH_H
#define PINWALK_WATCH_H

#include <stdbool.h>
#include <stdint.h>

#include "request.h"
#include "stream.h"

void watch_begin(const request_t *request);

/* Ten more seconds for the watch of this measurement; false when that does not go on (any more). */
bool watch_keep(uint16_t measurement);

/* A watch has its output on. */
bool watch_is_on(void);

typedef struct {
    uint16_t measurement;
    stream_sums_t sums;
    uint32_t dropped; /* windows that could not be sent */
} watch_summary_t;

/* Of the newest watch. */
watch_summary_t watch_summary(void);

#endif
