/* The firmware's image on libsimavr, with a board of steady loads around it: a second opinion on the emulator that the
 * project lives on. Nothing is shared with that one but the image.
 *
 *   runner IMAGE.hex COMMANDS ANSWERS     (two FIFOs)
 *
 * Says `pty PATH`: the bench's serial line. Then takes commands, one a line:
 *   load CHANNEL MILLIOHM      what hangs on a near channel; nothing until told
 *   foreign CHANNEL MILLIVOLT  a supply of its own on it
 *   far CHANNEL MILLIVOLT      what a far channel stands at
 *   go MICROSECOND BYTES       runs to that moment, once so many bytes in all have come in over the line; answers with
 *                              `out US RELAY DRIVE LOW` for every change of the outputs, then `now US BYTES_SENT`
 */
#include <math.h>
#include <pty.h>
#include <simavr/avr_adc.h>
#include <simavr/avr_ioport.h>
#include <simavr/avr_spi.h>
#include <simavr/avr_uart.h>
#include <simavr/sim_avr.h>
#include <simavr/sim_hex.h>
#include <simavr/sim_io.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <termios.h>
#include <unistd.h>

#define CLOCK_MHZ 16u
#define CHANNELS 13
#define SUPPLY_VOLTS 12.8
#define SOURCE_OHMS                                                                                                    \
    0.1 /* between the supply and a driven pin, half of it before the place where the supply is measured */
#define LOW_VOLTS 4.4
#define LOW_OHMS 1000.0
#define SENSE_OHMS 133000.0
#define DIVIDER (33000.0 / SENSE_OHMS)
#define REFERENCE_VOLTS 4.096
/* simavr counts eleven bits a character (44 us); a little slower than that its own queue never fills. */
#define CHARACTER_CYCLES (45 * CLOCK_MHZ)

static avr_t *avr;
static int line;
static FILE *answers;
static unsigned long heard, said;
static uint8_t waiting[4096];
static unsigned waiting_head, waiting_tail;
static double load_ohms[CHANNELS], foreign_volts[CHANNELS], far_volts[CHANNELS];

static struct { uint8_t relay, drive, low; } outputs;
static uint8_t shifted_drive, shifted_low, held_drive, held_low, latch_line;

static void fail(const char *why) {
    fprintf(stderr, "runner: %s\n", why);
    exit(1);
}

static unsigned long now_us(void) {
    return (unsigned long)(avr->cycle / CLOCK_MHZ);
}

static avr_ioport_state_t port(char name) {
    avr_ioport_state_t state;
    avr_ioctl(avr, AVR_IOCTL_IOPORT_GETSTATE(name), &state);
    return state;
}

/* Driven high by the chip; what it leaves to the board is told apart by the caller. */
static int high(char name, int pin) {
    avr_ioport_state_t state = port(name);
    return (state.ddr >> pin & 1) && (state.port >> pin & 1);
}

static int low(char name, int pin) {
    avr_ioport_state_t state = port(name);
    return (state.ddr >> pin & 1) && !(state.port >> pin & 1);
}

/* ---- Registers, relay, output enable ---- */

static void follow_pins(struct avr_irq_t *irq, uint32_t value, void *param) {
    (void)irq, (void)value, (void)param;
    uint8_t latch_now = (uint8_t)high('B', 0);
    if (latch_now && !latch_line) {
        held_drive = shifted_drive;
        held_low = shifted_low;
    }
    latch_line = latch_now;
    uint8_t relay = (uint8_t)high('C', 5);
    uint8_t drive = low('B', 1) && relay ? held_drive : 0;
    uint8_t fed = low('B', 1) ? held_low : 0;
    if (relay == outputs.relay && drive == outputs.drive && fed == outputs.low) return;
    outputs.relay = relay;
    outputs.drive = drive;
    outputs.low = fed;
    fprintf(answers, "out %lu %u %u %u\n", now_us(), relay, drive, fed);
}

/* The first byte of a pair is pushed on into the second register of the chain. */
static void take_spi(struct avr_irq_t *irq, uint32_t value, void *param) {
    (void)irq, (void)param;
    shifted_drive = shifted_low;
    shifted_low = (uint8_t)value;
}

/* ---- The loads ---- */

