/* Why the chip started, the watchdog, and the restart on request. */
#ifndef PINWALK_RESET_H
#define PINWALK_RESET_H

#include <stdbool.h>
#include <stdint.h>

#include "../generated/protocol.h"

/* Works the cause out of the flags that were saved before main; once. */
void reset_init(void);
enum pw_reset reset_cause(void);

/* 250 ms; from here on only watchdog_pat() keeps the bench running. */
void watchdog_start(void);

/* To be called once per turn of the main loop. Pats only while the tick ticks and, if it should, the converter
 * converts: a main loop that turns over dead interrupts is as stuck as one that does not turn. */
void watchdog_pat(void);

/* Resets within 16 ms. Everything must be off already. */
void reset_now(void) __attribute__((noreturn));

#endif
