#include "settling.h"

#define FLAT_WINDOWS 5u
#define FLAT_MA 5u
#define FLAT_DIVISOR 200u /* 0.5 % */
#define HALF_WINDOWS (SETTLING_WINDOWS / 2)
#define REST_MA 3u
#define REST_DIVISOR 333u /* 0.3 % */
#define STEADY_MA 10u
#define STEADY_DIVISOR 100u /* 1 % */

void settling_reset(settling_t *settling) {
    settling->count = 0;
    settling->next = 0;
}

static uint16_t allowed(uint16_t mean_ma, uint16_t divisor, uint16_t least_ma) {
    uint16_t share_ma = mean_ma / divisor;
    return share_ma > least_ma ? share_ma : least_ma;
}

/* The window that came so many before the newest. */
static uint16_t mean_before(const settling_t *settling, uint8_t windows) {
    return settling->means_ma[(settling->next + 2 * SETTLING_WINDOWS - 1 - windows) % SETTLING_WINDOWS];
}

/* Greatest less smallest of the newest windows. */
static uint16_t spread(const settling_t *settling, uint8_t windows) {
    uint16_t least = UINT16_MAX;
    uint16_t greatest = 0;
    for (uint8_t i = 0; i < windows; i++) {
        uint16_t mean = mean_before(settling, i);
        if (mean < least) least = mean;
        if (mean > greatest) greatest = mean;
    }
    return (uint16_t)(greatest - least);
}

static uint32_t sum(const settling_t *settling, uint8_t from, uint8_t windows) {
    uint32_t total = 0;
    for (uint8_t i = 0; i < windows; i++)
        total += mean_before(settling, (uint8_t)(from + i));
    return total;
}

static bool came_to_rest(const settling_t *settling, uint16_t mean_ma) {
    if (settling->count < SETTLING_WINDOWS) return false;
    if (spread(settling, SETTLING_WINDOWS) > allowed(mean_ma, STEADY_DIVISOR, STEADY_MA)) return false;
    uint32_t newer = sum(settling, 0, HALF_WINDOWS);
    uint32_t older = sum(settling, HALF_WINDOWS, HALF_WINDOWS);
    uint32_t apart = newer > older ? newer - older : older - newer;
    return apart <= (uint32_t)allowed(mean_ma, REST_DIVISOR, REST_MA) * HALF_WINDOWS;
}

bool settling_add(settling_t *settling, uint16_t mean_ma) {
    settling->means_ma[settling->next] = mean_ma;
    settling->next = (uint8_t)((settling->next + 1) % SETTLING_WINDOWS);
    if (settling->count < UINT8_MAX) settling->count++;
    bool flat = settling->count == FLAT_WINDOWS + 1 &&
                spread(settling, FLAT_WINDOWS) <= allowed(mean_ma, FLAT_DIVISOR, FLAT_MA);
    return flat || came_to_rest(settling, mean_ma);
}
