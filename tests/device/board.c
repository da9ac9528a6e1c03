/*
 * board.c - the rest of a firmware for a Cortex-M board: the vectors, the start, and semihosting.
 *
 * The core reads its stack and its first instruction from the vectors. The start copies initialised
 * data out of flash and begins the trial. Its lines leave through semihosting, a debugger's channel
 * that an emulator has too. Any fault ends the run with status 1. A Cortex-M0 faults at each
 * unaligned access, so it finds a reader that makes one.
 */
#include "device/trial.h"

#include "field/rotor_field.h"

#include <stddef.h>

enum { SYS_WRITE0 = 0x04, SYS_EXIT = 0x18 };
enum { STOPPED_FAULT = 0x20023, STOPPED_FINE = 0x20026 };
enum { PAINT = 0x5aa5c33c, PAINTED_WORDS = 256 };
enum { PENDING = 8192 };

extern const uint8_t table_first[], table_end[];                  /* table.S */
extern const uint8_t former_first[], former_end[];                /* table.S */
extern uint32_t data_load[], data_first[], data_end[], bss_end[]; /* board.ld */

void stack_top(void); /* not a function: the stack begins at this address */
void reset(void);
void fault(void);
void *memcpy(void *to, const void *from, size_t length);

__attribute__((section(".vectors"), used)) static void (*const vectors[16])(void) = {
    stack_top, reset, fault, fault, fault, fault, fault, [11] = fault, [14] = fault, [15] = fault};

static void ask_debugger(uint32_t operation, const void *argument)
{
    register uint32_t r0 __asm__("r0") = operation;
    register const void *r1 __asm__("r1") = argument;
    __asm__ volatile("bkpt 0xab" : "+r"(r0) : "r"(r1) : "memory");
}

/* Lines are collected, because a call of the debugger stops the emulator and takes long. */
static char waiting[PENDING];
static uint32_t used;

static void say_all(void)
{
    waiting[used] = '\0';
    ask_debugger(SYS_WRITE0, waiting);
    used = 0;
}

static void say_char(char character)
{
    if (used == PENDING - 1) {
        say_all();
    }
    waiting[used++] = character;
}

static void say(const char *line)
{
    while (*line != '\0') {
        say_char(*line++);
    }
    say_char('\n');
}

/* The compiler may turn the trial's own copies of structures into a call of this. */
void *memcpy(void *to, const void *from, size_t length)
{
    uint8_t *out = to;
    for (const uint8_t *in = from; length > 0; length--) {
        *out++ = *in++;
    }
    return to;
}

void fault(void)
{
    say("fault");
    say_all();
    ask_debugger(SYS_EXIT, (const void *)STOPPED_FAULT);
    for (;;) {
    }
}

/*
 * ---- how much stack opening a table takes ------------------------------------------------------
 */

static uint32_t *stack_pointer(void)
{
    uint32_t *pointer;
    __asm__ volatile("mov %0, sp" : "=r"(pointer));
    return pointer;
}

/* Paints the stack below, opens the table, and measures how much paint is gone. */
static uint32_t stack_of_open(struct rotor_table *table)
{
    volatile uint32_t *bottom = stack_pointer() - PAINTED_WORDS;
    uint32_t left = 0;
    for (uint32_t i = 0; i < PAINTED_WORDS; i++) {
        bottom[i] = PAINT;
    }
    rotor_table_open(table, table_first, (uint32_t)(table_end - table_first));
    while (left < PAINTED_WORDS && bottom[left] == PAINT) {
        left++;
    }
    return (PAINTED_WORDS - left) * (uint32_t)sizeof bottom[0];
}

static void say_stack(uint32_t bytes)
{
    char text[] = "stack 000";
    for (uint32_t place = 8; bytes > 0 && place > 5; place--, bytes /= 10) {
        text[place] = (char)('0' + bytes % 10);
    }
    say(text);
}

void reset(void)
{
    struct rotor_table table;
    const uint32_t *from = data_load;
    for (uint32_t *to = data_first; to < bss_end; to++) {
        *to = to < data_end ? *from++ : 0;
    }
    say_stack(stack_of_open(&table));
    trial(table_first, (uint32_t)(table_end - table_first), former_first,
          (uint32_t)(former_end - former_first), say);
    say_all();
    ask_debugger(SYS_EXIT, (const void *)STOPPED_FINE);
    for (;;) {
    }
}
