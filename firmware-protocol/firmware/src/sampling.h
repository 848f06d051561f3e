/* The converter, one conversion after another from its own interrupt: while the relay is closed the current is looked
 * at all the time, and the looks at pins go in between. With nothing to do and the relay open the converter is off.
 */
#ifndef PINWALK_SAMPLING_H
#define PINWALK_SAMPLING_H

#include <stdbool.h>
#include <stdint.h>

#include "../generated/protocol.h"
#include "look.h"
#include "samples.h"

/* All conversions since the last window was taken. `watched` is the near voltage of the watched channel. */
typedef struct {
    samples_t current;
    samples_t peak;
    samples_t supply;
    samples_t watched;
} window_t;

void sampling_init(void);

/* The relay has been closed: converts from now on until the relay is open and no look goes on. */
void sampling_begin(void);

/* An output has just gone on: gathers the current, and the near voltage of its channel in between, until it goes off.
 */
void sampling_watch(uint8_t channel);
void sampling_watch_nothing(void);

/* Gives what is converted of this channel to stream.h, every other conversion, until told otherwise; `listening`
 * whether or not an output is on. */
void sampling_stream(uint8_t channel, enum pw_what what, bool listening);
void sampling_stream_nothing(void);

/* With the relay open and no look going on: the mean of 16 conversions of an ADC channel in q5, waited for (2 ms). */
uint16_t sampling_wait_for(uint8_t adc_channel);

/* Takes the window and begins the next one. */
void sampling_take_window(window_t *window);

/* The newest conversion of the current in q5, of the x20 amplifier, or of the x4 one with `peak` set where that
 * is saturated. */
uint16_t sampling_newest_current(bool *peak);

/* Starts a look (look.h), in between the conversions that guard; does nothing for no inputs. */
void sampling_look(uint16_t inputs, uint8_t samples, enum look_sides sides);
void sampling_look_abort(void);

/* Counts conversions, for the watchdog's question whether the converter lives. */
uint8_t sampling_heartbeat(void);
bool sampling_running(void);

#endif
