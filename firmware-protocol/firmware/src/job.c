#include "job.h"

#include <stddef.h>

static const job_t *running;
static request_t asked_by;

void job_begin(const job_t *job, const request_t *request) {
    running = job;
    asked_by = *request;
}

void job_end(void) {
    running = NULL;
}

bool job_running(void) {
    return running != NULL;
}

void job_poll(void) {
    if (running) running->poll();
}

void job_stop(enum pw_end why) {
    if (running) running->stopped(why);
}

const request_t *job_request(void) {
    return &asked_by;
}
