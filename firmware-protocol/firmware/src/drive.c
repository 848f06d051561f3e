#include "drive.h"

#include "admission.h"
#include "calibration.h"
#include "clock.h"
#include "drive_values.h"
#include "guard.h"
#include "job.h"
#include "measurement.h"
#include "outputs.h"
#include "refusal.h"
#include "roles.h"
#include "sampling.h"
#include "sentence.h"
#include "settling.h"

#define WINDOWS_PER_TRACE 2 /* 20 ms */
#define OTHERS_SAMPLES 8

static enum { OFF, ASKING, SETTLING, LOOKING_AT_PIN, LOOKING_AT_OTHERS, HOLDING } phase;
static bool is_hold;
static bool settled;
static bool pin_known; /* from the windows: it need not be looked at */
static uint8_t channel;
static uint8_t windows_since_trace;
static uint16_t most_ms;
static uint16_t look_at_ms;
static uint16_t looks_began_ms;
static uint32_t started_ms;
static uint32_t window_ms;
static settling_t settling;
static measurement_t *measurement;

static uint16_t own_bit(void) {
    return (uint16_t)(1u << channel);
}

static uint16_t others(void) {
    return roles_now()->used & (uint16_t)~own_bit();
}

static uint16_t elapsed_ms(void) {
    uint32_t elapsed = clock_now_ms() - started_ms;
    return elapsed > UINT16_MAX ? UINT16_MAX : (uint16_t)elapsed;
}

/* How long the looks take: 10 of 16 conversions of 0.104 ms are theirs. */
static uint16_t look_ms(void) {
    uint8_t sides = roles_sides() == LOOK_NEAR ? 1 : 2;
    uint16_t conversions = 2 + sides * CALIBRATION_SAMPLES;
    for (uint16_t left = others(); left; left &= (uint16_t)(left - 1))
        conversions += 1 + sides * OTHERS_SAMPLES;
    return (uint16_t)(conversions * 171ul / 1024u + 3);
}

/* ---- The end ---- */

static void finish(enum pw_end end) {
    measurement->end = end;
    phase = OFF;
    job_end();
    sentence_push(PW_PUSH_ENDED);
    sentence_unsigned(measurement->id);
    sentence_end_word(end);
    sentence_unsigned(measurement->current_ma);
    sentence_signed(drive_values_pin_mv());
    sentence_send();
}

/* With everything that was measured said first, so that the host need not ask. */
static void finish_told(enum pw_end end) {
    measurement->end = end;
    measurement_push_volts();
    measurement_push_result();
    finish(end);
}

/* ---- While it is on ---- */

static void push_trace(void) {
    sentence_push(PW_PUSH_TRACE);
    sentence_unsigned(measurement->id);
    sentence_unsigned(elapsed_ms());
    sentence_unsigned(measurement->current_ma);
    sentence_signed(drive_values_pin_mv());
    sentence_send_if_room();
}

/* Every 10 ms: the window's means into the measurement; every 20 ms a trace. True when a window was taken. */
static bool take_window_when_due(void) {
    if (clock_now_ms() - window_ms < SETTLING_WINDOW_MS) return false;
    window_ms += SETTLING_WINDOW_MS;
    if (!drive_values_take(measurement, channel)) return false;
    if (++windows_since_trace == WINDOWS_PER_TRACE) {
        windows_since_trace = 0;
        push_trace();
    }
    return true;
}

static void look_at_others(void) {
    sampling_look(others(), OTHERS_SAMPLES, roles_sides());
    phase = LOOKING_AT_OTHERS;
}

/* A settled pin has been converted all along: on the near side alone nothing is left to look at but the others, and
 * the current is that of the last window. */
static void begin_looks(void) {
    measurement->settle_ms = looks_began_ms = elapsed_ms();
    int16_t steady_mv = drive_values_pin_steady_mv();
    pin_known = settled && roles_sides() == LOOK_NEAR && steady_mv != NOT_MEASURED;
    if (pin_known) {
        measurement->near_mv[channel] = steady_mv;
        look_at_others();
        return;
    }
    drive_values_take(measurement, channel);
    sampling_look(own_bit(), CALIBRATION_SAMPLES, roles_sides());
    phase = LOOKING_AT_PIN;
}

