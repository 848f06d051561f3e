#include "words.h"

#include "progmem.h"

#define WORD_ROW(id, word) word,
#define LIST_TABLE(id, count, rows) static const char id##_words[][WORDS_LONGEST] PROGMEM = {rows(WORD_ROW)};
PW_WORD_LISTS(LIST_TABLE)

typedef struct {
    const char *words;
    uint8_t count;
} list_t;

#define LIST_ENTRY(id, count, rows) {id##_words[0], count},
static const list_t lists[] PROGMEM = {PW_WORD_LISTS(LIST_ENTRY)};

static list_t list_of(uint8_t number) {
    list_t list;
    memcpy_P(&list, &lists[number], sizeof list);
    return list;
}

const char *words_text_P(uint8_t list, uint8_t word) {
    return list_of(list).words + word * WORDS_LONGEST;
}

static bool is_word(const char *word_P, const char *text, uint8_t length) {
    for (uint8_t i = 0; i < WORDS_LONGEST; i++) {
        char wanted = (char)pgm_read_byte(word_P + i);
        if (i == length) return wanted == 0;
        if (text[i] != wanted) return false;
    }
    return false;
}

bool words_find(uint8_t list, const char *text, uint8_t length, uint8_t *word) {
    for (uint8_t i = 0; i < list_of(list).count; i++) {
        if (!is_word(words_text_P(list, i), text, length)) continue;
        *word = i;
        return true;
    }
    return false;
}
