/* `arm`: closes the relay with every channel off, and opens it again if a pin comes alive by that alone. */
#ifndef PINWALK_ARMING_H
#define PINWALK_ARMING_H

#include "request.h"

void arming_begin(const request_t *request);

#endif
