#include "answers.h"

#include <stddef.h>
#include <util/delay.h>

#include "arming.h"
#include "bench.h"
#include "calibration.h"
#include "check.h"
#include "clock.h"
#include "drive.h"
#include "guard.h"
#include "housekeeping.h"
#include "job.h"
#include "low.h"
#include "measurement.h"
#include "outputs.h"
#include "progmem.h"
#include "reset.h"
#include "rest.h"
#include "roles.h"
#include "sentence.h"
#include "store.h"
#include "uart.h"
#include "watch.h"

static void answer_hello(const request_t *request) {
    sentence_reply(request->tag, PW_REQUEST_HELLO);
    sentence_unsigned(PW_PROTOCOL_VERSION);
    sentence_text_P(PSTR(PW_FIRMWARE_VERSION));
    sentence_text(calibration_serial());
    sentence_unsigned(PW_CHANNELS);
    sentence_unsigned(PW_DRIVE_CHANNELS);
    sentence_text(calibration_date());
    sentence_reset(reset_cause());
    sentence_send();
}

static void answer_ping(const request_t *request) {
    sentence_reply(request->tag, PW_REQUEST_PING);
    sentence_unsigned(clock_now_ms());
    sentence_send();
}

static void answer_status(const request_t *request) {
    sentence_reply(request->tag, PW_REQUEST_STATUS);
    sentence_state(bench_state());
    sentence_unsigned(housekeeping_supply_mv());
    sentence_signed(housekeeping_temperature());
    sentence_unsigned(clock_now_ms());
    sentence_unsigned(bench_garbled_count());
    sentence_unsigned(measurement_newest()->id);
    sentence_send();
}

/* One job at a time: the second is refused, and if it was after outputs everything goes off. */
static bool refused_as_busy(const request_t *request) {
    if (!job_running()) return false;
    bench_refuse(request, PW_REFUSAL_BUSY);
    return true;
}

static void answer_limits(const request_t *request) {
    if (refused_as_busy(request)) return;
    limits_t wanted = {.trip_ma = request->fields[PW_LIMITS_TRIP],
                       .trip_time_ms = request->fields[PW_LIMITS_TRIP_TIME],
                       .supply_min_mv = request->fields[PW_LIMITS_SUPPLY_MIN],
                       .supply_max_mv = request->fields[PW_LIMITS_SUPPLY_MAX],
                       .cool_ms = request->fields[PW_LIMITS_COOL]};
    guard_set_limits(&wanted);
    const limits_t *limits = guard_limits();
    sentence_reply(request->tag, PW_REQUEST_LIMITS);
    sentence_unsigned(limits->trip_ma);
    sentence_unsigned(limits->trip_time_ms);
    sentence_unsigned(limits->supply_min_mv);
    sentence_unsigned(limits->supply_max_mv);
    sentence_unsigned(limits->cool_ms);
    sentence_send();
}

static void answer_roles(const request_t *request) {
    if (job_running() || outputs_armed()) {
        bench_refuse(request, PW_REFUSAL_BUSY);
        return;
    }
    roles_add(request->fields[PW_ROLES_USED], request->fields[PW_ROLES_SENSE_ONLY], request->fields[PW_ROLES_GROUND]);
    const roles_t *roles = roles_now();
    sentence_reply(request->tag, PW_REQUEST_ROLES);
    sentence_hex4(roles->used);
    sentence_hex4(roles->sense_only);
    sentence_hex4(roles->ground);
    sentence_send();
}

static void answer_far(const request_t *request) {
    if (job_running() || outputs_armed()) {
        bench_refuse(request, PW_REFUSAL_BUSY);
        return;
    }
    roles_look_far(request->fields[PW_FAR_LOOK] != 0);
    sentence_reply(request->tag, PW_REQUEST_FAR);
    sentence_unsigned(roles_sides() == LOOK_NEAR ? 0 : 1);
    sentence_send();
}

