/* One function per request of the table: what the bench does and replies. */
#ifndef PINWALK_ANSWERS_H
#define PINWALK_ANSWERS_H

#include "request.h"

void answer(const request_t *request);

#endif
