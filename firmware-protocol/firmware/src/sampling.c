#include "sampling.h"

#include <avr/interrupt.h>
#include <avr/io.h>
#include <util/atomic.h>

#include "board.h"
#include "calibration.h"
#include "clock.h"
#include "guard.h"
#include "outputs.h"
#include "progmem.h"
#include "stream.h"

/* 16 MHz / 128 = 125 kHz, 13 clocks: 104 us a conversion. Ten bits want 50 to 200 kHz (data sheet, section 24.4). */
#define ADC_PRESCALER ((1 << ADPS2) | (1 << ADPS1) | (1 << ADPS0))

#define WAITED_FOR 16u
#define WAITED_AWAY 4u /* the chip's own reference needs some time to stand */

enum slot { SLOT_CURRENT, SLOT_PEAK, SLOT_SUPPLY, SLOT_WATCHED, SLOT_LOOK, SLOT_STREAM };

/* What is converted in turn. The current comes at least every 0.42 ms while anything can be on. */
#define PATTERN_SLOTS 16
static const uint8_t pattern_look[PATTERN_SLOTS] PROGMEM = {
    SLOT_SUPPLY, SLOT_LOOK, SLOT_LOOK, SLOT_LOOK, SLOT_LOOK, SLOT_LOOK, SLOT_LOOK, SLOT_LOOK,
    SLOT_SUPPLY, SLOT_LOOK, SLOT_LOOK, SLOT_LOOK, SLOT_LOOK, SLOT_LOOK, SLOT_LOOK, SLOT_LOOK};
static const uint8_t pattern_armed[PATTERN_SLOTS] PROGMEM = {
    SLOT_CURRENT, SLOT_SUPPLY, SLOT_CURRENT, SLOT_PEAK, SLOT_CURRENT, SLOT_SUPPLY, SLOT_CURRENT, SLOT_SUPPLY,
    SLOT_CURRENT, SLOT_SUPPLY, SLOT_CURRENT, SLOT_PEAK, SLOT_CURRENT, SLOT_SUPPLY, SLOT_CURRENT, SLOT_SUPPLY};
static const uint8_t pattern_driving[PATTERN_SLOTS] PROGMEM = {
    SLOT_PEAK, SLOT_CURRENT, SLOT_WATCHED, SLOT_CURRENT, SLOT_PEAK, SLOT_CURRENT, SLOT_SUPPLY,  SLOT_CURRENT,
    SLOT_PEAK, SLOT_CURRENT, SLOT_WATCHED, SLOT_CURRENT, SLOT_PEAK, SLOT_CURRENT, SLOT_WATCHED, SLOT_CURRENT};
static const uint8_t pattern_armed_look[PATTERN_SLOTS] PROGMEM = {
    SLOT_CURRENT, SLOT_LOOK, SLOT_LOOK, SLOT_LOOK, SLOT_CURRENT, SLOT_LOOK, SLOT_LOOK, SLOT_SUPPLY,
    SLOT_CURRENT, SLOT_LOOK, SLOT_LOOK, SLOT_LOOK, SLOT_CURRENT, SLOT_LOOK, SLOT_LOOK, SLOT_PEAK};

/* A watch: the line every 0.21 ms, whatever guards in between. */
static const uint8_t pattern_stream[PATTERN_SLOTS] PROGMEM = {
    SLOT_STREAM, SLOT_CURRENT, SLOT_STREAM, SLOT_PEAK,    SLOT_STREAM, SLOT_CURRENT, SLOT_STREAM, SLOT_SUPPLY,
    SLOT_STREAM, SLOT_CURRENT, SLOT_STREAM, SLOT_WATCHED, SLOT_STREAM, SLOT_CURRENT, SLOT_STREAM, SLOT_SUPPLY};
