#include "look.h"

#include "board.h"
#include "calibration.h"

static volatile bool active;
static volatile bool far_next;
static volatile uint8_t unsettled; /* conversions still to be thrown away since the select lines have changed */
static volatile uint8_t left;      /* conversions still to come at this input */
static volatile uint8_t input;
static volatile uint16_t inputs_left;
static bool both_sides;
static uint8_t samples;
static volatile uint16_t near_sums[INPUTS];
static volatile uint16_t far_sums[PW_CHANNELS];

bool look_active(void) {
    return active;
}

static uint16_t mean_q5(uint16_t sum) {
    return (uint16_t)(((uint32_t)sum * CALIBRATION_SAMPLES + samples / 2) / samples);
}

uint16_t look_near_q5(uint8_t of_input) {
    return mean_q5(near_sums[of_input]);
}

uint16_t look_far_q5(uint8_t channel) {
    return mean_q5(far_sums[channel]);
}

/* False when none is left. */
static bool select_next_input(void) {
    uint16_t mask = inputs_left;
    if (mask == 0) return false;
    uint8_t next = 0;
    while (!(mask & 1u)) {
        mask >>= 1;
        next++;
    }
    inputs_left &= (uint16_t) ~(1u << next);
    input = next;
    left = samples;
    unsettled = 1;
    far_next = false;
    near_sums[next] = 0;
    if (next < PW_CHANNELS) far_sums[next] = 0;
    board_select_input(next);
    return true;
}

void look_begin(uint16_t inputs, uint8_t samples_each, enum look_sides sides) {
    samples = samples_each;
    both_sides = sides == LOOK_NEAR_AND_FAR;
    inputs_left = inputs;
    active = select_next_input();
    unsettled = 2; /* one may be under way that began before the select lines changed */
}

void look_abort(void) {
    active = false;
}

bool look_wants_far(void) {
    return far_next;
}

bool look_add(uint16_t count) {
    if (!active) return false;
    if (unsettled > 0) {
        unsettled--;
        return false;
    }
    if (far_next) {
        far_sums[input] += count;
        far_next = false;
    } else {
        near_sums[input] += count;
        if (both_sides && input < PW_CHANNELS) {
            far_next = true;
            return false;
        }
    }
    if (--left > 0) return false;
    active = select_next_input();
    return !active;
}
