/* Which channels are wired, which are never driven, which are ground. The last two only grow until the next reset. */
#ifndef PINWALK_ROLES_H
#define PINWALK_ROLES_H

#include <stdbool.h>
#include <stdint.h>

typedef struct {
    bool told; /* the host has sent `roles` since reset */
    uint16_t used;
    uint16_t sense_only;
    uint16_t ground;
} roles_t;

const roles_t *roles_now(void);
void roles_add(uint16_t used, uint16_t sense_only, uint16_t ground);

#endif
