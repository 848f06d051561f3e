#include "outputs.h"

#include <util/atomic.h>

#include "board.h"

static volatile bool armed;

/* Call with interrupts off: an interrupt that switches off must not meet a half-shifted chain. */
static void latch_registers(uint8_t drive, uint8_t low) {
    SPDR = drive;
    while (!(SPSR & (1 << SPIF))) {
    }
    SPDR = low;
    while (!(SPSR & (1 << SPIF))) {
    }
    PORTB |= (1 << NET_REGISTER_LATCH);
    PORTB &= (uint8_t) ~(1 << NET_REGISTER_LATCH);
}

void outputs_init(void) {
    SPCR = (1 << SPE) | (1 << MSTR); /* mode 0, most significant bit first, 4 MHz */
    outputs_all_off();
}

void outputs_all_off(void) {
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        PORTB |= (1 << NET_OUTPUT_ENABLE);
        PORTC &= (uint8_t) ~(1 << NET_RELAY);
        armed = false;
        latch_registers(0, 0);
    }
}

bool outputs_armed(void) {
    return armed;
}

void outputs_arm(void) {
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        latch_registers(0, 0);
        PORTC |= (1 << NET_RELAY);
        PORTB &= (uint8_t) ~(1 << NET_OUTPUT_ENABLE);
        armed = true;
    }
}

bool outputs_drive(uint8_t channel) {
    bool done = false;
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        if (armed) {
            latch_registers((uint8_t)(1u << channel), 0);
            done = true;
        }
    }
    return done;
}

bool outputs_low(uint8_t channel) {
    bool done = false;
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        if (armed) {
            latch_registers(0, (uint8_t)(1u << channel));
            done = true;
        }
    }
    return done;
}

void outputs_channels_off(void) {
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        latch_registers(0, 0);
    }
}
