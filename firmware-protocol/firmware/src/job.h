/* What the bench is doing for a request that takes time: arming, rest, low, drive or hold. One at a time. A job never
 * waits; it is polled once per turn of the main loop. */
#ifndef PINWALK_JOB_H
#define PINWALK_JOB_H

#include <stdbool.h>
#include <stdint.h>

#include "../generated/protocol.h"
#include "request.h"

typedef struct {
    void (*poll)(void);
    /* Its output is off already, for this reason (everything is, except after TIME and UNKEPT). It tells the host and
     * ends, unless it needs no output. */
    void (*stopped)(enum pw_end why);
} job_t;

void job_begin(const job_t *job, const request_t *request);
void job_end(void);
bool job_running(void);
void job_poll(void);
void job_stop(enum pw_end why);

/* The request that the running job answers. */
const request_t *job_request(void);

#endif
