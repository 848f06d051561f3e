#include "reset.h"

#include <avr/interrupt.h>
#include <avr/io.h>
#include <avr/wdt.h>

#include "before_main.h"
#include "clock.h"
#include "sampling.h"

#define RESTART_MARK 0xB5C1u
#define MOST_MS_WITHOUT_CONVERSION 5u

/* Not cleared at start: SRAM survives every reset but the loss of power. */
static uint16_t restart_mark __attribute__((section(".noinit")));

static uint32_t last_pat_ms;
static uint32_t last_conversion_ms;
static uint8_t last_heartbeat;

static enum pw_reset cause;

void reset_init(void) {
    bool asked = restart_mark == RESTART_MARK;
    restart_mark = 0;
    if (before_main_reset_flags & (1 << WDRF))
        cause = asked ? PW_RESET_RESTART : PW_RESET_WATCHDOG;
    else if (before_main_reset_flags & (1 << PORF))
        cause = PW_RESET_POWER;
    else if (before_main_reset_flags & (1 << BORF))
        cause = PW_RESET_BROWN_OUT;
    else if (before_main_reset_flags & (1 << EXTRF))
        cause = PW_RESET_EXTERNAL;
    else
        cause = PW_RESET_POWER;
}

enum pw_reset reset_cause(void) {
    return cause;
}

void watchdog_start(void) {
    wdt_enable(WDTO_250MS);
}

void watchdog_pat(void) {
    uint32_t now = clock_now_ms();
    uint8_t heartbeat = sampling_heartbeat();
    if (heartbeat != last_heartbeat || !sampling_running()) last_conversion_ms = now;
    last_heartbeat = heartbeat;
    if (now == last_pat_ms || now - last_conversion_ms > MOST_MS_WITHOUT_CONVERSION) return;
    last_pat_ms = now;
    wdt_reset();
}

void reset_now(void) {
    cli();
    restart_mark = RESTART_MARK;
    wdt_enable(WDTO_15MS);
    for (;;) {
    }
}
