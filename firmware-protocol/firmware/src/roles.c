#include "roles.h"

static roles_t roles;

const roles_t *roles_now(void) {
    return &roles;
}

void roles_look_far(bool look) {
    roles.near_only = !look;
}

enum look_sides roles_sides(void) {
    return roles.near_only ? LOOK_NEAR : LOOK_NEAR_AND_FAR;
}

void roles_add(uint16_t used, uint16_t sense_only, uint16_t ground) {
    roles.told = true;
    roles.used = used;
    roles.sense_only |= sense_only;
    roles.ground |= ground;
}
