/* `check`: what the bench can say of itself with everything off. */
#ifndef PINWALK_CHECK_H
#define PINWALK_CHECK_H

#include "request.h"

void check_begin(const request_t *request);

#endif
