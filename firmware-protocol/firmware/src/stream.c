#include "stream.h"

#include <util/atomic.h>

#include "../generated/protocol.h"
#include "clock.h"

#define WINDOW_TENTHS (10u * PW_WINDOW_MS)
/* Conversions of the line come 0.21 ms apart, so that one of 1 ms shows at least 0.77 ms between the first that is low
 * and the first that is not, and four that are low; one count of the clock is let go. */
#define LEAST_GAP_TENTHS 7u
#define COMING_UP_TENTHS 200u
#define WAITING_WINDOWS 8u
#define WAITING_GAPS 4u

static volatile bool active;
static uint16_t low_count;
static uint16_t high_count;
static uint32_t began;
static uint32_t window_end;
static stream_window_t current;
static uint16_t last_count;

static enum { COMING_UP, HIGH, LOW } line;
static uint32_t low_since;

static stream_window_t windows[WAITING_WINDOWS];
static volatile uint32_t windows_made;
static uint32_t windows_taken;
static stream_gap_t gaps[WAITING_GAPS];
static volatile uint8_t gaps_made;
static uint8_t gaps_taken;
static stream_sums_t sums;

static void begin_window(void) {
    current.sum = 0;
    current.least = UINT16_MAX;
    current.greatest = 0;
    current.count = 0;
    current.edges = 0;
}

void stream_begin(uint16_t low) {
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        low_count = low;
        high_count = (uint16_t)(low + low / 8 + 2);
        began = clock_now_tenths();
        window_end = began + WINDOW_TENTHS;
        begin_window();
        last_count = 0;
        line = COMING_UP;
        windows_made = windows_taken = 0;
        gaps_made = gaps_taken = 0;
        sums = (stream_sums_t){0, 0, 0, 0};
        active = true;
    }
}

bool stream_active(void) {
    return active;
}

/* ---- In the interrupt, or with interrupts off ---- */

/* One that had no conversion, which only a stopped converter could bring about, repeats the last count. */
static void finish_window(void) {
    if (current.count == 0) {
        current.sum = current.least = current.greatest = last_count;
        current.count = 1;
    }
    windows[windows_made % WAITING_WINDOWS] = current;
    windows_made++;
    window_end += WINDOW_TENTHS;
    begin_window();
}

static void finish_gap(uint32_t now) {
    uint32_t length = now - low_since;
    line = HIGH;
    if (length < LEAST_GAP_TENTHS) return;
    sums.gaps++;
    sums.total += length;
    if (length > sums.longest) sums.longest = length;
    stream_gap_t *gap = &gaps[gaps_made % WAITING_GAPS];
    gap->at = low_since - began;
    gap->length = length;
    gaps_made++;
}

static void follow_line(uint16_t count, uint32_t now) {
    if (count <= low_count) {
        if (line == HIGH || (line == COMING_UP && now - began >= COMING_UP_TENTHS)) {
            line = LOW;
            low_since = now;
        }
    } else if (count >= high_count) {
        if (line == LOW) {
            current.edges++;
            finish_gap(now);
        }
        line = HIGH;
    }
}

void stream_add(uint16_t count) {
    if (!active) return;
    uint32_t now = clock_now_tenths();
    while ((int32_t)(now - window_end) >= 0)
        finish_window();
    last_count = count;
    current.sum += count;
    current.count++;
    if (count < current.least) current.least = count;
    if (count > current.greatest) current.greatest = count;
    follow_line(count, now);
}

/* ---- From the main loop ---- */

void stream_end(void) {
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        if (active && line == LOW) finish_gap(clock_now_tenths());
        active = false;
    }
}

bool stream_take_window(stream_window_t *window, uint32_t *number) {
    bool any = false;
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        uint32_t made = windows_made;
        if (made - windows_taken > WAITING_WINDOWS) windows_taken = made - WAITING_WINDOWS;
        if (made != windows_taken) {
            *window = windows[windows_taken % WAITING_WINDOWS];
            *number = windows_taken++;
            any = true;
        }
    }
    return any;
}

bool stream_take_gap(stream_gap_t *gap) {
    bool any = false;
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        uint8_t waiting = (uint8_t)(gaps_made - gaps_taken);
        if (waiting > WAITING_GAPS) gaps_taken = (uint8_t)(gaps_made - WAITING_GAPS);
        if (waiting > 0) {
            *gap = gaps[gaps_taken++ % WAITING_GAPS];
            any = true;
        }
    }
    return any;
}

stream_sums_t stream_sums(void) {
    stream_sums_t copy;
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        copy = sums;
        copy.windows = windows_made;
    }
    return copy;
}
