#include "arming.h"

#include "bench.h"
#include "board.h"
#include "calibration.h"
#include "clock.h"
#include "guard.h"
#include "housekeeping.h"
#include "job.h"
#include "outputs.h"
#include "refusal.h"
#include "roles.h"
#include "sampling.h"
#include "sentence.h"

#define RELAY_MS 10 /* an automotive relay pulls in and stops bouncing within 10 ms; from memory */
#define SAMPLES 2   /* to tell 1 V, 62 counts, from nothing */

static enum { LOOKING_BEFORE, RELAY_CLOSING, LOOKING_AFTER } phase;
static int16_t before_mv[PW_CHANNELS];
static uint32_t since_ms;

static bool supply_in_window(uint16_t supply_mv) {
    const limits_t *limits = guard_limits();
    return supply_mv >= limits->supply_min_mv && supply_mv <= limits->supply_max_mv;
}

static void note_supply(void) {
    window_t window;
    sampling_take_window(&window);
    housekeeping_note_supply(&window.supply);
}

static void refuse_supply(void) {
    job_end();
    bench_refuse_value(job_request(), PW_REFUSAL_SUPPLY, housekeeping_supply_mv());
}

/* A high-side switch conducts backwards through its body diode: a battery on a pin that stands above the supply would
 * feed the bench, and through the closed relay the bench's own supply. */
static uint8_t above_supply(void) {
    for (uint8_t i = 0; i < PW_DRIVE_CHANNELS; i++)
        if (before_mv[i] > 0 && (uint16_t)before_mv[i] > housekeeping_supply_mv()) return i;
    return GUARD_NO_CHANNEL;
}

static void close_relay(void) {
    for (uint8_t i = 0; i < PW_CHANNELS; i++)
        before_mv[i] = calibration_near_mv(i, look_near_q5(i));
    note_supply();
    if (!supply_in_window(housekeeping_supply_mv())) {
        refuse_supply();
        return;
    }
    uint8_t foreign = above_supply();
    if (foreign != GUARD_NO_CHANNEL) {
        job_end();
        bench_refuse_volts(job_request(), PW_REFUSAL_FOREIGN, foreign, before_mv[foreign]);
        return;
    }
    guard_arm();
    outputs_arm();
    sampling_begin();
    since_ms = clock_now_ms();
    phase = RELAY_CLOSING;
}

/* The channel whose pin has risen most by closing the relay; GUARD_NO_CHANNEL when none has by more than 1 V. A pin on
 * which a foreign supply stands was alive before and does not count. */
static uint8_t newly_alive(int16_t *after_mv) {
    uint8_t found = GUARD_NO_CHANNEL;
    int16_t most_mv = PW_LIVE_MILLIVOLTS;
    for (uint8_t i = 0; i < PW_CHANNELS; i++) {
        int16_t now_mv = calibration_near_mv(i, look_near_q5(i));
        int16_t rise_mv = (int16_t)(now_mv - before_mv[i]);
        if (rise_mv <= most_mv) continue;
        most_mv = rise_mv;
        *after_mv = now_mv;
        found = i;
    }
    return found;
}

static void judge(void) {
    int16_t after_mv = 0;
    uint8_t stuck = newly_alive(&after_mv);
    note_supply();
    if (stuck != GUARD_NO_CHANNEL) {
        job_end();
        bench_refuse_volts(job_request(), PW_REFUSAL_STUCK, stuck, after_mv);
    } else if (!supply_in_window(housekeeping_supply_mv())) {
        refuse_supply();
    } else {
        sentence_reply(job_request()->tag, PW_REQUEST_ARM);
        sentence_unsigned(housekeeping_supply_mv());
        job_end();
        sentence_send();
    }
}

static void poll(void) {
    if (guard_pending()) return;
    switch (phase) {
    case LOOKING_BEFORE:
        if (!look_active()) close_relay();
        break;
    case RELAY_CLOSING:
        if (clock_now_ms() - since_ms <= RELAY_MS) return;
        sampling_look(ALL_CHANNELS, SAMPLES, LOOK_NEAR);
        phase = LOOKING_AFTER;
        break;
    case LOOKING_AFTER:
        if (!look_active()) judge();
        break;
    }
}

static void stopped(enum pw_end why) {
    sampling_look_abort();
    job_end();
    refusal_say_stopped(job_request()->tag, why);
}

static const job_t job = {poll, stopped};

void arming_begin(const request_t *request) {
    if (guard_latched()) {
        bench_refuse(request, PW_REFUSAL_LATCHED);
        return;
    }
    if (!roles_now()->told || roles_now()->used == 0) {
        bench_refuse(request, PW_REFUSAL_NO_ROLES);
        return;
    }
    bench_off(PW_END_ASKED);
    phase = LOOKING_BEFORE;
    job_begin(&job, request);
    window_t before;
    sampling_take_window(&before);
    sampling_look(ALL_CHANNELS, SAMPLES, LOOK_NEAR);
}
