#include "admission.h"

#include "bench.h"
#include "calibration.h"
#include "guard.h"
#include "job.h"
#include "outputs.h"
#include "roles.h"
#include "sampling.h"

#define LIVE_SAMPLES 4

bool admission_begin(const request_t *request, uint8_t channel) {
    const roles_t *roles = roles_now();
    uint16_t bit = (uint16_t)(1u << channel);
    uint16_t cooling = guard_cooling_ms(channel);
    if (guard_latched())
        bench_refuse(request, PW_REFUSAL_LATCHED);
    else if (roles->ground & bit)
        bench_refuse_value(request, PW_REFUSAL_GROUND, channel);
    else if (roles->sense_only & bit)
        bench_refuse_value(request, PW_REFUSAL_SENSE_ONLY, channel);
    else if (!outputs_armed())
        bench_refuse(request, PW_REFUSAL_NOT_ARMED);
    else if (!(roles->used & bit))
        bench_refuse_value(request, PW_REFUSAL_UNUSED, channel);
    else if (cooling > 0)
        bench_refuse_value(request, PW_REFUSAL_COOLING, cooling);
    else {
        sampling_look(bit, LIVE_SAMPLES, LOOK_NEAR);
        return true;
    }
    return false;
}

enum admission admission_poll(uint8_t channel) {
    if (look_active()) return ADMISSION_LOOKING;
    int16_t millivolts = calibration_near_mv(channel, look_near_q5(channel));
    if (millivolts <= PW_LIVE_MILLIVOLTS) return ADMISSION_GRANTED;
    job_end();
    bench_refuse_volts(job_request(), PW_REFUSAL_LIVE, channel, millivolts);
    return ADMISSION_REFUSED;
}
