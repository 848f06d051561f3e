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

/* 16 MHz / 128 = 125 kHz, 13 clocks: 104 us a conversion. Ten bits want 50 to 200 kHz (data sheet, section 24.4). */
#define ADC_PRESCALER ((1 << ADPS2) | (1 << ADPS1) | (1 << ADPS0))

enum slot { SLOT_CURRENT, SLOT_PEAK, SLOT_SUPPLY, SLOT_WATCHED, SLOT_LOOK };

/* What is converted in turn. The current comes at least every 0.42 ms while anything can be on. */
#define PATTERN_SLOTS 16
static const uint8_t pattern_look[PATTERN_SLOTS] PROGMEM = {
    SLOT_SUPPLY, SLOT_LOOK, SLOT_LOOK, SLOT_LOOK, SLOT_SUPPLY, SLOT_LOOK, SLOT_LOOK, SLOT_LOOK,
    SLOT_SUPPLY, SLOT_LOOK, SLOT_LOOK, SLOT_LOOK, SLOT_SUPPLY, SLOT_LOOK, SLOT_LOOK, SLOT_LOOK};
static const uint8_t pattern_armed[PATTERN_SLOTS] PROGMEM = {
    SLOT_CURRENT, SLOT_SUPPLY, SLOT_CURRENT, SLOT_PEAK, SLOT_CURRENT, SLOT_SUPPLY, SLOT_CURRENT, SLOT_SUPPLY,
    SLOT_CURRENT, SLOT_SUPPLY, SLOT_CURRENT, SLOT_PEAK, SLOT_CURRENT, SLOT_SUPPLY, SLOT_CURRENT, SLOT_SUPPLY};
static const uint8_t pattern_driving[PATTERN_SLOTS] PROGMEM = {
    SLOT_PEAK, SLOT_CURRENT, SLOT_WATCHED, SLOT_CURRENT, SLOT_PEAK, SLOT_CURRENT, SLOT_SUPPLY,  SLOT_CURRENT,
    SLOT_PEAK, SLOT_CURRENT, SLOT_WATCHED, SLOT_CURRENT, SLOT_PEAK, SLOT_CURRENT, SLOT_WATCHED, SLOT_CURRENT};
static const uint8_t pattern_armed_look[PATTERN_SLOTS] PROGMEM = {
    SLOT_CURRENT, SLOT_LOOK, SLOT_LOOK, SLOT_LOOK, SLOT_CURRENT, SLOT_LOOK, SLOT_LOOK, SLOT_SUPPLY,
    SLOT_CURRENT, SLOT_LOOK, SLOT_LOOK, SLOT_LOOK, SLOT_CURRENT, SLOT_LOOK, SLOT_LOOK, SLOT_PEAK};

#define WATCH_NOTHING 0xFF

static volatile bool running;
static volatile uint8_t heartbeat;
static volatile uint8_t slot;
static volatile uint8_t slot_index;
static volatile uint8_t watched_channel = WATCH_NOTHING;
static window_t window;
static volatile bool ignore_next;
static volatile uint16_t newest_current;
static volatile uint16_t newest_peak;

static volatile struct {
    bool active;
    bool both_sides;
    uint8_t unsettled; /* the select lines have just changed: so many conversions are thrown away */
    bool far_next;
    uint8_t samples;
    uint8_t left; /* conversions still to come at this input */
    uint8_t input;
    uint16_t inputs_left;
} look;
static volatile uint16_t near_sums[INPUTS];
static volatile uint16_t far_sums[PW_CHANNELS];
static uint8_t look_samples;

void samples_clear(samples_t *samples) {
    samples->sum = 0;
    samples->count = 0;
    samples->least = UINT16_MAX;
    samples->greatest = 0;
}

static void add(samples_t *samples, uint16_t count) {
    samples->sum += count;
    samples->count++;
    if (count < samples->least) samples->least = count;
    if (count > samples->greatest) samples->greatest = count;
}

void samples_merge(samples_t *into, const samples_t *more) {
    into->sum += more->sum;
    into->count += more->count;
    if (more->least < into->least) into->least = more->least;
    if (more->greatest > into->greatest) into->greatest = more->greatest;
}

