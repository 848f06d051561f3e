#include "check.h"

#include "board.h"
#include "calibration.h"
#include "copies.h"
#include "housekeeping.h"
#include "job.h"
#include "outputs.h"
#include "sampling.h"
#include "sentence.h"
#include "temperature.h"

#define INPUT_BIT(input) ((uint16_t)(1ul << (input)))
#define EXTRA_INPUTS (INPUT_BIT(INPUT_TEMPERATURE) | INPUT_BIT(INPUT_SPARE) | INPUT_BIT(INPUT_GROUND_CHECK))

/* At the converter: 4 mV per count, so an eighth per q5. */
static void say_converter_mv(uint16_t q5) {
    sentence_unsigned((uint16_t)((q5 + 4u) / 8u));
}

static void poll(void) {
    if (look_active()) return;
    window_t window;
    sampling_take_window(&window);
    housekeeping_note_supply(&window.supply);
    /* The converter has just stopped with the look, and everything is off: it may be waited for. */
    uint16_t bandgap = sampling_wait_for(ADC_BANDGAP);
    uint16_t current = sampling_wait_for(ADC_CURRENT);
    uint16_t peak = sampling_wait_for(ADC_PEAK);
    sentence_reply(job_request()->tag, PW_REQUEST_CHECK);
    say_converter_mv(look_near_q5(INPUT_GROUND_CHECK));
    say_converter_mv(look_near_q5(INPUT_SPARE));
    say_converter_mv(look_near_q5(INPUT_TEMPERATURE));
    sentence_signed(temperature_decidegrees(look_near_q5(INPUT_TEMPERATURE)));
    say_converter_mv(bandgap);
    sentence_unsigned(calibration_current_ma(current));
    sentence_unsigned(calibration_peak_ma(peak));
    sentence_unsigned(housekeeping_supply_mv());
    sentence_unsigned(copies_good());
    job_end();
    sentence_send();
}

/* Needs no output, so losing them does not end it. */
static void stopped(enum pw_end why) {
    (void)why;
}

static const job_t job = {poll, stopped};

void check_begin(const request_t *request) {
    job_begin(&job, request);
    window_t before;
    sampling_take_window(&before);
    sampling_look(EXTRA_INPUTS, CALIBRATION_SAMPLES, LOOK_NEAR);
}
