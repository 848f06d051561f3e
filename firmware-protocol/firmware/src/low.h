/* `low`: a few milliamps into one pin, and a look at every used one meanwhile. Answers when it is off again. */
#ifndef PINWALK_LOW_H
#define PINWALK_LOW_H

#include "request.h"

void low_begin(const request_t *request);

#endif