static double shunt_amps(void) {
    double siemens = 0;
    for (int i = 0; i < 8; i++)
        if ((outputs.drive >> i & 1) && load_ohms[i] > 0) siemens += 1 / load_ohms[i];
    return siemens == 0 ? 0 : SUPPLY_VOLTS / (1 / siemens + SOURCE_OHMS);
}

static double near_volts(int channel) {
    if (channel >= CHANNELS) return 0;
    double own = foreign_volts[channel];
    if (channel < 8 && (outputs.drive >> channel & 1)) return fmax(own, SUPPLY_VOLTS - SOURCE_OHMS * shunt_amps());
    if (channel >= 8 || !(outputs.low >> channel & 1)) return own;
    double ohms = load_ohms[channel] > 0 ? load_ohms[channel] : SENSE_OHMS;
    return fmax(own, LOW_VOLTS * ohms / (ohms + LOW_OHMS));
}

/* 10 kOhm, B 3950, under 10 kOhm to the reference, at 20 C. */
static double thermistor_volts(void) {
    double ohms = 10000 * exp(3950 * (1 / 293.15 - 1 / 298.15));
    return REFERENCE_VOLTS * ohms / (ohms + 10000);
}

static double volts_at(unsigned adc_channel) {
    unsigned input = port('D').port >> 2 & 15;
    switch (adc_channel) {
    case 0: return input == 13 ? thermistor_volts() : DIVIDER * near_volts((int)input);
    case 1: return input < CHANNELS ? DIVIDER * far_volts[input] : 0;
    case 2: return fmin(5, 0.4 * shunt_amps());
    case 3: return DIVIDER * (SUPPLY_VOLTS - SOURCE_OHMS / 2 * shunt_amps());
    case 4: return fmin(5, 0.08 * shunt_amps());
    default: return 0;
    }
}

/* The count is the data sheet's (24.7); simavr's own full scale is 1023, so it gets the millivolts that it makes that
 * count of. */
static void convert(struct avr_irq_t *irq, uint32_t value, void *param) {
    (void)irq, (void)param;
    union {
        avr_adc_mux_t mux;
        uint32_t word;
    } asked = {.word = value};
    if (asked.mux.kind != ADC_MUX_SINGLE) return; /* the chip's own voltages are simavr's affair */
    unsigned channel = asked.mux.src;
    double counts = fmin(1023, fmax(0, round(volts_at(channel) * 1024 / REFERENCE_VOLTS)));
    avr_irq_t *input = avr_io_getirq(avr, AVR_IOCTL_ADC_GETIRQ, ADC_IRQ_ADC0 + (int)channel);
    avr_raise_irq(input, (uint32_t)ceil(counts * 4096 / 1023));
}

/* ---- The serial line ---- */

static void take_sent(struct avr_irq_t *irq, uint32_t value, void *param) {
    (void)irq, (void)param;
    uint8_t byte = (uint8_t)value;
    if (write(line, &byte, 1) != 1) fail("the line took nothing");
    said++;
}

static void overrun(struct avr_irq_t *irq, uint32_t value, void *param) {
    (void)irq, (void)param;
    if (value) fail("the receiver's queue is full");
}

static void hear(unsigned long wanted) {
    while (heard < wanted) {
        uint8_t byte;
        if (read(line, &byte, 1) != 1) fail("the line is gone");
        waiting[waiting_head++ % sizeof waiting] = byte;
        heard++;
    }
}

static void feed_line(void) {
    static avr_cycle_count_t free_at;
    if (waiting_tail == waiting_head || avr->cycle < free_at) return;
    free_at = avr->cycle + CHARACTER_CYCLES;
    avr_raise_irq(avr_io_getirq(avr, AVR_IOCTL_UART_GETIRQ('0'), UART_IRQ_INPUT),
                  waiting[waiting_tail++ % sizeof waiting]);
}

/* ---- Building and running ---- */

static void no_sleep(avr_t *of, avr_cycle_count_t cycles) {
    (void)of, (void)cycles; /* time is told by whoever commands */
}

static void quiet(avr_t *of, const int level, const char *format, va_list arguments) {
    if (level == LOG_ERROR) vfprintf(stderr, format, arguments);
    (void)of;
}

