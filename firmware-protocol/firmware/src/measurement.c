#include "measurement.h"

#include "calibration.h"
#include "sampling.h"
#include "sentence.h"

static measurement_t newest;

const measurement_t *measurement_newest(void) {
    return &newest;
}

measurement_t *measurement_begin(bool is_drive) {
    uint16_t id = newest.id == UINT16_MAX ? 1 : (uint16_t)(newest.id + 1);
    newest = (measurement_t){.id = id, .is_drive = is_drive};
    for (uint8_t i = 0; i < PW_CHANNELS; i++)
        newest.near_mv[i] = newest.far_mv[i] = NOT_MEASURED;
    return &newest;
}

void measurement_store_look(uint16_t channels) {
    for (uint8_t i = 0; i < PW_CHANNELS; i++, channels >>= 1) {
        if (!(channels & 1u)) continue;
        newest.near_mv[i] = calibration_near_mv(i, look_near_q5(i));
        newest.far_mv[i] = calibration_far_mv(i, look_far_q5(i));
    }
}
