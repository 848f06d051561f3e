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

/* 4 mA into a lamp's own capacitors: 10 uF need some 30 ms to their end voltage. The pin is looked at until two looks
 * in a row, 3 ms apart, agree. From memory. */
#define SETTLE_MS 50
#define AGREED_Q5 CALIBRATION_SAMPLES /* one count */
#define MOST_MS 500
#define PIN_SAMPLES 16
#define OTHERS_SAMPLES 8

static enum { ASKING, LOOKING_AT_PIN, LOOKING_AT_OTHERS } phase;
static uint8_t channel;
static bool seen;
static uint16_t before_q5;
static uint16_t far_before_q5;
static uint32_t since_ms;
static measurement_t *measurement;

static uint16_t own_bit(void) {
    return (uint16_t)(1u << channel);
}

static uint16_t others(void) {
    return roles_now()->used & (uint16_t)~own_bit();
}

static void look_at_pin(void) {
    sampling_look(own_bit(), PIN_SAMPLES, roles_sides());
    phase = LOOKING_AT_PIN;
}

static void switch_on(void) {
    measurement = measurement_begin(false);
    guard_output_on(GUARD_NO_CHANNEL, MOST_MS, PW_END_TIME);
    outputs_low(channel);
    since_ms = clock_now_ms();
    seen = false;
    look_at_pin();
}

static bool agree(uint16_t one_q5, uint16_t other_q5) {
    return (one_q5 > other_q5 ? one_q5 - other_q5 : other_q5 - one_q5) <= AGREED_Q5;
}

static void store_mean(uint16_t now_q5, uint16_t far_now_q5) {
    measurement->near_mv[channel] = calibration_near_mv(channel, (uint16_t)((before_q5 + now_q5) / 2));
    if (roles_sides() == LOOK_NEAR) return;
    measurement->far_mv[channel] = calibration_far_mv(channel, (uint16_t)((far_before_q5 + far_now_q5) / 2));
}

/* The reading of the pin is the mean of the two looks that agree. */
static void heed_pin(void) {
    uint16_t now_q5 = look_near_q5(channel);
    uint16_t far_now_q5 = look_far_q5(channel);
    if (seen && (agree(before_q5, now_q5) || clock_now_ms() - since_ms >= SETTLE_MS)) {
        store_mean(now_q5, far_now_q5);
        sampling_look(others(), OTHERS_SAMPLES, roles_sides());
        phase = LOOKING_AT_OTHERS;
        return;
    }
    seen = true;
    before_q5 = now_q5;
    far_before_q5 = far_now_q5;
    look_at_pin();
}

static void finish(void) {
    outputs_channels_off();
    guard_output_off();
    measurement_push_volts();
    sentence_reply(job_request()->tag, PW_REQUEST_LOW);
    sentence_unsigned(measurement->id);
    job_end();
    sentence_send();
}

static void poll(void) {
    if (guard_pending()) return; /* switched off a moment ago: stopped() is about to be called */
    switch (phase) {
    case ASKING:
        if (admission_poll(channel) == ADMISSION_GRANTED) switch_on();
        break;
    case LOOKING_AT_PIN:
        if (!look_active()) heed_pin();
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
