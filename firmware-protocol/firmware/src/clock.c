#include "clock.h"

#include <avr/interrupt.h>
#include <avr/io.h>
#include <avr/sleep.h>
#include <util/atomic.h>

#include "button.h"
#include "guard.h"

#define TICKS_PER_SECOND 1000UL
#define PRESCALER 128UL
_Static_assert(F_CPU % (PRESCALER * TICKS_PER_SECOND) == 0, "the tick is exact");

static volatile uint32_t now_ms;
static volatile bool main_has_work;

void clock_init(void) {
    TCCR2A = (1 << WGM21);
    TCCR2B = (1 << CS22) | (1 << CS20);
    OCR2A = F_CPU / PRESCALER / TICKS_PER_SECOND - 1;
    TIMSK2 = (1 << OCIE2A);
    set_sleep_mode(SLEEP_MODE_IDLE);
}

ISR(TIMER2_COMPA_vect) {
    now_ms++;
    guard_tick();
    button_tick();
    main_has_work = true;
}

uint32_t clock_now_ms(void) {
    uint32_t now = 0;
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        now = now_ms;
    }
    return now;
}

uint32_t clock_now_tenths(void) {
    uint8_t count = TCNT2;
    uint32_t ms = now_ms;
    /* The timer has begun anew and its interrupt still waits. */
    if ((TIFR2 & (1 << OCF2A)) && count < OCR2A / 2) ms++;
    return ms * 10 + (uint8_t)((count * 41u) >> 9); /* count x 10 / 125 */
}

void clock_wake_main(void) {
    main_has_work = true;
}

void clock_sleep(void) {
    for (;;) {
        cli();
        if (main_has_work) break;
        sleep_enable();
        sei(); /* the instruction after sei still runs before any interrupt: no wake-up is lost */
        sleep_cpu();
        sleep_disable();
    }
    main_has_work = false;
    sei();
}
