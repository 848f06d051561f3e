/* The serial line: 250000 baud 8N1 (exact at 16 MHz: UBRR 3), both ways through rings and interrupts. */
#ifndef PINWALK_UART_H
#define PINWALK_UART_H

#include <stdbool.h>
#include <stdint.h>

void uart_init(void);

/* Takes a received byte; false when there is none. `lost` is set (and forgotten) when bytes did not fit before this
 * one. */
bool uart_take(uint8_t *byte, bool *lost);

/* Free bytes of the sending ring. */
uint16_t uart_free(void);

/* Queues the bytes whole, or not at all (false) when they do not fit. Never waits. */
bool uart_send(const char *bytes, uint8_t length);

/* True when the last byte has left the ring for the sender. */
bool uart_sent(void);

#endif
