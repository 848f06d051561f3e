#include "low.h"

#include "admission.h"
#include "calibration.h"
#include "clock.h"
#include "guard.h"
#include "job.h"
#include "measurement.h"
#include "outputs.h"
#include "refusal.h"
#include "roles.h"
#include "sampling.h"
#include "sentence.h"

/* 4 mA charge 10 uF, more than a lamp's own capacitors, to their end voltage in about this time. From memory. */
#define SETTLE_MS 10
#define MOST_MS 500
#define OTHERS_SAMPLES 16

static enum { ASKING, SETTLING, LOOKING_AT_PIN, LOOKING_AT_OTHERS } phase;
static uint8_t channel;
static uint32_t since_ms;

static uint16_t others(void) {
    return roles_now()->used & (uint16_t) ~(1u << channel);
}

static void switch_on(void) {
    measurement_begin(false);
    guard_output_on(GUARD_NO_CHANNEL, MOST_MS, PW_END_TIME);
    outputs_low(channel);
    since_ms = clock_now_ms();
    phase = SETTLING;
}

static void finish(void) {
    outputs_channels_off();
    guard_output_off();
    sentence_reply(job_request()->tag, PW_REQUEST_LOW);
    sentence_unsigned(measurement_newest()->id);
    job_end();
    sentence_send();
}

static void poll(void) {
    if (guard_pending()) return; /* switched off a moment ago: stopped() is about to be called */
    switch (phase) {
    case ASKING:
        if (admission_poll(channel) == ADMISSION_GRANTED) switch_on();
        break;
    case SETTLING:
        if (clock_now_ms() - since_ms < SETTLE_MS) return;
        sampling_look((uint16_t)(1u << channel), CALIBRATION_SAMPLES, LOOK_NEAR_AND_FAR);
        phase = LOOKING_AT_PIN;
        break;
    case LOOKING_AT_PIN:
        if (look_active()) return;
        measurement_store_look((uint16_t)(1u << channel));
        sampling_look(others(), OTHERS_SAMPLES, LOOK_NEAR_AND_FAR);
        phase = LOOKING_AT_OTHERS;
        break;
    case LOOKING_AT_OTHERS:
        if (look_active()) return;
        measurement_store_look(others());
        finish();
        break;
    }
}

static void stopped(enum pw_end why) {
    outputs_all_off();
    sampling_look_abort();
    job_end();
    refusal_say_stopped(job_request()->tag, why);
}

static const job_t job = {poll, stopped};

void low_begin(const request_t *request) {
    channel = (uint8_t)request->fields[PW_LOW_CHANNEL];
    if (!admission_begin(request, channel)) return;
    phase = ASKING;
    job_begin(&job, request);
}