uint16_t samples_mean_q5(const samples_t *samples) {
    if (samples->count == 0) return 0;
    return (uint16_t)((samples->sum * CALIBRATION_SAMPLES + samples->count / 2) / samples->count);
}

static void clear_window(void) {
    samples_clear(&window.current);
    samples_clear(&window.peak);
    samples_clear(&window.supply);
    samples_clear(&window.watched);
}

/* ---- In the interrupt, or with interrupts off ---- */

static void select_next_input(void) {
    uint16_t left = look.inputs_left;
    if (left == 0) {
        look.active = false;
        slot_index = 0;
        if (watched_channel != WATCH_NOTHING) board_select_input(watched_channel);
        clock_wake_main();
        return;
    }
    uint8_t input = 0;
    while (!(left & 1u)) {
        left >>= 1;
        input++;
    }
    look.inputs_left &= (uint16_t) ~(1u << input);
    look.input = input;
    look.unsettled = 1;
    look.far_next = false;
    look.left = look.samples;
    near_sums[input] = 0;
    if (input < PW_CHANNELS) far_sums[input] = 0;
    board_select_input(input);
}

static void add_to_look(uint16_t count) {
    if (!look.active) return;
    if (look.unsettled > 0) {
        look.unsettled--;
        return;
    }
    uint8_t input = look.input;
    if (!look.far_next) {
        near_sums[input] += count;
        if (look.both_sides && input < PW_CHANNELS) {
            look.far_next = true;
            return;
        }
    } else {
        far_sums[input] += count;
        look.far_next = false;
    }
    if (--look.left == 0) select_next_input();
}

static uint8_t next_slot(void) {
    const uint8_t *pattern = pattern_look;
    if (outputs_armed()) {
        pattern = look.active ? pattern_armed_look : watched_channel != WATCH_NOTHING ? pattern_driving : pattern_armed;
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
    case SLOT_LOOK: return look.far_next ? ADC_FAR : ADC_NEAR;
    default: return ADC_NEAR;
    }
}

/* The converter is idle here: the multiplexer may be set. REFS 00: external reference on AREF. */
static void convert_next(void) {
    if (!outputs_armed() && !look.active) {
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
    if (!guard_output_is_on()) return;
    if (ignore_next) {
        ignore_next = false;
        return;
    }
    switch (of_slot) {
    case SLOT_CURRENT:
        newest_current = count;
        add(&window.current, count);
        break;
    case SLOT_PEAK:
        newest_peak = count;
        add(&window.peak, count);
        break;
    default: add(&window.watched, count); break;
    }
}

static void take_conversion(uint16_t count) {
    switch (slot) {
    case SLOT_CURRENT:
        guard_current(count);
        add_to_output(SLOT_CURRENT, count);
        break;
    case SLOT_SUPPLY:
        guard_supply(count);
        add(&window.supply, count);
        break;
    case SLOT_LOOK: add_to_look(count); break;
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
        look_samples = samples;
        look.samples = samples;
        look.both_sides = sides == LOOK_NEAR_AND_FAR;
        look.inputs_left = inputs;
        look.active = true;
        select_next_input();
        look.unsettled = 2; /* one may be under way that began before the select lines changed */
        start_if_stopped();
    }
}

bool sampling_looking(void) {
    return look.active;
}

void sampling_look_abort(void) {
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        look.active = false;
        if (watched_channel != WATCH_NOTHING) board_select_input(watched_channel);
    }
}

static uint16_t mean_q5(uint16_t sum) {
    return (uint16_t)(((uint32_t)sum * CALIBRATION_SAMPLES + look_samples / 2) / look_samples);
}

uint16_t sampling_near_q5(uint8_t input) {
    return mean_q5(near_sums[input]);
}

uint16_t sampling_far_q5(uint8_t channel) {
    return mean_q5(far_sums[channel]);
}

uint8_t sampling_heartbeat(void) {
    return heartbeat;
}

bool sampling_running(void) {
    return running;
}