/* A current over the slow limit is never a settled one, however steady: the guard is about to end it. */
static bool is_settled(void) {
    return settling_add(&settling, measurement->current_ma) && measurement->current_ma <= guard_limits()->trip_ma;
}

static void settle(void) {
    if (take_window_when_due() && is_settled()) {
        settled = true;
        begin_looks();
    } else if (!is_hold && elapsed_ms() >= look_at_ms) {
        begin_looks();
    }
}

/* The current is the last window's, or has been gathered during the looks: half of their time after it, in the middle.
 */
static void take_off_what_is_to_go(void) {
    if (!settled) return;
    int16_t later_ms = pin_known ? -SETTLING_WINDOW_MS / 2 : (int16_t)(elapsed_ms() - looks_began_ms) / 2;
    int16_t to_go = settling_to_go_ma(&settling, later_ms);
    int32_t current = (int32_t)measurement->current_ma - to_go;
    measurement->current_ma = current < 0 ? 0 : current > UINT16_MAX ? UINT16_MAX : (uint16_t)current;
}

static void finish_looks(void) {
    measurement_store_look(others());
    if (!pin_known) {
        drive_values_take(measurement, channel);
        drive_values_note_pin(measurement->near_mv[channel]);
    }
    take_off_what_is_to_go();
    if (is_hold) {
        window_ms = clock_now_ms();
        phase = HOLDING;
        return;
    }
    guard_output_off();
    outputs_channels_off();
    sampling_watch_nothing();
    finish_told(settled ? PW_END_SETTLED : PW_END_TIME);
}

static void switch_on(void) {
    measurement = measurement_begin(true);
    drive_values_begin();
    settling_reset(&settling);
    settled = false;
    windows_since_trace = 0;
    uint16_t looks = look_ms();
    look_at_ms = most_ms > 2 * looks ? (uint16_t)(most_ms - looks) : most_ms / 2;
    guard_output_on(channel, most_ms, is_hold ? PW_END_UNKEPT : PW_END_TIME);
    outputs_drive(channel);
    sampling_watch(channel);
    started_ms = window_ms = clock_now_ms();
    phase = SETTLING;
    sentence_reply(job_request()->tag, is_hold ? PW_REQUEST_HOLD : PW_REQUEST_DRIVE);
    sentence_unsigned(measurement->id);
    sentence_send();
}

static void poll(void) {
    if (guard_pending()) return; /* switched off a moment ago: stopped() is about to be called */
    switch (phase) {
    case OFF: break;
    case ASKING:
        switch (admission_poll(channel)) {
        case ADMISSION_LOOKING: break;
        case ADMISSION_GRANTED: switch_on(); break;
        case ADMISSION_REFUSED: phase = OFF; break;
        }
        break;
    case SETTLING: settle(); break;
    case LOOKING_AT_PIN:
        if (look_active()) break;
        measurement_store_look(own_bit());
        look_at_others();
        break;
    case LOOKING_AT_OTHERS:
        if (!look_active()) finish_looks();
        break;
    case HOLDING: take_window_when_due(); break;
    }
}

static void stopped(enum pw_end why) {
    sampling_look_abort();
    sampling_watch_nothing();
    if (phase == ASKING) {
        phase = OFF;
        job_end();
        refusal_say_stopped(job_request()->tag, why);
        return;
    }
    if (phase == SETTLING) measurement->settle_ms = elapsed_ms();
    drive_values_at_stop(measurement, channel, why);
    finish(why == PW_END_TIME && settled ? PW_END_SETTLED : why);
}

static const job_t job = {poll, stopped};

static void begin(const request_t *request, uint8_t on_channel, bool hold, uint16_t most) {
    if (!admission_begin(request, on_channel)) return;
    channel = on_channel;
    is_hold = hold;
    most_ms = most;
    phase = ASKING;
    job_begin(&job, request);
}

void drive_begin(const request_t *request) {
    begin(request, (uint8_t)request->fields[PW_DRIVE_CHANNEL], false, request->fields[PW_DRIVE_MOST]);
}

void hold_begin(const request_t *request) {
    begin(request, (uint8_t)request->fields[PW_HOLD_CHANNEL], true, PW_KEEP_MS);
}

bool hold_keep(uint16_t measurement_id) {
    return drive_is_on() && is_hold && measurement_id == measurement->id && guard_output_keep(PW_KEEP_MS);
}

bool drive_is_on(void) {
    return phase != OFF && phase != ASKING;
}
