/* Received bytes to lines, lines to requests, and what becomes of those that are none. */
#ifndef PINWALK_RECEPTION_H
#define PINWALK_RECEPTION_H

/* Takes bytes up to the end of the next line, which it answers. */
void reception_poll(void);

#endif
