/* The millisecond tick on timer 2 (prescaler 128, compare 124), and the main loop's sleep. */
#ifndef PINWALK_CLOCK_H
#define PINWALK_CLOCK_H

#include <stdbool.h>
#include <stdint.h>

void clock_init(void);

/* Milliseconds since reset; wraps after 49 days, so only differences are compared. */
uint32_t clock_now_ms(void);

/* In tenths of a millisecond; only with interrupts off, or from one. */
uint32_t clock_now_tenths(void);

/* From an interrupt: there is work for the main loop. */
void clock_wake_main(void);

/* Idle sleep until some interrupt calls clock_wake_main(); the tick does so every millisecond. */
void clock_sleep(void);

#endif
