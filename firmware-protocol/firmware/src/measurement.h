/* The newest measurement: its number, the voltages of both sides and, for a drive, how it ended. Kept until the next
 * one. */
#ifndef PINWALK_MEASUREMENT_H
#define PINWALK_MEASUREMENT_H

#include <stdbool.h>
#include <stdint.h>

#include "../generated/protocol.h"

typedef struct {
    uint16_t id;   /* 0: none yet */
    bool is_drive; /* drive, hold or watch: `result` may be asked for */
    int16_t near_mv[PW_CHANNELS];
    int16_t far_mv[PW_CHANNELS];
    uint8_t end; /* enum pw_end */
    uint16_t current_ma;
    uint16_t peak_ma;
    uint16_t settle_ms;
    uint16_t samples;
    uint16_t spread_ma;
    uint16_t supply_mv;
} measurement_t;

const measurement_t *measurement_newest(void);

/* A new number, nothing measured yet. */
measurement_t *measurement_begin(bool is_drive);

/* Takes the finished look at these channels over. */
void measurement_store_look(uint16_t channels);

/* The fields of `result` and of `volts`. */
void measurement_say_result(const measurement_t *of);
void measurement_say_volts(const measurement_t *of, enum pw_side side);

/* Tells the newest measurement unasked, as far as the line has room: who asks for it gets it in any case. */
void measurement_push_result(void);
void measurement_push_volts(void);

#endif
