/* The bench as a whole: its state, everything off, and the refusals, which put everything off where outputs were asked
 * for. */
#ifndef PINWALK_BENCH_H
#define PINWALK_BENCH_H

#include <stdint.h>

#include "../generated/protocol.h"
#include "request.h"

enum pw_state bench_state(void);

/* Everything off, relay open, and the running job told why. From any state, any number of times. */
void bench_off(enum pw_end why);

/* Tells job and host what the guard has switched off since the last turn. */
void bench_heed_guard(void);

/* Something on the line cannot be trusted: everything off, and the host is told if it was armed. */
void bench_distrust(void);

/* A line was thrown away: the same, and the host is told why. `why` in flash. */
void bench_garbled(const char *why_P);
uint16_t bench_garbled_count(void);

/* Everything off first if the request touches outputs, then the refusal under its tag. */
void bench_refuse(const request_t *request, enum pw_refusal code);
void bench_refuse_value(const request_t *request, enum pw_refusal code, uint16_t value);
void bench_refuse_volts(const request_t *request, enum pw_refusal code, uint8_t channel, int16_t millivolts);

#endif
