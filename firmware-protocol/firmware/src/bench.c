#include "bench.h"

#include "drive.h"
#include "guard.h"
#include "job.h"
#include "outputs.h"
#include "refusal.h"
#include "sampling.h"
#include "sentence.h"
#include "watch.h"

static uint16_t garbled_count;

enum pw_state bench_state(void) {
    if (guard_latched()) return PW_STATE_LATCHED;
    if (drive_is_on() || watch_is_on()) return PW_STATE_DRIVING;
    return outputs_armed() ? PW_STATE_ARMED : PW_STATE_IDLE;
}

static void push_off(enum pw_end why, uint16_t value) {
    sentence_push(PW_PUSH_OFF);
    sentence_end_word(why);
    sentence_unsigned(value);
    sentence_send();
}

void bench_heed_guard(void) {
    guard_event_t event;
    if (!guard_take(&event)) return;
    if (event.time_over != GUARD_NOTHING) job_stop((enum pw_end)event.time_over);
    if (event.fault == GUARD_NOTHING) return;
    sampling_watch_nothing();
    job_stop((enum pw_end)event.fault);
    push_off((enum pw_end)event.fault, event.value);
}

void bench_off(enum pw_end why) {
    outputs_all_off();
    bench_heed_guard();
    guard_output_off();
    sampling_watch_nothing();
    job_stop(why);
}

void bench_distrust(void) {
    bool was_armed = outputs_armed();
    bench_off(PW_END_GARBLED);
    if (was_armed) push_off(PW_END_GARBLED, 0);
}

void bench_garbled(const char *why_P) {
    bench_distrust();
    if (garbled_count < UINT16_MAX) garbled_count++;
    sentence_push(PW_PUSH_GARBLED);
    sentence_text_P(why_P);
    sentence_unsigned(garbled_count);
    sentence_send();
}

uint16_t bench_garbled_count(void) {
    return garbled_count;
}

/* "Everything off" is the first thing that a refused request for outputs gets; the words come after. */
static void off_if_touched(const request_t *request) {
    if (request->touches_outputs) bench_off(PW_END_ASKED);
}

void bench_refuse(const request_t *request, enum pw_refusal code) {
    off_if_touched(request);
    refusal_say(request->tag, code);
}

void bench_refuse_value(const request_t *request, enum pw_refusal code, uint16_t value) {
    off_if_touched(request);
    refusal_say_value(request->tag, code, value);
}

void bench_refuse_volts(const request_t *request, enum pw_refusal code, uint8_t channel, int16_t millivolts) {
    off_if_touched(request);
    refusal_say_volts(request->tag, code, channel, millivolts);
}
