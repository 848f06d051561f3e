/* Made from protocol.json by generate.mjs. Change the table, not this file. */
#ifndef PINWALK_GENERATED_PROTOCOL_H
#define PINWALK_GENERATED_PROTOCOL_H

#define PW_PROTOCOL_VERSION 2
#define PW_FIRMWARE_VERSION "1.0.0"
#define PW_BAUD 250000UL
#define PW_MAX_REQUEST_BYTES 64 /* before the line feed, a carriage return counted */
#define PW_MAX_REPLY_BYTES 160 /* before the line feed */
#define PW_MARK_REQUEST '?'
#define PW_MARK_REPLY '='
#define PW_MARK_REFUSAL '!'
#define PW_MARK_PUSH '~'
#define PW_CHANNELS 13
#define PW_DRIVE_CHANNELS 8
#define PW_LONGEST_TEXT 16
#define PW_LONGEST_VERB 8
#define PW_MOST_REQUEST_FIELDS 5

/* Timing and limits, the unit in the name. */
#define PW_SILENCE_MS 1000
#define PW_KEEP_MS 10000
#define PW_MAX_DRIVE_MS 10000
#define PW_SLOW_TRIP_MS 100
#define PW_SLOW_TRIP_MILLIAMPS 10000
#define PW_COOL_MS 2000
#define PW_LIVE_MILLIVOLTS 1000
#define PW_SUPPLY_MIN_MILLIVOLTS 10000
#define PW_SUPPLY_MAX_MILLIVOLTS 16000
#define PW_FAST_TRIP_MILLIAMPS 30000
#define PW_WINDOW_MS 2

/* Type letters: b u8, w u16, l u32, i i16, x x16, t text, p packed windows, I list of i16 (`-` for unmeasured), and a digit for a word of
 * the list with that number: 0 state, 1 side, 2 reset, 3 end, 4 mode, 5 what, 6 constant. */

/* Words. X(ID, "word"), in the order of their enumeration. */
enum pw_state { PW_STATE_IDLE = 0, PW_STATE_ARMED = 1, PW_STATE_DRIVING = 2, PW_STATE_LATCHED = 3 };
#define PW_WORDS_STATE(X) \
  X(PW_STATE_IDLE, "idle") \
  X(PW_STATE_ARMED, "armed") \
  X(PW_STATE_DRIVING, "driving") \
  X(PW_STATE_LATCHED, "latched")

enum pw_side { PW_SIDE_NEAR = 0, PW_SIDE_FAR = 1 };
#define PW_WORDS_SIDE(X) \
  X(PW_SIDE_NEAR, "near") \
  X(PW_SIDE_FAR, "far")

enum pw_reset { PW_RESET_POWER = 0, PW_RESET_EXTERNAL = 1, PW_RESET_BROWN_OUT = 2, PW_RESET_WATCHDOG = 3, PW_RESET_RESTART = 4 };
#define PW_WORDS_RESET(X) \
  X(PW_RESET_POWER, "power") \
  X(PW_RESET_EXTERNAL, "external") \
  X(PW_RESET_BROWN_OUT, "brown-out") \
  X(PW_RESET_WATCHDOG, "watchdog") \
  X(PW_RESET_RESTART, "restart")

enum pw_end { PW_END_SETTLED = 0, PW_END_TIME = 1, PW_END_SLOW_TRIP = 2, PW_END_FAST_TRIP = 3, PW_END_SUPPLY = 4, PW_END_SILENCE = 5, PW_END_ASKED = 6, PW_END_GARBLED = 7, PW_END_UNKEPT = 8 };
#define PW_WORDS_END(X) \
  X(PW_END_SETTLED, "settled") \
  X(PW_END_TIME, "time") \
  X(PW_END_SLOW_TRIP, "slow-trip") \
  X(PW_END_FAST_TRIP, "fast-trip") \
  X(PW_END_SUPPLY, "supply") \
  X(PW_END_SILENCE, "silence") \
  X(PW_END_ASKED, "asked") \
  X(PW_END_GARBLED, "garbled") \
  X(PW_END_UNKEPT, "unkept")

enum pw_mode { PW_MODE_DRIVE = 0, PW_MODE_LOW = 1, PW_MODE_LISTEN = 2 };
#define PW_WORDS_MODE(X) \
  X(PW_MODE_DRIVE, "drive") \
  X(PW_MODE_LOW, "low") \
  X(PW_MODE_LISTEN, "listen")

