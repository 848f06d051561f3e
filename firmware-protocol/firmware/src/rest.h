/* `rest`: every channel, near and far, with every channel off. */
#ifndef PINWALK_REST_H
#define PINWALK_REST_H

#include "request.h"

void rest_begin(const request_t *request);

#endif
