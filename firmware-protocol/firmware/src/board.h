/* Every pin, net and divider of the bench, in one place. The schematic and the virtual bench use the same net names. */
#ifndef PINWALK_BOARD_H
#define PINWALK_BOARD_H

#include <avr/io.h>
#include <stdint.h>

#include "../generated/protocol.h"

/* ---- Port B ---- */
#define NET_REGISTER_LATCH PB0 /* RCLK of both 74HC595: a rising edge copies the shifted bits to the outputs */
#define NET_OUTPUT_ENABLE PB1  /* low = outputs enabled; pulled high on the board */
#define NET_SPI_SS PB2         /* an output, or the SPI would fall out of master mode */
#define NET_SPI_MOSI PB3     /* to the first 74HC595. Sent first: drive channels, then low-current; bit n = channel n */
#define NET_START_BUTTON PB4 /* low = pressed (internal pull-up); MISO, not used as such */
#define NET_SPI_SCK PB5

/* ---- Port C: analog inputs, by ADC channel, and the relay ---- */
#define ADC_NEAR 0     /* PC0: near multiplexer */
#define ADC_FAR 1      /* PC1: far multiplexer */
#define ADC_CURRENT 2  /* PC2: shunt x20, 0.4 V/A */
#define ADC_SUPPLY 3   /* PC3: supply divider, before the relay */
#define ADC_PEAK 4     /* PC4: shunt x4, 0.08 V/A */
#define ADC_BANDGAP 14 /* the chip's own 1.1 V (data sheet, table 24-4) */
#define NET_RELAY PC5  /* high = main relay closed */

/* ---- Port D ---- */
#define NET_SELECT_0 PD2 /* S0; S1 to S3 follow on PD3 to PD5; both multiplexers */
#define SELECT_MASK 0x3Cu
#define NET_LATCH_SENSE                                                                                                \
    PD6 /* high = the fast limit has latched; outputs and relay are off whatever the firmware says */
#define NET_LATCH_CLEAR PD7 /* a high pulse clears the latch, if its cause is gone */

/* ---- Near multiplexer inputs: 0 to 12 are the pins ---- */
#define INPUT_TEMPERATURE 13 /* NTC 10k B 3950 to ground, 10k to the 4.096 V reference */
#define INPUT_SPARE 14       /* tied to ground */
#define INPUT_GROUND_CHECK 15
#define INPUTS 16
#define ALL_CHANNELS ((uint16_t)((1u << PW_CHANNELS) - 1u))

/* ---- Design values, used until the bench is calibrated; 4.096 V / 1024 = 4 mV per count ----
 * value = mean count x 32 x gain >> shift. Pins and supply: 4 mV x (100k + 33k) / 33k = 16.1212 mV per count. */
#define VOLTS_SHIFT 16
#define VOLTS_GAIN 33016u /* 16.1212 x 2^11 */
#define CURRENT_SHIFT 16
#define CURRENT_GAIN 20480u /* 4 mV / 0.4 V/A = 10 mA per count, x 2^11 */
#define PEAK_SHIFT 15
#define PEAK_GAIN 51200u /* 4 mV / 0.08 V/A = 50 mA per count, x 2^10 */

/* Above this count the x20 amplifier is near its rail or the converter's end: the x4 one is believed instead. */
#define CURRENT_SATURATED_COUNT 1015u

/* Everything off, directions set, pull-ups on. Outputs stay off throughout: OE gets its high level before its
 * direction. */
void board_init(void);

/* Both multiplexers to this input. Call with interrupts off. */
void board_select_input(uint8_t input);

#endif
