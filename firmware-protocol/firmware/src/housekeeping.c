#include "housekeeping.h"

#include <stdbool.h>

#include "board.h"
#include "calibration.h"
#include "clock.h"
#include "job.h"
#include "temperature.h"

#define EVERY_MS 250
#define SAMPLES 16

static bool looking;
static uint32_t since_ms;
static uint16_t supply_mv;
static int16_t temperature;

static void begin_look(void) {
    window_t before;
    sampling_take_window(&before);
    sampling_look(1u << INPUT_TEMPERATURE, SAMPLES, LOOK_NEAR);
    looking = true;
    since_ms = clock_now_ms();
}

static void finish_look(void) {
    window_t window;
    sampling_take_window(&window);
    housekeeping_note_supply(&window.supply);
    temperature = temperature_decidegrees(look_near_q5(INPUT_TEMPERATURE));
    looking = false;
}

void housekeeping_init(void) {
    begin_look();
    while (look_active())
        clock_sleep();
    finish_look();
}

void housekeeping_poll(void) {
    if (job_running()) {
        looking = false; /* the job has the converter now */
        return;
    }
    if (looking) {
        if (!look_active()) finish_look();
    } else if (clock_now_ms() - since_ms >= EVERY_MS) {
        begin_look();
    }
}

uint16_t housekeeping_supply_mv(void) {
    return supply_mv;
}

int16_t housekeeping_temperature(void) {
    return temperature;
}

void housekeeping_note_supply(const samples_t *supply) {
    if (supply->count > 0) supply_mv = calibration_supply_mv(samples_mean_q5(supply));
}
