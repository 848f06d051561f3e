#include "board.h"

void board_init(void) {
    PORTB = (1 << NET_OUTPUT_ENABLE) | (1 << NET_START_BUTTON) | (1 << NET_SPI_SS);
    DDRB = (1 << NET_REGISTER_LATCH) | (1 << NET_OUTPUT_ENABLE) | (1 << NET_SPI_SS) | (1 << NET_SPI_MOSI) |
           (1 << NET_SPI_SCK);
    PORTC = 0;
    DDRC = (1 << NET_RELAY);
    PORTD = (1 << PD0); /* receive line idles high even with no cable */
    DDRD = SELECT_MASK | (1 << NET_LATCH_CLEAR) | (1 << PD1);
    DIDR0 = (1 << ADC0D) | (1 << ADC1D) | (1 << ADC2D) | (1 << ADC3D) | (1 << ADC4D);
    ACSR = (1 << ACD);
}

void board_select_input(uint8_t input) {
    PORTD = (uint8_t)((PORTD & (uint8_t)~SELECT_MASK) | (uint8_t)(input << NET_SELECT_0));
}
