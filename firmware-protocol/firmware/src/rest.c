#include "rest.h"

#include "board.h"
#include "calibration.h"
#include "housekeeping.h"
#include "job.h"
#include "measurement.h"
#include "roles.h"
#include "sampling.h"
#include "sentence.h"

#define SAMPLES 16

static uint16_t channels;

static void poll(void) {
    if (look_active()) return;
    measurement_store_look(channels);
    window_t window;
    sampling_take_window(&window);
    housekeeping_note_supply(&window.supply);
    measurement_push_volts();
    sentence_reply(job_request()->tag, PW_REQUEST_REST);
    sentence_unsigned(measurement_newest()->id);
    sentence_unsigned(housekeeping_supply_mv());
    job_end();
    sentence_send();
}

/* Needs no output, so losing them does not end it. */
static void stopped(enum pw_end why) {
    (void)why;
}

static const job_t job = {poll, stopped};

void rest_begin(const request_t *request) {
    job_begin(&job, request);
    measurement_begin(false);
    window_t before;
    sampling_take_window(&before);
    channels = roles_now()->used ? roles_now()->used : ALL_CHANNELS;
    sampling_look(channels, SAMPLES, roles_sides());
}
