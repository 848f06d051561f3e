/* The converter, one conversion after another from its own interrupt: while the relay is closed the current is looked
 * at all the time, and the looks at pins go in between. With nothing to do and the relay open the converter is off.
 */
#ifndef PINWALK_SAMPLING_H
#define PINWALK_SAMPLING_H

#include <stdbool.h>
#include <stdint.h>

typedef struct {
    uint32_t sum;
    uint16_t count;
    uint16_t least;
    uint16_t greatest;
} samples_t;

/* All conversions since the last window was taken. `watched` is the near voltage of the watched channel. */
typedef struct {
    samples_t current;
    samples_t peak;
    samples_t supply;
    samples_t watched;
} window_t;

enum look_sides { LOOK_NEAR, LOOK_NEAR_AND_FAR };

void sampling_init(void);

/* The relay has been closed: converts from now on until the relay is open and no look goes on. */
void sampling_begin(void);

/* An output has just gone on: gathers the current, and the near voltage of its channel in between, until it goes off.
 */
void sampling_watch(uint8_t channel);
void sampling_watch_nothing(void);

/* Takes the window and begins the next one. */
void sampling_take_window(window_t *window);

/* The newest conversion of the current in q5, of the x20 amplifier, or of the x4 one with `peak` set where that
 * is saturated. */
uint16_t sampling_newest_current(bool *peak);

/* Looks at each near input of the mask (and far, if asked), `samples` (1 to 32) conversions each, lowest input first.
 */
void sampling_look(uint16_t inputs, uint8_t samples, enum look_sides sides);
bool sampling_looking(void);
void sampling_look_abort(void);
/* Mean of the finished look in q5. */
uint16_t sampling_near_q5(uint8_t input);
uint16_t sampling_far_q5(uint8_t channel);

/* Mean in q5; 0 without samples. */
uint16_t samples_mean_q5(const samples_t *samples);
void samples_clear(samples_t *samples);
void samples_merge(samples_t *into, const samples_t *more);

/* Counts conversions, for the watchdog's question whether the converter lives. */
uint8_t sampling_heartbeat(void);
bool sampling_running(void);

#endif
