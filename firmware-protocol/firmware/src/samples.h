/* Conversions gathered into a mean and its extremes. */
#ifndef PINWALK_SAMPLES_H
#define PINWALK_SAMPLES_H

#include <stdint.h>

typedef struct {
    uint32_t sum;
    uint16_t count;
    uint16_t least;
    uint16_t greatest;
} samples_t;

void samples_clear(samples_t *samples);
void samples_add(samples_t *samples, uint16_t count);

/* Mean in q5 (five bits behind the point, as calibration.h takes it); 0 without samples. */
uint16_t samples_mean_q5(const samples_t *samples);

#endif
