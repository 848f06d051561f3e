/* What switches off by itself, from the interrupts, however slow the main loop is: slow limit, supply window, hardware
 * latch, silence of the host, and the end of every output's time. The main loop only learns of it and tells the host.
 */
#ifndef PINWALK_GUARD_H
#define PINWALK_GUARD_H

#include <stdbool.h>
#include <stdint.h>

#include "../generated/protocol.h"

#define GUARD_NOTHING 0xFF
#define GUARD_NO_CHANNEL 0xFF

typedef struct {
    uint16_t trip_ma;
    uint16_t trip_time_ms;
    uint16_t supply_min_mv;
    uint16_t supply_max_mv;
    uint16_t cool_ms;
} limits_t;

/* What the guard did: everything off and disarmed (`fault`), or only the channel off because its time was over. */
typedef struct {
    uint8_t fault;     /* enum pw_end or GUARD_NOTHING */
    uint16_t value;    /* mV for SUPPLY, ms for SILENCE, otherwise 0 */
    uint8_t time_over; /* PW_END_TIME or PW_END_UNKEPT or GUARD_NOTHING */
} guard_event_t;

void guard_init(void);

const limits_t *guard_limits(void);
void guard_set_limits(const limits_t *limits);

/* A line with a good checksum has come. */
void guard_line_seen(void);
/* Milliseconds since then. */
uint16_t guard_silence_ms(void);

/* Starts watching, just before the relay closes. Forgets earlier events. */
void guard_arm(void);

/* Says which channel is on and for how long at most; when the time is over the channel goes off for `end`.
 * GUARD_NO_CHANNEL: none is driven with full supply (low-current), the time holds all the same. */
void guard_output_on(uint8_t channel, uint16_t most_ms, uint8_t end);
/* More time for an output that is still on (a kept hold); false if it is already off. */
bool guard_output_keep(uint16_t most_ms);
void guard_output_off(void);
/* False from the very moment at which an interrupt has switched it off. */
bool guard_output_is_on(void);

/* Something was switched off since the last call? */
bool guard_take(guard_event_t *event);
/* The same without taking it: something was switched off and the main loop has not yet been told. */
bool guard_pending(void);

/* Milliseconds until a channel that has tripped may be driven again; 0 when it may. */
uint16_t guard_cooling_ms(uint8_t channel);

/* The hardware latch: seen since it was last cleared. */
bool guard_latched(void);
/* Pulses the clear line; false if the latch stays. Only with everything off. */
bool guard_clear_latch(void);

/* From the interrupts. Counts are raw conversions. */
void guard_tick(void);
void guard_sense_latch(void);
void guard_current(uint16_t count);
void guard_supply(uint16_t count);

#endif
