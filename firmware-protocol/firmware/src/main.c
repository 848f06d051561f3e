/* The bench from power to its work, top to bottom. */
#include <avr/interrupt.h>

#include "bench.h"
#include "board.h"
#include "button.h"
#include "calibration.h"
#include "clock.h"
#include "guard.h"
#include "housekeeping.h"
#include "job.h"
#include "outputs.h"
#include "progmem.h"
#include "reception.h"
#include "reset.h"
#include "sampling.h"
#include "sentence.h"
#include "uart.h"

/* A line feed comes first: half a line sent before the reset must not swallow the greeting. */
static void greet(void) {
    uart_send("\n", 1);
    sentence_push(PW_PUSH_HELLO);
    sentence_unsigned(PW_PROTOCOL_VERSION);
    sentence_text_P(PSTR(PW_FIRMWARE_VERSION));
    sentence_text(calibration_serial());
    sentence_reset(reset_cause());
    sentence_send();
}

static void tell_button(void) {
    if (!button_take()) return;
    sentence_push(PW_PUSH_BUTTON);
    sentence_send_if_room();
}

int main(void) {
    /* Off comes first. Until this line pull-ups and pull-downs on the board have kept everything off. */
    board_init();
    outputs_init();

    /* Why we are here, and with which constants. The watchdog of a previous life was stopped before main (reset.c). */
    reset_init();
    calibration_load();
    guard_init();

    /* From here on interrupts tick, convert, receive and guard. */
    clock_init();
    sampling_init();
    uart_init();
    sei();
    housekeeping_init();
    watchdog_start();
    greet();

    for (;;) {
        watchdog_pat();
        bench_heed_guard(); /* what the interrupts have switched off is told before anything new is begun */
        reception_poll();
        job_poll();
        housekeeping_poll();
        tell_button();
        clock_sleep();
    }
}
