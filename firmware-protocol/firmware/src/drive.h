/* `drive` and `hold`: full supply on one pin until the current has settled, or for as long as a person looks. */
#ifndef PINWALK_DRIVE_H
#define PINWALK_DRIVE_H

#include <stdbool.h>
#include <stdint.h>

#include "request.h"

void drive_begin(const request_t *request);
void hold_begin(const request_t *request);

/* Ten more seconds for the held lamp of this measurement; false when that is not on (any more). */
bool hold_keep(uint16_t measurement);

/* A drive or hold has its output on. */
bool drive_is_on(void);

#endif
