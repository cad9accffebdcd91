/*
 * Stands in for the maker's library PCAN-Basic in tests: the declarations of its functions and structures are written after
 * PCANBasic.h (2022-11-17); what it does is what a test tells it. It notes every call with its arguments, gives messages that were
 * put in, and fails as it is told. The functions that send are here too, so that a test would see them called.
 */
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <sys/eventfd.h>
#include <unistd.h>

typedef struct { uint32_t id; uint8_t type; uint8_t length; uint8_t data[8]; } message;
typedef struct { uint32_t milliseconds; uint16_t overflow; uint16_t microseconds; } stamp;
typedef struct { uint32_t id; uint8_t type; uint8_t code; uint8_t data[64]; } message_fd;

#define ROOM 64
static message_fd queue[ROOM];
static uint64_t times[ROOM];
static unsigned put, taken;
static int event = -1;
static uint32_t listens, on_bus;
static uint32_t fail_initialize, fail_listen, forget_listen, fail_event, read_status, bus_status, condition = 1;
static char notes[16384];

static void note(const char *text) { if (strlen(notes) + strlen(text) + 2 < sizeof notes) { strcat(notes, text); strcat(notes, "\n"); } }

static void arm(void) { uint64_t one = 1; if (event >= 0) { ssize_t ignored = write(event, &one, sizeof one); (void)ignored; } }
static void disarm(void) { uint64_t count; if (event >= 0) { ssize_t ignored = read(event, &count, sizeof count); (void)ignored; } }

/* For the test. */
void standin_reset(void) {
    put = taken = 0; listens = on_bus = fail_initialize = fail_listen = forget_listen = fail_event = read_status = bus_status = 0; condition = 1; notes[0] = 0;
    if (event >= 0) close(event);
    event = -1;
}
void standin_put(uint32_t id, uint8_t type, uint8_t length, const uint8_t *data, uint64_t microseconds) {
    message_fd *m = &queue[put % ROOM];
    m->id = id; m->type = type; m->code = length; memcpy(m->data, data, 64);
    times[put++ % ROOM] = microseconds;
    arm();
}
void standin_tell(const char *what, uint32_t value) {
    if (!strcmp(what, "initialize")) fail_initialize = value;
    if (!strcmp(what, "listen")) fail_listen = value;
    if (!strcmp(what, "forget")) forget_listen = value;
    if (!strcmp(what, "event")) fail_event = value;
    if (!strcmp(what, "read")) { read_status = value; arm(); }
    if (!strcmp(what, "bus")) bus_status = value;
    if (!strcmp(what, "condition")) condition = value;
}
void standin_notes(char *buffer, uint32_t length) { strncpy(buffer, notes, length); }

/* As PCANBasic.h declares them. */
uint32_t CAN_Initialize(uint16_t channel, uint16_t timing, uint8_t type, uint32_t port, uint16_t interrupt) {
    char text[128];
    snprintf(text, sizeof text, "CAN_Initialize 0x%X 0x%04X %u %u %u%s", channel, timing, type, port, interrupt, listens ? "" : " NOT LISTENING ONLY");
    note(text);
    if (!fail_initialize) on_bus = 1;
    return fail_initialize;
}
uint32_t CAN_InitializeFD(uint16_t channel, char *timing) {
    char text[400];
    snprintf(text, sizeof text, "CAN_InitializeFD 0x%X %s%s", channel, timing, listens ? "" : " NOT LISTENING ONLY");
    note(text);
    if (!fail_initialize) on_bus = 1;
    return fail_initialize;
}
uint32_t CAN_Uninitialize(uint16_t channel) { char text[64]; snprintf(text, sizeof text, "CAN_Uninitialize 0x%X", channel); note(text); on_bus = 0; return 0; }
uint32_t CAN_GetStatus(uint16_t channel) { (void)channel; return read_status ? read_status : bus_status; }
uint32_t CAN_Read(uint16_t channel, message *m, stamp *t) {
    (void)channel;
    if (read_status) { uint32_t status = read_status; if (status == 0x40 || status == 0x2) read_status = 0; return status; }
    if (put == taken) { disarm(); return 0x20; }
    message_fd *from = &queue[taken % ROOM];
    uint64_t at = times[taken++ % ROOM];
    m->id = from->id; m->type = from->type; m->length = from->code; memcpy(m->data, from->data, 8);
    t->milliseconds = (uint32_t)(at / 1000); t->overflow = (uint16_t)((at / 1000) >> 32); t->microseconds = (uint16_t)(at % 1000);
    return 0;
}
uint32_t CAN_ReadFD(uint16_t channel, message_fd *m, uint64_t *t) {
    (void)channel;
    if (read_status) { uint32_t status = read_status; if (status == 0x40 || status == 0x2) read_status = 0; return status; }
    if (put == taken) { disarm(); return 0x20; }
    *t = times[taken % ROOM];
    *m = queue[taken++ % ROOM];
    return 0;
}
uint32_t CAN_Write(uint16_t channel, message *m) { (void)channel; (void)m; note("CAN_Write"); return 0; }
uint32_t CAN_WriteFD(uint16_t channel, message_fd *m) { (void)channel; (void)m; note("CAN_WriteFD"); return 0; }
uint32_t CAN_SetValue(uint16_t channel, uint8_t parameter, void *buffer, uint32_t length) {
    char text[96];
    uint32_t value = 0;
    memcpy(&value, buffer, length < 4 ? length : 4);
    snprintf(text, sizeof text, "CAN_SetValue 0x%X 0x%02X %u of %u bytes", channel, parameter, value, length);
    note(text);
    if (parameter == 0x08) { if (fail_listen) return fail_listen; listens = forget_listen ? 0 : value; }
    return 0;
}
uint32_t CAN_GetValue(uint16_t channel, uint8_t parameter, void *buffer, uint32_t length) {
    (void)channel;
    switch (parameter) {
    case 0x03:
        if (fail_event || length != 4) return fail_event ? fail_event : 0x8000;
        if (event < 0) event = eventfd(0, EFD_NONBLOCK);
        memcpy(buffer, &event, 4);
        return 0;
    case 0x08: memcpy(buffer, &listens, 4); return 0;
    case 0x0D: memcpy(buffer, &condition, 4); return 0;
    case 0x0E: if (length < 33) return 0x8000; strcpy(buffer, "Stand-in \033[31madapter"); return 0;
    default: return 0x4000;
    }
}
uint32_t CAN_GetErrorText(uint32_t error, uint16_t language, char *buffer) {
    if (language != 0x09) return 0x8000;
    snprintf(buffer, 256, "the library's words for 0x%X", error);
    return 0;
}
