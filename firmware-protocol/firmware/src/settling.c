#include "settling.h"

#define FLOOR_MA 5u
#define RELATIVE_DIVISOR 400u /* 0.25 % */

void settling_reset(settling_t *settling) {
    settling->count = 0;
    settling->next = 0;
}

bool settling_add(settling_t *settling, uint16_t mean_ma) {
    settling->means_ma[settling->next] = mean_ma;
    settling->next = (uint8_t)((settling->next + 1) % SETTLING_WINDOWS);
    if (settling->count < SETTLING_WINDOWS) settling->count++;
    if (settling->count < SETTLING_WINDOWS) return false;
    uint16_t least = UINT16_MAX;
    uint16_t greatest = 0;
    for (uint8_t i = 0; i < SETTLING_WINDOWS; i++) {
        if (settling->means_ma[i] < least) least = settling->means_ma[i];
        if (settling->means_ma[i] > greatest) greatest = settling->means_ma[i];
    }
    uint16_t allowed = mean_ma / RELATIVE_DIVISOR;
    if (allowed < FLOOR_MA) allowed = FLOOR_MA;
    return greatest - least <= allowed;
}
