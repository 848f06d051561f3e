#include "reception.h"

#include "answers.h"
#include "bench.h"
#include "clock.h"
#include "guard.h"
#include "line.h"
#include "progmem.h"
#include "request.h"
#include "sentence.h"
#include "uart.h"

static line_reader_t reader;

static void take_line(void) {
    request_t request;
    switch (request_parse(reader.text, reader.length, &request)) {
    case REQUEST_GARBLED_FORM: bench_garbled(PSTR("form")); break;
    case REQUEST_GARBLED_CRC: bench_garbled(PSTR("crc")); break;
    case REQUEST_REFUSED:
        guard_line_seen();
        if (request.refusal == PW_REFUSAL_RANGE)
            bench_refuse_value(&request, PW_REFUSAL_RANGE, request.range_field);
        else
            bench_refuse(&request, (enum pw_refusal)request.refusal);
        break;
    case REQUEST_GOOD:
        guard_line_seen();
        answer(&request);
        break;
    }
}

void reception_poll(void) {
    uint8_t byte;
    bool lost;
    while (uart_free() >= SENTENCE_ROOM && uart_take(&byte, &lost)) {
        /* A line that has lost bytes cannot be trusted, whatever its checksum says: it is treated as one too long. */
        if (lost) {
            reader.outgrown = true;
            bench_distrust();
        }
        switch (line_take(&reader, byte)) {
        case LINE_GOING_ON: break;
        case LINE_OUTGROWN: bench_distrust(); break;
        case LINE_THROWN_AWAY:
            bench_garbled(PSTR("long"));
            clock_wake_main();
            return;
        case LINE_COMPLETE:
            take_line();
            clock_wake_main();
            return;
        }
    }
}
