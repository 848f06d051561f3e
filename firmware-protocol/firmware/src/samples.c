#include "samples.h"

#include "calibration.h"

void samples_clear(samples_t *samples) {
    samples->sum = 0;
    samples->count = 0;
    samples->least = UINT16_MAX;
    samples->greatest = 0;
}

void samples_add(samples_t *samples, uint16_t count) {
    samples->sum += count;
    samples->count++;
    if (count < samples->least) samples->least = count;
    if (count > samples->greatest) samples->greatest = count;
}

uint16_t samples_mean_q5(const samples_t *samples) {
    if (samples->count == 0) return 0;
    return (uint16_t)((samples->sum * CALIBRATION_SAMPLES + samples->count / 2) / samples->count);
}
