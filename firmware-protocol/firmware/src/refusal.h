/* Refusals as sentences. They switch nothing off: bench_refuse() does that first, a stopped job has been switched off.
 */
#ifndef PINWALK_REFUSAL_H
#define PINWALK_REFUSAL_H

#include <stdint.h>

#include "../generated/protocol.h"

void refusal_say(uint8_t tag, enum pw_refusal code);
void refusal_say_value(uint8_t tag, enum pw_refusal code, uint16_t value);
void refusal_say_volts(uint8_t tag, enum pw_refusal code, uint8_t channel, int16_t millivolts);

/* For the request of a job that was stopped while it owed an answer. */
void refusal_say_stopped(uint8_t tag, enum pw_end why);

#endif
