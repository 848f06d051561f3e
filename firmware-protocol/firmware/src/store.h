/* `store`: the constants in force into EEPROM. */
#ifndef PINWALK_STORE_H
#define PINWALK_STORE_H

#include "request.h"

void store_begin(const request_t *request);

#endif
