#include "button.h"

#include <avr/io.h>
#include <stdint.h>

#include "board.h"

#define STEADY_MS 20

static uint8_t steady_ms;
static bool down;
static volatile bool pressed;

void button_tick(void) {
    bool low = (PINB & (1 << NET_START_BUTTON)) == 0;
    if (low == down) {
        steady_ms = 0;
        return;
    }
    if (++steady_ms < STEADY_MS) return;
    steady_ms = 0;
    down = low;
    if (down) pressed = true;
}

bool button_take(void) {
    if (!pressed) return false;
    pressed = false;
    return true;
}