enum pw_what { PW_WHAT_NEAR = 0, PW_WHAT_FAR = 1, PW_WHAT_CURRENT = 2 };
#define PW_WORDS_WHAT(X) \
  X(PW_WHAT_NEAR, "near") \
  X(PW_WHAT_FAR, "far") \
  X(PW_WHAT_CURRENT, "current")

enum pw_constant { PW_CONSTANT_CURRENT_GAIN = 0, PW_CONSTANT_CURRENT_OFFSET = 1, PW_CONSTANT_PEAK_GAIN = 2, PW_CONSTANT_PEAK_OFFSET = 3, PW_CONSTANT_SUPPLY_GAIN = 4, PW_CONSTANT_SUPPLY_OFFSET = 5, PW_CONSTANT_NEAR_GAIN = 6, PW_CONSTANT_NEAR_OFFSET = 7, PW_CONSTANT_FAR_GAIN = 8, PW_CONSTANT_FAR_OFFSET = 9, PW_CONSTANT_LOW_VOLTS = 10, PW_CONSTANT_LOW_OHMS = 11, PW_CONSTANT_U_VOLTS_SCALE = 12, PW_CONSTANT_U_VOLTS_OFFSET = 13, PW_CONSTANT_U_AMPS_SCALE = 14, PW_CONSTANT_U_AMPS_OFFSET = 15 };
#define PW_WORDS_CONSTANT(X) \
  X(PW_CONSTANT_CURRENT_GAIN, "current-gain") \
  X(PW_CONSTANT_CURRENT_OFFSET, "current-offset") \
  X(PW_CONSTANT_PEAK_GAIN, "peak-gain") \
  X(PW_CONSTANT_PEAK_OFFSET, "peak-offset") \
  X(PW_CONSTANT_SUPPLY_GAIN, "supply-gain") \
  X(PW_CONSTANT_SUPPLY_OFFSET, "supply-offset") \
  X(PW_CONSTANT_NEAR_GAIN, "near-gain") \
  X(PW_CONSTANT_NEAR_OFFSET, "near-offset") \
  X(PW_CONSTANT_FAR_GAIN, "far-gain") \
  X(PW_CONSTANT_FAR_OFFSET, "far-offset") \
  X(PW_CONSTANT_LOW_VOLTS, "low-volts") \
  X(PW_CONSTANT_LOW_OHMS, "low-ohms") \
  X(PW_CONSTANT_U_VOLTS_SCALE, "u-volts-scale") \
  X(PW_CONSTANT_U_VOLTS_OFFSET, "u-volts-offset") \
  X(PW_CONSTANT_U_AMPS_SCALE, "u-amps-scale") \
  X(PW_CONSTANT_U_AMPS_OFFSET, "u-amps-offset")

/* X(ID, number of words, rows macro) for each word list. */
#define PW_WORD_LISTS(X) \
  X(STATE, 4, PW_WORDS_STATE) \
  X(SIDE, 2, PW_WORDS_SIDE) \
  X(RESET, 5, PW_WORDS_RESET) \
  X(END, 9, PW_WORDS_END) \
  X(MODE, 3, PW_WORDS_MODE) \
  X(WHAT, 3, PW_WORDS_WHAT) \
  X(CONSTANT, 16, PW_WORDS_CONSTANT)

