#include "before_main.h"

#include <avr/io.h>
#include <avr/wdt.h>

uint8_t before_main_reset_flags __attribute__((section(".noinit")));

/* After a watchdog reset the watchdog runs on with its shortest time until it is told not to, and it cannot be told
 * while WDRF is set (data sheet, section 11.8.2): save the flags, clear them, stop it, all before .data is copied. */
void before_main(void) __attribute__((naked, used, section(".init3")));
void before_main(void) {
    before_main_reset_flags = MCUSR;
    MCUSR = 0;
    wdt_disable();
}
