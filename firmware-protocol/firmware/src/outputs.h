/* The 74HC595 chain, its output enable and the main relay. Two channels can never be on: a channel is given by its
 * number, one at a time, and both registers are latched at once. */
#ifndef PINWALK_OUTPUTS_H
#define PINWALK_OUTPUTS_H

#include <stdbool.h>
#include <stdint.h>

void outputs_init(void);

/* Output enable high, relay open, all registers zero. From main or from an interrupt, at any time. */
void outputs_all_off(void);

/* True from outputs_arm() to outputs_all_off(): the relay is closed and the registers may drive. */
bool outputs_armed(void);

/* Closes the relay with every channel off. */
void outputs_arm(void);

/* One channel on, every other off; refused (false) unless armed. */
bool outputs_drive(uint8_t channel);
bool outputs_low(uint8_t channel);

/* Every channel off; the relay stays as it is. */
void outputs_channels_off(void);

#endif