/* With the relay open there is nothing to guard. */
static const uint8_t pattern_listening[PATTERN_SLOTS] PROGMEM = {
    SLOT_STREAM, SLOT_STREAM, SLOT_STREAM, SLOT_SUPPLY,  SLOT_STREAM, SLOT_STREAM, SLOT_STREAM, SLOT_STREAM,
    SLOT_STREAM, SLOT_STREAM, SLOT_STREAM, SLOT_WATCHED, SLOT_STREAM, SLOT_STREAM, SLOT_STREAM, SLOT_STREAM};

#define WATCH_NOTHING 0xFF

static volatile bool running;
static volatile uint8_t heartbeat;
static volatile uint8_t slot;
static volatile uint8_t slot_index;
static volatile uint8_t watched_channel = WATCH_NOTHING;
static volatile bool streaming;
static volatile bool listening;
static uint8_t streamed_what;
static window_t window;
static volatile bool ignore_next;
static volatile uint16_t newest_current;
static volatile uint16_t newest_peak;

static void clear_window(void) {
    samples_clear(&window.current);
    samples_clear(&window.peak);
    samples_clear(&window.supply);
    samples_clear(&window.watched);
}

/* ---- In the interrupt, or with interrupts off ---- */

static uint8_t next_slot(void) {
    const uint8_t *pattern = streaming && !look_active() ? pattern_listening : pattern_look;
    if (outputs_armed()) {
        pattern = look_active()                      ? pattern_armed_look
                  : streaming                        ? pattern_stream
                  : watched_channel != WATCH_NOTHING ? pattern_driving
                                                     : pattern_armed;
    }
    uint8_t next = pgm_read_byte(pattern + slot_index);
    slot_index = (uint8_t)((slot_index + 1) % PATTERN_SLOTS);
    return next;
}

static uint8_t adc_channel_of(uint8_t of_slot) {
    switch (of_slot) {
    case SLOT_CURRENT: return ADC_CURRENT;
    case SLOT_PEAK: return ADC_PEAK;
    case SLOT_SUPPLY: return ADC_SUPPLY;
    case SLOT_LOOK: return look_wants_far() ? ADC_FAR : ADC_NEAR;
    case SLOT_STREAM:
        return streamed_what == PW_WHAT_CURRENT ? ADC_CURRENT : streamed_what == PW_WHAT_FAR ? ADC_FAR : ADC_NEAR;
    default: return ADC_NEAR;
    }
}

/* The converter is idle here: the multiplexer may be set. REFS 00: external reference on AREF. */
static void convert_next(void) {
    if (!outputs_armed() && !look_active() && !streaming) {
        ADCSRA = ADC_PRESCALER;
        running = false;
        return;
    }
    slot = next_slot();
    ADMUX = adc_channel_of(slot);
    ADCSRA = (1 << ADEN) | (1 << ADSC) | (1 << ADIE) | ADC_PRESCALER;
}

/* What belongs to an output counts only while that is on: neither the conversion that was under way when it went on nor
 * the one that was when it went off. */
static void add_to_output(uint8_t of_slot, uint16_t count) {
    if (!guard_output_is_on() && !listening) return;
    if (ignore_next) {
        ignore_next = false;
        return;
    }
    switch (of_slot) {
    case SLOT_CURRENT:
        newest_current = count;
        samples_add(&window.current, count);
        break;
    case SLOT_PEAK:
        newest_peak = count;
        samples_add(&window.peak, count);
        break;
    case SLOT_STREAM:
        stream_add(count);
        if (streamed_what == PW_WHAT_NEAR) samples_add(&window.watched, count);
        if (streamed_what == PW_WHAT_CURRENT) samples_add(&window.current, count);
        break;
    default: samples_add(&window.watched, count); break;
    }
}

/* Back to the watched channel; its next conversion comes two later, when the multiplexer has settled. */
static void end_look(void) {
    slot_index = 0;
    if (watched_channel != WATCH_NOTHING) board_select_input(watched_channel);
    clock_wake_main();
}

