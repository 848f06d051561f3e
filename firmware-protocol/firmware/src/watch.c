#include "watch.h"

#include "admission.h"
#include "bench.h"
#include "calibration.h"
#include "clock.h"
#include "drive_values.h"
#include "guard.h"
#include "job.h"
#include "measurement.h"
#include "outputs.h"
#include "refusal.h"
#include "sampling.h"
#include "sentence.h"
#include "window_line.h"

static enum { OFF, ASKING, RUNNING } phase;
static uint8_t mode;
static uint8_t what;
static uint8_t channel;
static uint16_t low_count;
static uint32_t kept_ms;
static window_line_t line;
static uint32_t line_first;
static uint32_t line_next;
static uint32_t dropped;
static uint16_t id;
static measurement_t *measurement;

static uint16_t value_of(uint16_t q5) {
    switch ((enum pw_what)what) {
    case PW_WHAT_FAR: return (uint16_t)calibration_far_mv(channel, q5);
    case PW_WHAT_CURRENT: return calibration_current_ma(q5);
    default: return (uint16_t)calibration_near_mv(channel, q5);
    }
}

static uint16_t count_of(uint16_t value) {
    switch ((enum pw_what)what) {
    case PW_WHAT_FAR: return calibration_far_count(channel, value);
    case PW_WHAT_CURRENT: return calibration_current_count(value);
    default: return calibration_near_count(channel, value);
    }
}

/* ---- What is told ---- */

static void send_line(bool last) {
    if (line.windows == 0) return;
    drive_values_take(measurement, channel);
    sentence_push(PW_PUSH_WINDOWS);
    sentence_unsigned(id);
    sentence_unsigned(line_first);
    sentence_unsigned(measurement->current_ma);
    sentence_signed(drive_values_pin_mv());
    sentence_characters(line.text, (uint8_t)(line.windows * WINDOW_CHARACTERS));
    if (!(last ? sentence_send_last() : sentence_send_if_room())) dropped += line.windows;
    line.windows = 0;
}

static void add_to_line(const stream_window_t *window, uint32_t number) {
    if (number != line_next) {
        send_line(false);
        dropped += number - line_next;
    }
    if (line.windows == 0) line_first = number;
    line_next = number + 1;
    uint16_t mean_q5 = (uint16_t)(((uint32_t)window->sum * CALIBRATION_SAMPLES + window->count / 2) / window->count);
    window_line_add(&line, value_of((uint16_t)(window->least * CALIBRATION_SAMPLES)), value_of(mean_q5),
                    value_of((uint16_t)(window->greatest * CALIBRATION_SAMPLES)), window->edges);
    if (window_line_full(&line)) send_line(false);
}

static void tell_windows(void) {
    stream_window_t window;
    uint32_t number;
    while (stream_take_window(&window, &number))
        add_to_line(&window, number);
}

static void tell_gaps(void) {
    stream_gap_t gap;
    while (sentence_has_room() && stream_take_gap(&gap)) {
        sentence_push(PW_PUSH_GAP);
        sentence_unsigned(id);
        sentence_unsigned(gap.at);
        sentence_unsigned(gap.length);
        sentence_send_if_room();
    }
}

/* ---- Its end ---- */

static void finish(enum pw_end end) {
    stream_end();
    sampling_stream_nothing();
    tell_gaps();
    tell_windows();
    send_line(true);
    drive_values_at_stop(measurement, channel, end);
    measurement->end = end;
    phase = OFF;
    job_end();
    sentence_push(PW_PUSH_ENDED);
    sentence_unsigned(id);
    sentence_end_word(end);
    sentence_unsigned(measurement->current_ma);
    sentence_signed(drive_values_pin_mv());
    sentence_send();
}

/* ---- While it goes on ---- */

static void put_on(void) {
    if (mode == PW_MODE_LISTEN) return;
    bool drives = mode == PW_MODE_DRIVE;
    guard_output_on(drives ? channel : GUARD_NO_CHANNEL, PW_KEEP_MS, PW_END_UNKEPT);
    if (drives)
        outputs_drive(channel);
    else
        outputs_low(channel);
}

static void start(void) {
    measurement = measurement_begin(true);
    id = measurement->id;
    drive_values_begin();
    line.windows = 0;
    line_next = 0;
    dropped = 0;
    kept_ms = clock_now_ms();
    phase = RUNNING;
    put_on();
    stream_begin(low_count);
    sampling_stream(channel, (enum pw_what)what, mode == PW_MODE_LISTEN);
    sentence_reply(job_request()->tag, PW_REQUEST_WATCH);
    sentence_unsigned(id);
    sentence_send();
}

/* What the guard sees to where an output is on, a watch that only listens sees to by itself. */
static void run(void) {
    tell_windows();
    tell_gaps();
    if (mode != PW_MODE_LISTEN) return;
    if (clock_now_ms() - kept_ms >= PW_KEEP_MS)
        finish(PW_END_UNKEPT);
    else if (guard_silence_ms() >= PW_SILENCE_MS)
        finish(PW_END_SILENCE);
}

static void poll(void) {
    if (guard_pending()) return; /* switched off a moment ago: stopped() is about to be called */
    if (phase == RUNNING)
        run();
    else if (admission_poll(channel) == ADMISSION_GRANTED)
        start();
}

static void stopped(enum pw_end why) {
    sampling_look_abort();
    if (phase == RUNNING) {
        finish(why);
        return;
    }
    phase = OFF;
    job_end();
    refusal_say_stopped(job_request()->tag, why);
}

static const job_t job = {poll, stopped};

void watch_begin(const request_t *request) {
    const uint16_t *fields = request->fields;
    uint8_t on_channel = (uint8_t)fields[PW_WATCH_CHANNEL];
    bool listens = fields[PW_WATCH_MODE] == PW_MODE_LISTEN;
    if (!listens && !admission_begin(request, on_channel)) return;
    channel = on_channel;
    mode = (uint8_t)fields[PW_WATCH_MODE];
    what = (uint8_t)fields[PW_WATCH_WHAT];
    low_count = count_of(fields[PW_WATCH_BELOW]);
    phase = ASKING;
    job_begin(&job, request);
    if (!listens) return;
    sampling_look_abort(); /* housekeeping's */
    start();
}

bool watch_keep(uint16_t measurement_id) {
    if (phase != RUNNING || measurement_id != id) return false;
    if (mode != PW_MODE_LISTEN) return guard_output_keep(PW_KEEP_MS);
    kept_ms = clock_now_ms();
    return true;
}

bool watch_is_on(void) {
    return phase == RUNNING && mode != PW_MODE_LISTEN;
}

watch_summary_t watch_summary(void) {
    return (watch_summary_t){id, stream_sums(), dropped};
}
