#include "guard.h"

#include <avr/io.h>
#include <util/atomic.h>
#include <util/delay.h>

#include "board.h"
#include "calibration.h"
#include "clock.h"
#include "outputs.h"

/* A cold filament pulls a tired battery out of its window for some milliseconds; that is no fault. From memory. */
#define SUPPLY_GRACE_MS 20
#define CLEAR_PULSE_US 20

static limits_t limits = {PW_SLOW_TRIP_MILLIAMPS, PW_SLOW_TRIP_MS, PW_SUPPLY_MIN_MILLIVOLTS, PW_SUPPLY_MAX_MILLIVOLTS,
                          PW_COOL_MS};

/* The limits as counts of the converter, so that the interrupts compare and never multiply. */
static volatile uint16_t trip_count;
static volatile uint16_t supply_min_count;
static volatile uint16_t supply_max_count;

static volatile uint16_t silence_ms;
static volatile bool current_over;
static volatile uint16_t current_over_ms;
static volatile bool supply_out;
static volatile uint16_t supply_out_ms;
static volatile uint16_t supply_out_count;

static volatile uint8_t driven_channel = GUARD_NO_CHANNEL;
static volatile uint16_t output_left_ms;
static volatile uint8_t output_end;
static volatile uint16_t cooling_ms[PW_DRIVE_CHANNELS];

static volatile bool latched;
static volatile guard_event_t event = {GUARD_NOTHING, 0, GUARD_NOTHING};

void guard_init(void) {
    guard_set_limits(&limits);
}

const limits_t *guard_limits(void) {
    return &limits;
}

void guard_set_limits(const limits_t *wanted) {
    limits = *wanted;
    uint16_t trip = calibration_current_count(limits.trip_ma);
    if (trip > CURRENT_SATURATED_COUNT) trip = CURRENT_SATURATED_COUNT;
    uint16_t least = calibration_supply_count(limits.supply_min_mv);
    uint16_t most = calibration_supply_count(limits.supply_max_mv);
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        trip_count = trip;
        supply_min_count = least;
        supply_max_count = most;
    }
}

void guard_line_seen(void) {
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        silence_ms = 0;
    }
}

uint16_t guard_silence_ms(void) {
    uint16_t silence = 0;
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        silence = silence_ms;
    }
    return silence;
}

void guard_arm(void) {
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        current_over = false;
        supply_out = false;
        event.fault = GUARD_NOTHING;
        event.time_over = GUARD_NOTHING;
    }
}

void guard_output_on(uint8_t channel, uint16_t most_ms, uint8_t end) {
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        driven_channel = channel;
        output_left_ms = most_ms;
        output_end = end;
    }
}

bool guard_output_keep(uint16_t most_ms) {
    bool on = false;
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        if (output_left_ms > 0) {
            output_left_ms = most_ms;
            on = true;
        }
    }
    return on;
}

void guard_output_off(void) {
    guard_output_on(GUARD_NO_CHANNEL, 0, GUARD_NOTHING);
}

bool guard_output_is_on(void) {
    return output_left_ms > 0;
}

bool guard_take(guard_event_t *taken) {
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        taken->fault = event.fault;
        taken->value = event.value;
        taken->time_over = event.time_over;
        event.fault = GUARD_NOTHING;
        event.time_over = GUARD_NOTHING;
    }
    return taken->fault != GUARD_NOTHING || taken->time_over != GUARD_NOTHING;
}

bool guard_pending(void) {
    return event.fault != GUARD_NOTHING || event.time_over != GUARD_NOTHING;
}

uint16_t guard_cooling_ms(uint8_t channel) {
    uint16_t left = 0;
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        left = cooling_ms[channel];
    }
    return left;
}

bool guard_latched(void) {
    return latched;
}

bool guard_clear_latch(void) {
    PORTD |= (1 << NET_LATCH_CLEAR);
    _delay_us(CLEAR_PULSE_US);
    PORTD &= (uint8_t) ~(1 << NET_LATCH_CLEAR);
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        latched = (PIND & (1 << NET_LATCH_SENSE)) != 0;
    }
    return !latched;
}

/* Interrupts are off in all that follows. */

static void fault(uint8_t why, uint16_t value) {
    if (!outputs_armed()) return;
    outputs_all_off();
    event.fault = why;
    event.value = value;
    if ((why == PW_END_SLOW_TRIP || why == PW_END_FAST_TRIP) && driven_channel != GUARD_NO_CHANNEL)
        cooling_ms[driven_channel] = limits.cool_ms;
    driven_channel = GUARD_NO_CHANNEL;
    output_left_ms = 0;
    clock_wake_main();
}

void guard_sense_latch(void) {
    if (!(PIND & (1 << NET_LATCH_SENSE))) return;
    latched = true;
    fault(PW_END_FAST_TRIP, 0);
}

void guard_current(uint16_t count) {
    if (count <= trip_count) {
        current_over = false;
    } else if (!current_over) {
        current_over = true;
        current_over_ms = 0;
    }
}

void guard_supply(uint16_t count) {
    if (count >= supply_min_count && count <= supply_max_count) {
        supply_out = false;
        return;
    }
    supply_out_count = count;
    if (!supply_out) {
        supply_out = true;
        supply_out_ms = 0;
    }
}

static void count_down_output(void) {
    if (output_left_ms == 0) return;
    output_left_ms--;
    if (output_left_ms > 0) return;
    outputs_channels_off();
    event.time_over = output_end;
    driven_channel = GUARD_NO_CHANNEL;
    clock_wake_main();
}

void guard_tick(void) {
    guard_sense_latch();
    for (uint8_t i = 0; i < PW_DRIVE_CHANNELS; i++)
        if (cooling_ms[i] > 0) cooling_ms[i]--;
    if (silence_ms < UINT16_MAX) silence_ms++;
    if (!outputs_armed()) return;
    if (silence_ms >= PW_SILENCE_MS) fault(PW_END_SILENCE, silence_ms);
    /* Seen over the limit at some moment before the first count, so at count n it has lasted n - 1 to n milliseconds.
     */
    if (current_over && ++current_over_ms > limits.trip_time_ms) fault(PW_END_SLOW_TRIP, 0);
    if (supply_out && ++supply_out_ms > SUPPLY_GRACE_MS)
        fault(PW_END_SUPPLY, calibration_supply_mv((uint16_t)(supply_out_count * CALIBRATION_SAMPLES)));
    count_down_output();
}