static void answer_off(const request_t *request) {
    bench_off(PW_END_ASKED);
    sentence_reply(request->tag, PW_REQUEST_OFF);
    sentence_state(bench_state());
    sentence_send();
}

static void answer_keep(const request_t *request) {
    uint16_t measurement = request->fields[PW_KEEP_MEASUREMENT];
    if (!hold_keep(measurement) && !watch_keep(measurement)) {
        bench_refuse_value(request, PW_REFUSAL_STALE, measurement_newest()->id);
        return;
    }
    sentence_reply(request->tag, PW_REQUEST_KEEP);
    sentence_unsigned(measurement);
    sentence_send();
}

/* The newest measurement, if it is the one asked for and not still going on; otherwise the request has been refused. */
static const measurement_t *finished(const request_t *request, uint16_t id, bool drive_wanted) {
    const measurement_t *newest = measurement_newest();
    if (newest->id == 0 || newest->id != id || (drive_wanted && !newest->is_drive)) {
        bench_refuse_value(request, PW_REFUSAL_STALE, newest->id);
        return NULL;
    }
    return refused_as_busy(request) ? NULL : newest;
}

static void answer_result(const request_t *request) {
    const measurement_t *measurement = finished(request, request->fields[PW_RESULT_MEASUREMENT], true);
    if (!measurement) return;
    sentence_reply(request->tag, PW_REQUEST_RESULT);
    measurement_say_result(measurement);
    sentence_send();
}

static void answer_watched(const request_t *request) {
    const measurement_t *measurement = finished(request, request->fields[PW_WATCHED_MEASUREMENT], true);
    if (!measurement) return;
    watch_summary_t summary = watch_summary();
    if (summary.measurement != measurement->id) {
        bench_refuse_value(request, PW_REFUSAL_STALE, measurement->id);
        return;
    }
    sentence_reply(request->tag, PW_REQUEST_WATCHED);
    sentence_unsigned(measurement->id);
    sentence_end_word((enum pw_end)measurement->end);
    sentence_unsigned(summary.sums.windows);
    sentence_unsigned(summary.dropped);
    sentence_unsigned(summary.sums.gaps);
    sentence_unsigned(summary.sums.longest);
    sentence_unsigned(summary.sums.total);
    sentence_send();
}

static void answer_volts(const request_t *request) {
    const measurement_t *measurement = finished(request, request->fields[PW_VOLTS_MEASUREMENT], false);
    if (!measurement) return;
    sentence_reply(request->tag, PW_REQUEST_VOLTS);
    measurement_say_volts(measurement, (enum pw_side)request->fields[PW_VOLTS_SIDE]);
    sentence_send();
}

/* What concerns the bench itself is not touched while anything is, or may be, on. */
static bool refused_as_armed(const request_t *request) {
    if (!job_running() && !outputs_armed()) return false;
    bench_refuse(request, PW_REFUSAL_BUSY);
    return true;
}

static void say_constant(const request_t *request, enum pw_request verb, uint16_t value) {
    sentence_reply(request->tag, verb);
    sentence_constant((enum pw_constant)request->fields[PW_CONSTANT_ITEM]);
    sentence_unsigned(request->fields[PW_CONSTANT_CHANNEL]);
    sentence_unsigned(value);
    sentence_send();
}

_Static_assert(PW_CONSTANT_ITEM == (int)PW_STAGE_ITEM && PW_CONSTANT_CHANNEL == (int)PW_STAGE_CHANNEL,
               "`constant` and `stage` begin alike");

static void answer_constant(const request_t *request) {
    enum pw_constant item = (enum pw_constant)request->fields[PW_CONSTANT_ITEM];
    uint16_t value = 0;
    if (calibration_constant(item, (uint8_t)request->fields[PW_CONSTANT_CHANNEL], &value))
        say_constant(request, PW_REQUEST_CONSTANT, value);
    else
        bench_refuse_value(request, PW_REFUSAL_RANGE, PW_CONSTANT_CHANNEL);
}