static void take_conversion(uint16_t count) {
    switch (slot) {
    case SLOT_CURRENT:
        guard_current(count);
        add_to_output(SLOT_CURRENT, count);
        break;
    case SLOT_SUPPLY:
        guard_supply(count);
        samples_add(&window.supply, count);
        break;
    case SLOT_LOOK:
        if (look_add(count)) end_look();
        break;
    case SLOT_STREAM:
        if (streamed_what == PW_WHAT_CURRENT) guard_current(count);
        add_to_output(SLOT_STREAM, count);
        break;
    default: add_to_output(slot, count); break;
    }
}

/* Idle sleep starts a conversion by itself when the converter is enabled and has nothing to do (data sheet, section
 * 10.3). That is the case when one ends in the few cycles before the sleep instruction: the multiplexer then still
 * stands at the old input, and must not be set before the uncalled-for conversion has ended. It is thrown away. */
ISR(ADC_vect) {
    static bool uncalled_for;
    uint16_t count = ADC;
    heartbeat++;
    guard_sense_latch();
    if (!uncalled_for) take_conversion(count);
    uncalled_for = (ADCSRA & (1 << ADSC)) != 0;
    if (!uncalled_for) convert_next();
}

/* ---- From the main loop ---- */

void sampling_init(void) {
    ADCSRA = ADC_PRESCALER;
    clear_window();
}

static void start_if_stopped(void) {
    if (running) return;
    running = true;
    slot_index = 0;
    ADCSRA = (1 << ADEN) | (1 << ADIF) | ADC_PRESCALER;
    while (ADCSRA & (1 << ADSC)) {
    }
    convert_next();
}

void sampling_begin(void) {
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        clear_window();
        start_if_stopped();
    }
}

void sampling_watch(uint8_t channel) {
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        watched_channel = channel;
        slot_index = 0;
        newest_current = 0;
        newest_peak = 0;
        ignore_next = true;
        clear_window();
        board_select_input(channel);
    }
}

void sampling_watch_nothing(void) {
    watched_channel = WATCH_NOTHING;
}

void sampling_stream(uint8_t channel, enum pw_what what, bool without_output) {
    sampling_watch(channel);
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        streamed_what = what;
        listening = without_output;
        streaming = true;
        start_if_stopped();
    }
}

void sampling_stream_nothing(void) {
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        streaming = false;
        listening = false;
        watched_channel = WATCH_NOTHING;
    }
}

uint16_t sampling_wait_for(uint8_t adc_channel) {
    uint16_t sum = 0;
    ADMUX = adc_channel;
    for (uint8_t i = 0; i < WAITED_FOR + WAITED_AWAY; i++) {
        ADCSRA = (1 << ADEN) | (1 << ADSC) | ADC_PRESCALER;
        while (ADCSRA & (1 << ADSC)) {
        }
        if (i >= WAITED_AWAY) sum = (uint16_t)(sum + ADC);
    }
    ADCSRA = (1 << ADIF) | ADC_PRESCALER;
    return (uint16_t)(sum * (CALIBRATION_SAMPLES / WAITED_FOR));
}

void sampling_take_window(window_t *taken) {
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        *taken = window;
        clear_window();
    }
}

uint16_t sampling_newest_current(bool *peak) {
    uint16_t count = 0;
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        *peak = newest_current >= CURRENT_SATURATED_COUNT;
        count = *peak ? newest_peak : newest_current;
    }
    return (uint16_t)(count * CALIBRATION_SAMPLES);
}

void sampling_look(uint16_t inputs, uint8_t samples, enum look_sides sides) {
    if (inputs == 0) return;
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        look_begin(inputs, samples, sides);
        start_if_stopped();
    }
}

void sampling_look_abort(void) {
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        look_abort();
        if (watched_channel != WATCH_NOTHING) board_select_input(watched_channel);
    }
}

uint8_t sampling_heartbeat(void) {
    return heartbeat;
}

bool sampling_running(void) {
    return running;
}