/* Requests. X(ID, "verb", first row in PW_REQUEST_FIELDS, number of fields, touches outputs, repeatable, reply letters) */
enum pw_request { PW_REQUEST_HELLO = 0, PW_REQUEST_PING = 1, PW_REQUEST_STATUS = 2, PW_REQUEST_LIMITS = 3, PW_REQUEST_ROLES = 4, PW_REQUEST_FAR = 5, PW_REQUEST_ARM = 6, PW_REQUEST_OFF = 7, PW_REQUEST_REST = 8, PW_REQUEST_LOW = 9, PW_REQUEST_DRIVE = 10, PW_REQUEST_HOLD = 11, PW_REQUEST_WATCH = 12, PW_REQUEST_WATCHED = 13, PW_REQUEST_KEEP = 14, PW_REQUEST_RESULT = 15, PW_REQUEST_VOLTS = 16, PW_REQUEST_CHECK = 17, PW_REQUEST_CONSTANT = 18, PW_REQUEST_STAGE = 19, PW_REQUEST_SERIAL = 20, PW_REQUEST_STORE = 21, PW_REQUEST_CLEAR = 22, PW_REQUEST_RESTART = 23 };
#define PW_REQUEST_COUNT 24
#define PW_REQUESTS(X) \
  X(HELLO, "hello", 0, 0, 0, 1, "bttbbt2") \
  X(PING, "ping", 0, 0, 0, 1, "l") \
  X(STATUS, "status", 0, 0, 0, 1, "0wilww") \
  X(LIMITS, "limits", 0, 5, 0, 1, "wwwww") \
  X(ROLES, "roles", 5, 3, 0, 1, "xxx") \
  X(FAR, "far", 8, 1, 0, 1, "b") \
  X(ARM, "arm", 9, 0, 1, 0, "w") \
  X(OFF, "off", 9, 0, 1, 1, "0") \
  X(REST, "rest", 9, 0, 0, 1, "ww") \
  X(LOW, "low", 9, 1, 1, 0, "w") \
  X(DRIVE, "drive", 10, 2, 1, 0, "w") \
  X(HOLD, "hold", 12, 1, 1, 0, "w") \
  X(WATCH, "watch", 13, 4, 1, 0, "w") \
  X(WATCHED, "watched", 17, 1, 0, 1, "w3lllll") \
  X(KEEP, "keep", 18, 1, 1, 1, "w") \
  X(RESULT, "result", 19, 1, 0, 1, "w3wwwwww") \
  X(VOLTS, "volts", 20, 2, 0, 1, "w1I") \
  X(CHECK, "check", 22, 0, 0, 1, "wwwiwwwwb") \
  X(CONSTANT, "constant", 22, 2, 0, 1, "6bw") \
  X(STAGE, "stage", 24, 3, 0, 1, "6bw") \
  X(SERIAL, "serial", 27, 1, 0, 1, "t") \
  X(STORE, "store", 28, 1, 0, 1, "tw") \
  X(CLEAR, "clear", 29, 0, 0, 1, "0") \
  X(RESTART, "restart", 29, 0, 1, 0, "")

/* Their fields, one after another. X(POSITION, type letter, smallest, greatest); a word's value is its number. */
#define PW_REQUEST_FIELD_COUNT 29
#define PW_REQUEST_FIELDS(X) \
  X(PW_LIMITS_TRIP, 'w', 100, 10000) \
  X(PW_LIMITS_TRIP_TIME, 'w', 1, 100) \
  X(PW_LIMITS_SUPPLY_MIN, 'w', 6000, 16000) \
  X(PW_LIMITS_SUPPLY_MAX, 'w', 6000, 16000) \
  X(PW_LIMITS_COOL, 'w', 2000, 60000) \
  X(PW_ROLES_USED, 'x', 0, 8191) \
  X(PW_ROLES_SENSE_ONLY, 'x', 0, 8191) \
  X(PW_ROLES_GROUND, 'x', 0, 8191) \
  X(PW_FAR_LOOK, 'b', 0, 1) \
  X(PW_LOW_CHANNEL, 'b', 0, 7) \
  X(PW_DRIVE_CHANNEL, 'b', 0, 7) \
  X(PW_DRIVE_MOST, 'w', 10, 10000) \
  X(PW_HOLD_CHANNEL, 'b', 0, 7) \
  X(PW_WATCH_CHANNEL, 'b', 0, 12) \
  X(PW_WATCH_MODE, '4', 0, 2) \
  X(PW_WATCH_WHAT, '5', 0, 2) \
  X(PW_WATCH_BELOW, 'w', 1, 30000) \
  X(PW_WATCHED_MEASUREMENT, 'w', 0, 65535) \
  X(PW_KEEP_MEASUREMENT, 'w', 0, 65535) \
  X(PW_RESULT_MEASUREMENT, 'w', 0, 65535) \
  X(PW_VOLTS_MEASUREMENT, 'w', 0, 65535) \
  X(PW_VOLTS_SIDE, '1', 0, 1) \
  X(PW_CONSTANT_ITEM, '6', 0, 15) \
  X(PW_CONSTANT_CHANNEL, 'b', 0, 12) \
  X(PW_STAGE_ITEM, '6', 0, 15) \
  X(PW_STAGE_CHANNEL, 'b', 0, 12) \
  X(PW_STAGE_VALUE, 'w', 0, 65535) \
  X(PW_SERIAL_SERIAL, 't', 1, 16) \
  X(PW_STORE_DATE, 't', 1, 16)

