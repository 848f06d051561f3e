/* The word lists of the table, in flash. A list's number is the digit of its fields' type letter. */
#ifndef PINWALK_WORDS_H
#define PINWALK_WORDS_H

#include <stdbool.h>
#include <stdint.h>

#include "../generated/protocol.h"

#define LIST_ROW(id, count, rows) WORDS_##id,
enum words_list { PW_WORD_LISTS(LIST_ROW) };
#undef LIST_ROW

#define WORDS_LONGEST 15 /* bytes of a word in its row, the closing zero included */

/* In flash; at most WORDS_LONGEST bytes. */
const char *words_text_P(uint8_t list, uint8_t word);

/* The number of the word that these characters are; false when they are none of the list. */
bool words_find(uint8_t list, const char *text, uint8_t length, uint8_t *word);

#endif
