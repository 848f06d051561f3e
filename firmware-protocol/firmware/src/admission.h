/* May this channel be switched on? First by what is known, then by a look at the pin with everything off. */
#ifndef PINWALK_ADMISSION_H
#define PINWALK_ADMISSION_H

#include <stdbool.h>
#include <stdint.h>

#include "request.h"

/* False when it may not: the request has been refused, and everything is off. Otherwise the look at the pin has begun.
 */
bool admission_begin(const request_t *request, uint8_t channel);

enum admission { ADMISSION_LOOKING, ADMISSION_GRANTED, ADMISSION_REFUSED };

/* To be polled by the job that answers the request; when refused the job has been ended. */
enum admission admission_poll(uint8_t channel);

#endif
