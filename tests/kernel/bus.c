/* The other side of the kernel tests: it sends on CAN interfaces, listens, and reads captures, all without BusScope.
 * Written against the kernel's own headers (linux/can.h, linux/can/raw.h, linux/can/error.h) and the pcapng specification
 * (IETF draft-ietf-opsawg-pcapng, sections 4.1 to 4.3), so that what BusScope makes of the same bytes is compared with somebody else's reading.
 *
 *   bus send IF                  one frame of every kind; each is told on standard output
 *   bus errors IF                error reports as a driver would make them; each is told
 *   bus flood IF COUNT RATE      numbered frames, RATE a second, or as fast as possible with RATE 0
 *   bus pulse IF ID PERIOD_MS COUNT [HEX]  one message again and again
 *   bus listen IF MS             counts the frames that come in so many milliseconds
 *   bus dump FILE                the frames of a pcapng file, told as 'send' tells them
 *   bus as USER PROGRAM ...      runs a program as that user, by number
 *   bus quit STATUS              ends the virtual machine
 * A frame is told as: bits of the identifier, identifier, kind, length, data.
 */
#define _GNU_SOURCE
#include <errno.h>
#include <linux/can.h>
#include <linux/can/error.h>
#include <linux/can/raw.h>
#include <net/if.h>
#include <poll.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/io.h>
#include <sys/socket.h>
#include <time.h>
#include <unistd.h>

static void fail(const char *what)
{
	fprintf(stderr, "bus: %s: %s\n", what, strerror(errno));
	exit(1);
}

static int64_t now_ns(void)
{
	struct timespec t;
	clock_gettime(CLOCK_MONOTONIC, &t);
	return t.tv_sec * 1000000000LL + t.tv_nsec;
}

static void sleep_until(int64_t ns)
{
	struct timespec t = { ns / 1000000000LL, ns % 1000000000LL };
	while (clock_nanosleep(CLOCK_MONOTONIC, TIMER_ABSTIME, &t, NULL) == EINTR)
		;
}

static int open_raw(const char *name)
{
	int on = 1, s = socket(PF_CAN, SOCK_RAW, CAN_RAW);
	struct sockaddr_can a = { .can_family = AF_CAN, .can_ifindex = if_nametoindex(name) };
	if (s < 0 || !a.can_ifindex)
		fail(name);
	setsockopt(s, SOL_CAN_RAW, CAN_RAW_FD_FRAMES, &on, sizeof on);
	if (bind(s, (struct sockaddr *)&a, sizeof a) < 0)
		fail("bind");
	return s;
}

static void tell(uint32_t id, int fd, int flags, int length, int raw, const uint8_t *data)
{
	printf("%s %0*X ", id & CAN_ERR_FLAG ? "err" : id & CAN_EFF_FLAG ? "29" : "11", id & (CAN_EFF_FLAG | CAN_ERR_FLAG) ? 8 : 3,
	       id & (id & (CAN_EFF_FLAG | CAN_ERR_FLAG) ? CAN_EFF_MASK : CAN_SFF_MASK));
	if (fd)
		printf("fd%s%s", flags & CANFD_BRS ? "+brs" : "", flags & CANFD_ESI ? "+esi" : "");
	else
		printf(id & CAN_RTR_FLAG ? "remote" : "classic");
	printf(" %d", length);
	if (raw > 8)
		printf("(%d)", raw);
	for (int i = 0; i < length && !(id & CAN_RTR_FLAG); i++)
		printf("%c%02X", i ? '.' : ' ', data[i]);
	putchar('\n');
}

static void put(int s, const void *record, size_t size)
{
	while (write(s, record, size) != (ssize_t)size) {
		if (errno != ENOBUFS)
			fail("write");
		usleep(100);
	}
}

