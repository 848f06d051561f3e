/* Which channels are wired, which are never driven, which are ground, and whether the far side is looked at. The second
 * and third only grow until the next reset. */
#ifndef PINWALK_ROLES_H
#define PINWALK_ROLES_H

#include <stdbool.h>
#include <stdint.h>

#include "look.h"

typedef struct {
    bool told; /* the host has sent `roles` since reset */
    uint16_t used;
    uint16_t sense_only;
    uint16_t ground;
    bool near_only;
} roles_t;

const roles_t *roles_now(void);
void roles_add(uint16_t used, uint16_t sense_only, uint16_t ground);

void roles_look_far(bool look);
/* What a measurement of pins looks at. */
enum look_sides roles_sides(void);

#endif
