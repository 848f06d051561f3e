#include "settling.h"

#define FLAT_WINDOWS 5u
#define FLAT_MA 5u
#define FLAT_DIVISOR 200u /* 0.5 % */
#define REST_WINDOWS 20u
#define HALF_WINDOWS (REST_WINDOWS / 2)
#define REST_MA 3u
#define REST_DIVISOR 333u /* 0.3 % */
#define STEADY_MA 10u
#define STEADY_DIVISOR 100u /* 1 % */

/* Differences of differences that stand clear of the noise: 0.8 mA for means of 50 ms, 0.55 mA for those of 100 ms. */
#define SHORT_SPAN 5u
#define SHORT_CLEAR_MA 4u
#define LONG_SPAN 10u
#define LONG_CLEAR_MA 2u
#define TO_GO_DIVISOR 60u /* 1.7 % */

void settling_reset(settling_t *settling) {
    settling->count = 0;
    settling->next = 0;
    settling->to_go_ma16 = 0;
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
    if (settling->count < REST_WINDOWS) return false;
    if (spread(settling, REST_WINDOWS) > allowed(mean_ma, STEADY_DIVISOR, STEADY_MA)) return false;
    uint32_t newer = sum(settling, 0, HALF_WINDOWS);
    uint32_t older = sum(settling, HALF_WINDOWS, HALF_WINDOWS);
    uint32_t apart = newer > older ? newer - older : older - newer;
    return apart <= (uint32_t)allowed(mean_ma, REST_DIVISOR, REST_MA) * HALF_WINDOWS;
}

/* Nothing in these windows leaves the way from the oldest to the newest: it has neither flashed nor bounced. */
static bool one_way(const settling_t *settling, uint8_t windows, uint16_t mean_ma) {
    uint16_t oldest = mean_before(settling, (uint8_t)(windows - 1));
    uint16_t way = oldest > mean_ma ? oldest - mean_ma : mean_ma - oldest;
    return spread(settling, windows) <= way + allowed(mean_ma, STEADY_DIVISOR, STEADY_MA);
}

/* A tenth is the least that one difference may be of the one before: less is a step, not a filament. */
static bool foreseen(settling_t *settling, uint16_t mean_ma, uint8_t span, uint8_t clear_ma) {
    if (settling->count <= 3 * span) return false; /* the first window is the inrush's */
    uint32_t newest = sum(settling, 0, span);
    int32_t newer = (int32_t)(sum(settling, span, span) - newest);
    int32_t older = (int32_t)(sum(settling, (uint8_t)(2 * span), span) - sum(settling, span, span));
    bool rises = newer < 0;
    if (rises) {
        newer = -newer;
        older = -older;
    }
    if (newer > UINT16_MAX || older < newer + (int32_t)clear_ma * span || older > 10 * newer) return false;
    uint32_t to_go = (uint32_t)newer * (uint32_t)newer / (uint32_t)(older - newer);
    if (to_go > newest / TO_GO_DIVISOR || !one_way(settling, (uint8_t)(3 * span), mean_ma)) return false;
    uint32_t to_go_ma16 = to_go * 16 / span;
    if (to_go_ma16 > INT16_MAX) return false;
    settling->to_go_ma16 = rises ? (int16_t) - (int16_t)to_go_ma16 : (int16_t)to_go_ma16;
    settling->left_share = (uint8_t)((uint32_t)newer * 256 / (uint32_t)older);
    settling->span = span;
    return true;
}

bool settling_add(settling_t *settling, uint16_t mean_ma) {
    settling->means_ma[settling->next] = mean_ma;
    settling->next = (uint8_t)((settling->next + 1) % SETTLING_WINDOWS);
    if (settling->count < UINT8_MAX) settling->count++;
    bool flat = settling->count == FLAT_WINDOWS + 1 &&
                spread(settling, FLAT_WINDOWS) <= allowed(mean_ma, FLAT_DIVISOR, FLAT_MA);
    return flat || came_to_rest(settling, mean_ma) || foreseen(settling, mean_ma, SHORT_SPAN, SHORT_CLEAR_MA) ||
           foreseen(settling, mean_ma, LONG_SPAN, LONG_CLEAR_MA);
}

/* Over a whole span the share left_share is left of it; in between the curve is nearly its chord, and beyond it the
 * next chord goes on from there. */
int16_t settling_to_go_ma(const settling_t *settling, int16_t later_ms) {
    if (settling->to_go_ma16 == 0) return 0;
    uint16_t span_ms = (uint16_t)(settling->span * SETTLING_WINDOW_MS);
    uint16_t after_ms = (uint16_t)((int16_t)(span_ms / 2) + later_ms);
    int32_t left = settling->to_go_ma16;
    while (after_ms >= span_ms) {
        left = left * settling->left_share / 256;
        after_ms = (uint16_t)(after_ms - span_ms);
    }
    left -= left * (256 - settling->left_share) / 256 * after_ms / span_ms;
    return (int16_t)((left + (left < 0 ? -8 : 8)) / 16);
}
