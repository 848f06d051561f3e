/* The start button: told once per press, after 20 ms without a bounce. */
#ifndef PINWALK_BUTTON_H
#define PINWALK_BUTTON_H

#include <stdbool.h>

/* From the tick interrupt. */
void button_tick(void);

/* True once after each press. */
bool button_take(void);

#endif