static void classic(int s, uint32_t id, int length, int raw, const uint8_t *data)
{
	struct can_frame f = { .can_id = id, .len = length, .len8_dlc = raw > 8 ? raw : 0 };
	if (data)
		memcpy(f.data, data, length);
	put(s, &f, sizeof f);
	tell(id, 0, 0, length, raw, f.data);
}

static void flexible(int s, uint32_t id, int length, int flags)
{
	struct canfd_frame f = { .can_id = id, .len = length, .flags = flags };
	for (int i = 0; i < length; i++)
		f.data[i] = 0xA0 + 3 * i;
	put(s, &f, sizeof f);
	tell(id, 1, flags, length, 0, f.data);
}

static int do_send(const char *name)
{
	static const uint8_t data[8] = { 0x10, 0x32, 0x54, 0x76, 0x98, 0xBA, 0xDC, 0xFE };
	static const int lengths[] = { 0, 1, 7, 8, 12, 16, 20, 24, 32, 48, 64 };
	int s = open_raw(name);
	for (int length = 0; length <= 8; length++)
		classic(s, 0x100 + length, length, 0, data);
	classic(s, 0x000, 8, 0, data);
	classic(s, 0x7FF, 8, 0, data);
	classic(s, 0x000 | CAN_EFF_FLAG, 8, 0, data);
	classic(s, 0x1FFFFFFF | CAN_EFF_FLAG, 3, 0, data);
	classic(s, 0x2AA | CAN_RTR_FLAG, 0, 0, NULL);
	classic(s, 0x2AB | CAN_RTR_FLAG, 8, 0, NULL);
	classic(s, 0x18DB33F1 | CAN_EFF_FLAG | CAN_RTR_FLAG, 5, 0, NULL);
	for (int raw = 9; raw <= 15; raw++)
		classic(s, 0x300 + raw, 8, raw, data);
	for (size_t i = 0; i < sizeof lengths / sizeof *lengths; i++)
		flexible(s, 0x400 + i, lengths[i], (i & 1 ? CANFD_BRS : 0) | (i & 2 ? CANFD_ESI : 0));
	flexible(s, 0x12345678 | CAN_EFF_FLAG, 64, CANFD_BRS);
	return 0;
}

static int do_errors(const char *name)
{
	static const struct { uint32_t classes; uint8_t data[8]; } reports[] = {
		{ CAN_ERR_CRTL | CAN_ERR_CNT, { 0, CAN_ERR_CRTL_TX_WARNING, 0, 0, 0, 0, 97, 3 } },
		{ CAN_ERR_CRTL | CAN_ERR_CNT, { 0, CAN_ERR_CRTL_RX_PASSIVE, 0, 0, 0, 0, 4, 130 } },
		{ CAN_ERR_ACK, { 0 } },
		{ CAN_ERR_PROT | CAN_ERR_BUSERROR, { 0, 0, CAN_ERR_PROT_BIT0, CAN_ERR_PROT_LOC_CRC_SEQ } },
		{ CAN_ERR_BUSOFF, { 0 } },
		{ CAN_ERR_RESTARTED, { 0 } },
	};
	int s = open_raw(name);
	for (size_t i = 0; i < sizeof reports / sizeof *reports; i++)
		classic(s, reports[i].classes | CAN_ERR_FLAG, 8, 0, reports[i].data);
	return 0;
}

static int do_flood(const char *name, int count, int rate)
{
	int s = open_raw(name);
	int64_t from = now_ns();
	for (int i = 0; i < count; i++) {
		struct can_frame f = { .can_id = 0x200 + (i & 0x3F), .len = 8 };
		memcpy(f.data, &i, sizeof i);
		/* In bundles, for no sleep is as short as the gap between two frames. */
		if (rate && i % 50 == 0)
			sleep_until(from + i * 1000000000LL / rate);
		put(s, &f, sizeof f);
	}
	printf("%d frames in %.3f s\n", count, (now_ns() - from) / 1e9);
	return 0;
}

