#include "refusal.h"

#include "housekeeping.h"
#include "sentence.h"

void refusal_say(uint8_t tag, enum pw_refusal code) {
    sentence_refusal(tag, code);
    sentence_send();
}

void refusal_say_value(uint8_t tag, enum pw_refusal code, uint16_t value) {
    sentence_refusal(tag, code);
    sentence_unsigned(value);
    sentence_send();
}

void refusal_say_volts(uint8_t tag, enum pw_refusal code, uint8_t channel, int16_t millivolts) {
    sentence_refusal(tag, code);
    sentence_unsigned(channel);
    sentence_signed(millivolts);
    sentence_send();
}

void refusal_say_stopped(uint8_t tag, enum pw_end why) {
    if (why == PW_END_SUPPLY)
        refusal_say_value(tag, PW_REFUSAL_SUPPLY, housekeeping_supply_mv());
    else
        refusal_say(tag, why == PW_END_FAST_TRIP ? PW_REFUSAL_LATCHED : PW_REFUSAL_NOT_ARMED);
}
