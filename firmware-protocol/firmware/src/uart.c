#include "uart.h"

#include <avr/interrupt.h>
#include <avr/io.h>
#include <util/atomic.h>

#include "clock.h"
#include "../generated/protocol.h"

#define RECEIVED_BYTES 128u /* two of the longest requests */
#define SENDING_BYTES 400u  /* the longest reply, the pushes of an ended drive, and room for traces */
_Static_assert(F_CPU % (16UL * PW_BAUD) == 0, "the baud rate is exact");

static volatile uint8_t received[RECEIVED_BYTES];
static volatile uint8_t received_head;
static volatile uint8_t received_tail;
static volatile bool received_lost;

static volatile char sending[SENDING_BYTES];
static volatile uint16_t sending_head;
static volatile uint16_t sending_tail;

static uint16_t after(uint16_t place) {
    return place + 1 == SENDING_BYTES ? 0 : place + 1;
}

void uart_init(void) {
    UBRR0 = F_CPU / (16UL * PW_BAUD) - 1;
    UCSR0A = 0;
    UCSR0C = (1 << UCSZ01) | (1 << UCSZ00);
    UCSR0B = (1 << RXCIE0) | (1 << RXEN0) | (1 << TXEN0);
}

ISR(USART_RX_vect) {
    bool overrun = (UCSR0A & (1 << DOR0)) != 0;
    uint8_t byte = UDR0;
    uint8_t next = (uint8_t)((received_head + 1) % RECEIVED_BYTES);
    if (overrun || next == received_tail) received_lost = true;
    if (next == received_tail) return;
    received[received_head] = byte;
    received_head = next;
    if (byte == '\n') clock_wake_main();
}

bool uart_take(uint8_t *byte, bool *lost) {
    bool any = false;
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        if (received_tail != received_head) {
            *byte = received[received_tail];
            received_tail = (uint8_t)((received_tail + 1) % RECEIVED_BYTES);
            any = true;
        }
        *lost = received_lost;
        received_lost = false;
    }
    return any;
}

/* Writes first and disables after: an interrupt that found nothing to write would leave the flag set for ever on the
 * chip and cleared for ever in an emulator. */
ISR(USART_UDRE_vect) {
    uint16_t tail = sending_tail;
    UDR0 = (uint8_t)sending[tail];
    tail = after(tail);
    sending_tail = tail;
    if (tail == sending_head) UCSR0B &= (uint8_t) ~(1 << UDRIE0);
}

uint16_t uart_free(void) {
    uint16_t tail = 0;
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        tail = sending_tail;
    }
    return tail > sending_head ? tail - sending_head - 1 : SENDING_BYTES - 1 - (sending_head - tail);
}

bool uart_send(const char *bytes, uint8_t length) {
    if (uart_free() < length || length == 0) return false;
    uint16_t head = sending_head;
    for (uint8_t i = 0; i < length; i++) {
        sending[head] = bytes[i];
        head = after(head);
    }
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        sending_head = head;
        UCSR0B |= (1 << UDRIE0);
    }
    return true;
}

bool uart_sent(void) {
    bool empty = false;
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        empty = sending_head == sending_tail;
    }
    return empty;
}