static int do_pulse(const char *name, uint32_t id, int period_ms, int count, const char *hex)
{
	int s = open_raw(name), length = hex ? strlen(hex) / 2 : 8;
	int64_t from = now_ns();
	struct can_frame f = { .can_id = id, .len = length };
	for (int i = 0; hex && i < length; i++)
		sscanf(hex + 2 * i, "%2hhx", &f.data[i]);
	for (int i = 0; i < count; i++) {
		sleep_until(from + i * (int64_t)period_ms * 1000000);
		if (write(s, &f, sizeof f) < 0 && errno != ENOBUFS && errno != ENETDOWN && errno != ENXIO && errno != ENODEV)
			fail("write");
	}
	return 0;
}

static int do_listen(const char *name, int ms)
{
	int s = open_raw(name), frames = 0;
	int64_t end = now_ns() + ms * 1000000LL;
	for (int64_t left; (left = end - now_ns()) > 0;) {
		struct pollfd p = { s, POLLIN, 0 };
		struct canfd_frame f;
		if (poll(&p, 1, left / 1000000 + 1) > 0 && read(s, &f, sizeof f) > 0)
			frames++;
	}
	printf("%d\n", frames);
	return 0;
}

static uint32_t word(const uint8_t *at) { uint32_t w; memcpy(&w, at, 4); return w; }

/* Little-endian sections of LINKTYPE_CAN_SOCKETCAN (227) only: that is what is written on the machines this runs on. */
static int do_dump(const char *path)
{
	static uint8_t block[1 << 20];
	FILE *f = fopen(path, "rb");
	if (!f)
		fail(path);
	while (fread(block, 1, 8, f) == 8) {
		uint32_t type = word(block), size = word(block + 4);
		if (size < 12 || size > sizeof block || size % 4) {
			fprintf(stderr, "bus: a block of %u bytes\n", size);
			return 1;
		}
		if (fread(block + 8, 1, size - 8, f) != size - 8) {
			fprintf(stderr, "bus: the last block is cut\n");
			return 2;
		}
		if (word(block + size - 4) != size) {
			fprintf(stderr, "bus: the two lengths of a block differ\n");
			return 1;
		}
		if (type == 6) { /* enhanced packet block: interface, time, captured and original length, data */
			const uint8_t *r = block + 28;
			uint32_t captured = word(block + 20);
			uint32_t id = (uint32_t)r[0] << 24 | r[1] << 16 | r[2] << 8 | r[3];
			tell(id, captured == 72 || r[5] & 4, r[5], r[4], captured >= 8 && r[4] == 8 ? r[7] : 0, r + 8);
		}
	}
	fclose(f);
	return 0;
}

int main(int count, char **v)
{
	const char *what = count > 1 ? v[1] : "";
	if (!strcmp(what, "send") && count == 3) return do_send(v[2]);
	if (!strcmp(what, "errors") && count == 3) return do_errors(v[2]);
	if (!strcmp(what, "flood") && count == 5) return do_flood(v[2], atoi(v[3]), atoi(v[4]));
	if (!strcmp(what, "pulse") && count >= 6) return do_pulse(v[2], strtoul(v[3], NULL, 16), atoi(v[4]), atoi(v[5]), v[6]);
	if (!strcmp(what, "listen") && count == 4) return do_listen(v[2], atoi(v[3]));
	if (!strcmp(what, "dump") && count == 3) return do_dump(v[2]);
	if (!strcmp(what, "as") && count >= 4 && !setgid(atoi(v[2])) && !setuid(atoi(v[2]))) {
		execv(v[3], v + 3);
		fail(v[3]);
	}
	if (!strcmp(what, "quit") && count == 3 && !ioperm(0xF4, 4, 1)) {
		outl(atoi(v[2]), 0xF4); /* QEMU's isa-debug-exit */
		return 0;
	}
	fprintf(stderr, "bus: what?\n");
	return 2;
}
