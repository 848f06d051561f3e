#include "store.h"

#include "bench.h"
#include "calibration.h"
#include "copies.h"
#include "job.h"
#include "sentence.h"

static void poll(void) {
    enum copies_progress progress = copies_poll();
    if (progress == COPIES_WRITING) return;
    job_end();
    if (progress == COPIES_FAILED) {
        calibration_undate();
        bench_refuse(job_request(), PW_REFUSAL_NOT_STORED);
        return;
    }
    sentence_reply(job_request()->tag, PW_REQUEST_STORE);
    sentence_text(calibration_date());
    sentence_unsigned(calibration_revision());
    sentence_send();
}

/* Needs no output, so losing them does not end it. */
static void stopped(enum pw_end why) {
    (void)why;
}

static const job_t job = {poll, stopped};

void store_begin(const request_t *request) {
    copies_begin(calibration_seal(request->text, request->text_length));
    job_begin(&job, request);
}
