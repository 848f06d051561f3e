/* What has to happen before main and before variables exist. */
#ifndef PINWALK_BEFORE_MAIN_H
#define PINWALK_BEFORE_MAIN_H

#include <stdint.h>

/* MCUSR as it was at reset. */
extern uint8_t before_main_reset_flags;

#endif