static void answer_stage(const request_t *request) {
    if (refused_as_armed(request)) return;
    enum pw_constant item = (enum pw_constant)request->fields[PW_STAGE_ITEM];
    uint8_t channel = (uint8_t)request->fields[PW_STAGE_CHANNEL];
    uint16_t value = request->fields[PW_STAGE_VALUE];
    uint16_t before = 0;
    if (!calibration_constant(item, channel, &before)) {
        bench_refuse_value(request, PW_REFUSAL_RANGE, PW_STAGE_CHANNEL);
    } else if (!calibration_stage(item, channel, value)) {
        bench_refuse_value(request, PW_REFUSAL_RANGE, PW_STAGE_VALUE);
    } else {
        guard_set_limits(guard_limits()); /* the limits are kept as counts */
        say_constant(request, PW_REQUEST_STAGE, value);
    }
}

static void answer_serial(const request_t *request) {
    if (refused_as_armed(request)) return;
    calibration_set_serial(request->text, request->text_length);
    sentence_reply(request->tag, PW_REQUEST_SERIAL);
    sentence_text(calibration_serial());
    sentence_send();
}

static void answer_clear(const request_t *request) {
    if (refused_as_busy(request)) return;
    bench_off(PW_END_ASKED);
    if (!guard_clear_latch()) {
        bench_refuse(request, PW_REFUSAL_LATCHED);
        return;
    }
    sentence_reply(request->tag, PW_REQUEST_CLEAR);
    sentence_state(bench_state());
    sentence_send();
}

/* Everything is off, so waiting here for the reply to leave harms nobody; the watchdog ends it in any case. */
static void answer_restart(const request_t *request) {
    bench_off(PW_END_ASKED);
    sentence_reply(request->tag, PW_REQUEST_RESTART);
    sentence_send();
    while (!uart_sent()) {
    }
    _delay_ms(1);
    reset_now();
}

void answer(const request_t *request) {
    switch ((enum pw_request)request->verb) {
    case PW_REQUEST_HELLO: answer_hello(request); break;
    case PW_REQUEST_PING: answer_ping(request); break;
    case PW_REQUEST_STATUS: answer_status(request); break;
    case PW_REQUEST_LIMITS: answer_limits(request); break;
    case PW_REQUEST_ROLES: answer_roles(request); break;
    case PW_REQUEST_FAR: answer_far(request); break;
    case PW_REQUEST_ARM:
        if (!refused_as_busy(request)) arming_begin(request);
        break;
    case PW_REQUEST_OFF: answer_off(request); break;
    case PW_REQUEST_REST:
        if (!refused_as_busy(request)) rest_begin(request);
        break;
    case PW_REQUEST_LOW:
        if (!refused_as_busy(request)) low_begin(request);
        break;
    case PW_REQUEST_DRIVE:
        if (!refused_as_busy(request)) drive_begin(request);
        break;
    case PW_REQUEST_HOLD:
        if (!refused_as_busy(request)) hold_begin(request);
        break;
    case PW_REQUEST_WATCH:
        if (!refused_as_busy(request)) watch_begin(request);
        break;
    case PW_REQUEST_WATCHED: answer_watched(request); break;
    case PW_REQUEST_KEEP: answer_keep(request); break;
    case PW_REQUEST_RESULT: answer_result(request); break;
    case PW_REQUEST_VOLTS: answer_volts(request); break;
    case PW_REQUEST_CHECK:
        if (!refused_as_armed(request)) check_begin(request);
        break;
    case PW_REQUEST_CONSTANT: answer_constant(request); break;
    case PW_REQUEST_STAGE: answer_stage(request); break;
    case PW_REQUEST_SERIAL: answer_serial(request); break;
    case PW_REQUEST_STORE:
        if (!refused_as_armed(request)) store_begin(request);
        break;
    case PW_REQUEST_CLEAR: answer_clear(request); break;
    case PW_REQUEST_RESTART: answer_restart(request); break;
    }
}
