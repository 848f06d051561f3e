#include "temperature.h"

#include "progmem.h"

#define COLDEST (-400)
#define STEP 50

/* 32 x 1024 x R / (R + 10k) with R = 10k x exp(3950 x (1 / T - 1 / 298.15 K)), from -40 to 85 degrees in steps of 5. */
static const uint16_t counts_q5[] PROGMEM = {31972, 31644, 31209, 30645, 29928, 29040, 27967, 26703, 25256,
                                             23647, 21909, 20085, 18227, 16384, 14601, 12915, 11353, 9930,
                                             8653,  7520,  6525,  5656,  4904,  4253,  3693,  3212};
#define POINTS (sizeof counts_q5 / sizeof counts_q5[0])

int16_t temperature_decidegrees(uint16_t q5) {
    uint16_t colder = pgm_read_word(&counts_q5[0]);
    if (q5 >= colder) return COLDEST;
    for (uint8_t i = 1; i < POINTS; i++) {
        uint16_t warmer = pgm_read_word(&counts_q5[i]);
        if (q5 >= warmer) {
            uint32_t part = ((uint32_t)(colder - q5) * STEP + (colder - warmer) / 2) / (colder - warmer);
            return (int16_t)(COLDEST + (int16_t)(i - 1) * STEP + (int16_t)part);
        }
        colder = warmer;
    }
    return COLDEST + STEP * (int16_t)(POINTS - 1);
}