static void build(const char *image) {
    avr_global_logger_set(quiet);
    avr = avr_make_mcu_by_name("atmega328p");
    if (!avr) fail("no atmega328p");
    avr_init(avr);
    avr->frequency = CLOCK_MHZ * 1000000u;
    avr->vcc = avr->avcc = 5000;
    avr->aref = 4096;
    avr->sleep = no_sleep;
    avr->run_cycle_limit = CHARACTER_CYCLES;
    uint32_t size = 0, start = 0;
    uint8_t *program = read_ihex_file(image, &size, &start);
    if (!program || size > avr->flashend + 1) fail("no image");
    memcpy(avr->flash + start, program, size);
    avr->codeend = avr->flashend;

    uint32_t flags = 0;
    avr_ioctl(avr, AVR_IOCTL_UART_SET_FLAGS('0'), &flags);
    avr_irq_register_notify(avr_io_getirq(avr, AVR_IOCTL_UART_GETIRQ('0'), UART_IRQ_OUTPUT), take_sent, NULL);
    avr_irq_register_notify(avr_io_getirq(avr, AVR_IOCTL_UART_GETIRQ('0'), UART_IRQ_OUT_XOFF), overrun, NULL);
    avr_irq_register_notify(avr_io_getirq(avr, AVR_IOCTL_SPI_GETIRQ(0), SPI_IRQ_OUTPUT), take_spi, NULL);
    avr_irq_register_notify(avr_io_getirq(avr, AVR_IOCTL_ADC_GETIRQ, ADC_IRQ_OUT_TRIGGER), convert, NULL);
    for (char name = 'B'; name <= 'C'; name++) {
        avr_irq_register_notify(avr_io_getirq(avr, AVR_IOCTL_IOPORT_GETIRQ(name), IOPORT_IRQ_REG_PORT), follow_pins,
                                NULL);
        avr_irq_register_notify(avr_io_getirq(avr, AVR_IOCTL_IOPORT_GETIRQ(name), IOPORT_IRQ_DIRECTION_ALL),
                                follow_pins, NULL);
    }
    /* The start button is not pressed, the latch not tripped. */
    avr_raise_irq(avr_io_getirq(avr, AVR_IOCTL_IOPORT_GETIRQ('B'), 4), 1);
    avr_raise_irq(avr_io_getirq(avr, AVR_IOCTL_IOPORT_GETIRQ('D'), 6), 0);
}

static void run_until(unsigned long until_us) {
    while (now_us() < until_us) {
        feed_line();
        int state = avr_run(avr);
        if (state == cpu_Done || state == cpu_Crashed) fail("the processor has stopped");
    }
}

int main(int count, char **arguments) {
    if (count != 4) fail("runner IMAGE.hex COMMANDS ANSWERS");
    FILE *commands = fopen(arguments[2], "r");
    answers = fopen(arguments[3], "w");
    int slave;
    char path[100];
    struct termios raw;
    memset(&raw, 0, sizeof raw);
    cfmakeraw(&raw);
    if (!commands || !answers || openpty(&line, &slave, path, &raw, NULL) != 0) fail("no FIFOs or no pseudo-terminal");
    tcsetattr(slave, TCSANOW, &raw); /* stays open, so that the line lives whoever comes and goes */
    build(arguments[1]);
    fprintf(answers, "pty %s\n", path);
    fflush(answers);

    char command[100];
    while (fgets(command, sizeof command, commands)) {
        unsigned long first = 0, second = 0;
        char name[20];
        if (sscanf(command, "%19s %lu %lu", name, &first, &second) < 3) fail(command);
        if (strcmp(name, "go") == 0) {
            hear(second);
            run_until(first);
            fprintf(answers, "now %lu %lu\n", now_us(), said);
            fflush(answers);
        } else if (first >= CHANNELS) {
            fail(command);
        } else if (strcmp(name, "load") == 0) {
            load_ohms[first] = (double)second / 1000;
        } else if (strcmp(name, "foreign") == 0) {
            foreign_volts[first] = (double)second / 1000;
        } else if (strcmp(name, "far") == 0) {
            far_volts[first] = (double)second / 1000;
        } else {
            fail(command);
        }
    }
    return 0;
}
