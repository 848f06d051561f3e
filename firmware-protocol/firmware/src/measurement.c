#include "measurement.h"

#include "calibration.h"
#include "roles.h"
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
    bool far = roles_sides() != LOOK_NEAR;
    for (uint8_t i = 0; i < PW_CHANNELS; i++, channels >>= 1) {
        if (!(channels & 1u)) continue;
        newest.near_mv[i] = calibration_near_mv(i, look_near_q5(i));
        if (far) newest.far_mv[i] = calibration_far_mv(i, look_far_q5(i));
    }
}

void measurement_say_result(const measurement_t *of) {
    sentence_unsigned(of->id);
    sentence_end_word((enum pw_end)of->end);
    sentence_unsigned(of->current_ma);
    sentence_unsigned(of->peak_ma);
    sentence_unsigned(of->settle_ms);
    sentence_unsigned(of->samples);
    sentence_unsigned(of->spread_ma);
    sentence_unsigned(of->supply_mv);
}

void measurement_say_volts(const measurement_t *of, enum pw_side side) {
    const int16_t *millivolts = side == PW_SIDE_NEAR ? of->near_mv : of->far_mv;
    sentence_unsigned(of->id);
    sentence_side(side);
    for (uint8_t i = 0; i < PW_CHANNELS; i++)
        sentence_millivolts(millivolts[i]);
}

void measurement_push_volts(void) {
    for (uint8_t side = PW_SIDE_NEAR; side <= (roles_sides() == LOOK_NEAR ? PW_SIDE_NEAR : PW_SIDE_FAR); side++) {
        sentence_push(PW_PUSH_VOLTS);
        measurement_say_volts(&newest, (enum pw_side)side);
        sentence_send_if_room();
    }
}

void measurement_push_result(void) {
    sentence_push(PW_PUSH_RESULT);
    measurement_say_result(&newest);
    sentence_send_if_room();
}
