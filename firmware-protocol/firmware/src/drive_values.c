#include "drive_values.h"

#include "board.h"
#include "calibration.h"
#include "housekeeping.h"
#include "sampling.h"
#include "sentence.h"

#define ENOUGH_SAMPLES 8 /* for a mean that may stand in place of the last whole window's */

static bool pin_seen;
static int16_t pin_mv;
/* The two newest means of enough conversions; NOT_MEASURED before there were two. */
static int16_t pin_newest_mv;
static int16_t pin_older_mv;

void drive_values_begin(void) {
    pin_seen = false;
    pin_mv = 0;
    pin_newest_mv = pin_older_mv = NOT_MEASURED;
}

static uint16_t count_ma(uint16_t count) {
    return calibration_current_ma((uint16_t)(count * CALIBRATION_SAMPLES));
}

static bool saturated(const window_t *window) {
    return window->current.greatest >= CURRENT_SATURATED_COUNT;
}

static void note_peak(measurement_t *measurement, const window_t *window) {
    uint16_t peak_ma = 0;
    if (window->current.count > 0) peak_ma = count_ma(window->current.greatest);
    if (window->peak.count > 0 && (saturated(window) || window->current.count == 0))
        peak_ma = calibration_peak_ma((uint16_t)(window->peak.greatest * CALIBRATION_SAMPLES));
    if (peak_ma > measurement->peak_ma) measurement->peak_ma = peak_ma;
}

static void note_pin(const window_t *window, uint8_t channel) {
    if (window->watched.count == 0) return;
    pin_mv = calibration_near_mv(channel, samples_mean_q5(&window->watched));
    pin_seen = true;
    if (window->watched.count < ENOUGH_SAMPLES) return;
    pin_older_mv = pin_newest_mv;
    pin_newest_mv = pin_mv;
}

static void note_supply(measurement_t *measurement, const window_t *window) {
    housekeeping_note_supply(&window->supply);
    if (window->supply.count > 0) measurement->supply_mv = housekeeping_supply_mv();
}

static uint16_t peak_count_ma(uint16_t count) {
    return calibration_peak_ma((uint16_t)(count * CALIBRATION_SAMPLES));
}

static void note_current(measurement_t *measurement, const window_t *window) {
    const samples_t *fine = &window->current;
    const samples_t *coarse = &window->peak;
    if (saturated(window) && coarse->count > 0) {
        measurement->current_ma = calibration_peak_ma(samples_mean_q5(coarse));
        measurement->samples = coarse->count;
        measurement->spread_ma = (uint16_t)(peak_count_ma(coarse->greatest) - peak_count_ma(coarse->least));
    } else {
        measurement->current_ma = calibration_current_ma(samples_mean_q5(fine));
        measurement->samples = fine->count;
        measurement->spread_ma = (uint16_t)(count_ma(fine->greatest) - count_ma(fine->least));
    }
}

static void take(measurement_t *measurement, uint8_t channel, window_t *window) {
    sampling_take_window(window);
    note_peak(measurement, window);
    note_pin(window, channel);
    note_supply(measurement, window);
}

bool drive_values_take(measurement_t *measurement, uint8_t channel) {
    window_t window;
    take(measurement, channel, &window);
    if (window.current.count == 0) return false;
    note_current(measurement, &window);
    return true;
}

void drive_values_at_stop(measurement_t *measurement, uint8_t channel, enum pw_end why) {
    window_t window;
    take(measurement, channel, &window);
    if (window.current.count >= ENOUGH_SAMPLES || (window.current.count > 0 && measurement->samples == 0))
        note_current(measurement, &window);
    if (why == PW_END_SLOW_TRIP || why == PW_END_FAST_TRIP) {
        bool peak;
        uint16_t q5 = sampling_newest_current(&peak);
        measurement->current_ma = peak ? calibration_peak_ma(q5) : calibration_current_ma(q5);
    }
    if (why == PW_END_FAST_TRIP && measurement->peak_ma < PW_FAST_TRIP_MILLIAMPS)
        measurement->peak_ma = PW_FAST_TRIP_MILLIAMPS; /* the latch was faster than the converter */
    if (measurement->near_mv[channel] == NOT_MEASURED && pin_seen) measurement->near_mv[channel] = pin_mv;
}

int16_t drive_values_pin_steady_mv(void) {
    if (pin_older_mv == NOT_MEASURED) return NOT_MEASURED;
    return (int16_t)(((int32_t)pin_newest_mv + pin_older_mv) / 2);
}

int16_t drive_values_pin_mv(void) {
    return pin_mv;
}

void drive_values_note_pin(int16_t millivolts) {
    pin_mv = millivolts;
}
