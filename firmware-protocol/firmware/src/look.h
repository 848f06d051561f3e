/* A look at several multiplexer inputs, one after another: which is selected, what is thrown away, what is summed. The
 * conversions themselves are sampling.c's. */
#ifndef PINWALK_LOOK_H
#define PINWALK_LOOK_H

#include <stdbool.h>
#include <stdint.h>

enum look_sides { LOOK_NEAR, LOOK_NEAR_AND_FAR };

/* From the main loop: still looking? And, when not, the mean of what was seen in q5. */
bool look_active(void);
uint16_t look_near_q5(uint8_t input);
uint16_t look_far_q5(uint8_t channel);

/* The rest with interrupts off. */

/* Each near input of the mask (and far, if asked), `samples` (1 to 32) conversions each, lowest input first. */
void look_begin(uint16_t inputs, uint8_t samples, enum look_sides sides);
void look_abort(void);
/* The next conversion has to be one of the far multiplexer. */
bool look_wants_far(void);
/* One more conversion of the multiplexer that was wanted; true when that was the last. */
bool look_add(uint16_t count);

#endif