/* Where a field stands in its request. */
enum { PW_LIMITS_TRIP = 0, PW_LIMITS_TRIP_TIME = 1, PW_LIMITS_SUPPLY_MIN = 2, PW_LIMITS_SUPPLY_MAX = 3, PW_LIMITS_COOL = 4 };
enum { PW_ROLES_USED = 0, PW_ROLES_SENSE_ONLY = 1, PW_ROLES_GROUND = 2 };
enum { PW_FAR_LOOK = 0 };
enum { PW_LOW_CHANNEL = 0 };
enum { PW_DRIVE_CHANNEL = 0, PW_DRIVE_MOST = 1 };
enum { PW_HOLD_CHANNEL = 0 };
enum { PW_WATCH_CHANNEL = 0, PW_WATCH_MODE = 1, PW_WATCH_WHAT = 2, PW_WATCH_BELOW = 3 };
enum { PW_WATCHED_MEASUREMENT = 0 };
enum { PW_KEEP_MEASUREMENT = 0 };
enum { PW_RESULT_MEASUREMENT = 0 };
enum { PW_VOLTS_MEASUREMENT = 0, PW_VOLTS_SIDE = 1 };
enum { PW_CONSTANT_ITEM = 0, PW_CONSTANT_CHANNEL = 1 };
enum { PW_STAGE_ITEM = 0, PW_STAGE_CHANNEL = 1, PW_STAGE_VALUE = 2 };
enum { PW_SERIAL_SERIAL = 0 };
enum { PW_STORE_DATE = 0 };

/* Pushes. X(ID, "name", field letters) */
enum pw_push { PW_PUSH_HELLO = 0, PW_PUSH_TRACE = 1, PW_PUSH_ENDED = 2, PW_PUSH_RESULT = 3, PW_PUSH_VOLTS = 4, PW_PUSH_WINDOWS = 5, PW_PUSH_GAP = 6, PW_PUSH_OFF = 7, PW_PUSH_GARBLED = 8, PW_PUSH_BUTTON = 9 };
#define PW_PUSHES(X) \
  X(HELLO, "hello", "btt2") \
  X(TRACE, "trace", "wwwi") \
  X(ENDED, "ended", "w3wi") \
  X(RESULT, "result", "w3wwwwww") \
  X(VOLTS, "volts", "w1I") \
  X(WINDOWS, "windows", "wlwip") \
  X(GAP, "gap", "wll") \
  X(OFF, "off", "3w") \
  X(GARBLED, "garbled", "tw") \
  X(BUTTON, "button", "")

/* Refusals. X(ID, "code", field letters) */
enum pw_refusal { PW_REFUSAL_VERB = 0, PW_REFUSAL_FORM = 1, PW_REFUSAL_RANGE = 2, PW_REFUSAL_BUSY = 3, PW_REFUSAL_NOT_ARMED = 4, PW_REFUSAL_NO_ROLES = 5, PW_REFUSAL_UNUSED = 6, PW_REFUSAL_LIVE = 7, PW_REFUSAL_STUCK = 8, PW_REFUSAL_FOREIGN = 9, PW_REFUSAL_SENSE_ONLY = 10, PW_REFUSAL_GROUND = 11, PW_REFUSAL_SUPPLY = 12, PW_REFUSAL_LATCHED = 13, PW_REFUSAL_COOLING = 14, PW_REFUSAL_STALE = 15, PW_REFUSAL_NOT_STORED = 16 };
#define PW_REFUSALS(X) \
  X(VERB, "verb", "") \
  X(FORM, "form", "") \
  X(RANGE, "range", "b") \
  X(BUSY, "busy", "") \
  X(NOT_ARMED, "not-armed", "") \
  X(NO_ROLES, "no-roles", "") \
  X(UNUSED, "unused", "b") \
  X(LIVE, "live", "bi") \
  X(STUCK, "stuck", "bi") \
  X(FOREIGN, "foreign", "bi") \
  X(SENSE_ONLY, "sense-only", "b") \
  X(GROUND, "ground", "b") \
  X(SUPPLY, "supply", "w") \
  X(LATCHED, "latched", "") \
  X(COOLING, "cooling", "w") \
  X(STALE, "stale", "w") \
  X(NOT_STORED, "not-stored", "")

#endif
