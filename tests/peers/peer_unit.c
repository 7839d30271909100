/* A panel unit of eight keys whose whole other end is libmodbus: plain C, no header of padtrim. Its
 * register layout is what the documentation of the product says (fixtures/units/hob-panel-8.toml),
 * written down here once more by hand.
 *
 *   peer_unit WORLD TRUTH
 * Opens a pseudo-terminal and prints its name. WORLD is the file of world.py; TRUTH says what the
 * fixture and the units really are, a line each:
 *   load COIL CHANNEL PF | part CHANNEL PF | key CHANNEL X Y | surface Z
 *   connect COIL | supply COIL | unit NUMBER SERIAL | channel NUMBER CHANNEL GAIN OFFSET RESPONSE
 * RESPONSE is what the finger adds at the centre of a key, in counts. Ends when its standard input
 * does, and says then what its memories hold: stored NUMBER CHANNEL GAIN OFFSET. */
#define _GNU_SOURCE
#include <errno.h>
#include <fcntl.h>
#include <math.h>
#include <poll.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <termios.h>
#include <time.h>
#include <unistd.h>

#include <modbus.h>

enum { CHANNELS = 8, FREQUENCIES = 2, UNITS = 8, COILS = 128, WORLD_SIZE = 256 };
enum { ADDRESS = 17, CODE = 0x4808, NOMINAL_OFFSET = 2000 };
enum { /* input registers */
       IN_CODE = 0, IN_FIRMWARE = 1, IN_SERIAL = 8, IN_DONE = 32, IN_COUNTER = 33, IN_RAW = 36,
       IN_CORRECTED = 52, IN_COMMIT_DONE = 96 };
enum { /* holding registers */
       HOLD_MODE = 16, HOLD_TRIGGER = 17, HOLD_GAIN = 64, HOLD_OFFSET = 72, HOLD_UNLOCK = 80,
       HOLD_COMMIT = 81, HOLD_RESTART = 82 };
enum { TOUCH_COUNTS = 150 };
static const double SCAN_TIME = 0.004, COMMIT_TIME = 0.015, BOOT_TIME = 0.060;
static const double FINGER_WIDTH = 9.0, FINGER_HEIGHT = 1.5; /* mm, within which it is felt */

struct truth {
    int coil_channel[COILS];
    double coil_pf[COILS], part[CHANNELS], key_x[CHANNELS], key_y[CHANNELS], surface;
    int connect, supply;
    char serial[UNITS][17];
    double gain[UNITS][CHANNELS], offset[UNITS][CHANNELS], response[UNITS][CHANNELS];
};
struct memory { /* what outlives power-off */
    uint16_t gain[CHANNELS];
    int16_t offset[CHANNELS];
};

static struct truth truth;
static struct memory stored[UNITS];
static const volatile unsigned char* world;
static modbus_mapping_t* image;
static struct memory at_work; /* trims in force */
static int unit;              /* from 0 */
static int powered, unlock_next, unlocked;
static double ready_at, scan_ends, commit_ends; /* 0: nothing is under way */
static uint32_t counter, chance = 20260101u;

static double now(void) {
    struct timespec time;
    clock_gettime(CLOCK_MONOTONIC, &time);
    return (double)time.tv_sec + 1e-9 * (double)time.tv_nsec;
}

static void fail(const char* what) {
    fprintf(stderr, "peer_unit: %s (%s)\n", what, strerror(errno));
    exit(2);
}

static void read_truth(const char* path) {
    char line[128], serial[17];
    int a, b;
    double x, y, z;
    FILE* file = fopen(path, "r");
    if (file == NULL) fail(path);
    while (fgets(line, sizeof line, file) != NULL) {
        if (sscanf(line, "load %d %d %lf", &a, &b, &x) == 3) {
            truth.coil_channel[a] = b;
            truth.coil_pf[a] = x;
        } else if (sscanf(line, "part %d %lf", &a, &x) == 2) {
            truth.part[a] = x;
        } else if (sscanf(line, "key %d %lf %lf", &a, &x, &y) == 3) {
            truth.key_x[a] = x;
            truth.key_y[a] = y;
        } else if (sscanf(line, "surface %lf", &x) == 1) {
            truth.surface = x;
        } else if (sscanf(line, "connect %d", &a) == 1) {
            truth.connect = a;
        } else if (sscanf(line, "supply %d", &a) == 1) {
            truth.supply = a;
        } else if (sscanf(line, "unit %d %16s", &a, serial) == 2) {
            memcpy(truth.serial[a - 1], serial, sizeof serial);
        } else if (sscanf(line, "channel %d %d %lf %lf %lf", &a, &b, &x, &y, &z) == 5) {
            truth.gain[a - 1][b] = x;
            truth.offset[a - 1][b] = y;
            truth.response[a - 1][b] = z;
        } else {
            fail(line);
        }
    }
    fclose(file);
}

static int coil(int number) { return world[64 + number]; }

static void finger(double place[3]) { memcpy(place, (const void*)world, 3 * sizeof(double)); }

static double noise(void) { /* within two counts, evenly; the constants are Numerical Recipes' */
    chance = chance * 1664525u + 1013904223u;
    return 2.0 * ((double)(chance >> 8) / 8388608.0 - 1.0);
}

static double felt(int channel) {
    double place[3];
    finger(place);
    const double side = hypot(place[0] - truth.key_x[channel], place[1] - truth.key_y[channel]);
    const double height = fmax(0.0, place[2] - truth.surface);
    return truth.response[unit][channel] * exp(-pow(side / FINGER_WIDTH, 2)) *
           exp(-height / FINGER_HEIGHT);
}

static double reading(int channel, int frequency) {
    double load = 0.0;
    if (coil(truth.connect)) {
        load = truth.part[channel];
        for (int each = 0; each < COILS; ++each)
            if (truth.coil_pf[each] > 0.0 && truth.coil_channel[each] == channel && coil(each))
                load += truth.coil_pf[each];
    }
    const double share = frequency == 0 ? 1.0 : 0.996;
    return truth.offset[unit][channel] + truth.gain[unit][channel] * share * load +
           felt(channel) + noise();
}

static void measure(void) {
    ++counter;
    image->tab_input_registers[IN_COUNTER] = (uint16_t)(counter >> 16);
    image->tab_input_registers[IN_COUNTER + 1] = (uint16_t)counter;
    for (int channel = 0; channel < CHANNELS; ++channel) {
        for (int frequency = 0; frequency < FREQUENCIES; ++frequency) {
            const int place = channel * FREQUENCIES + frequency;
            const long raw = lround(reading(channel, frequency));
            const double exact = ((double)raw - at_work.offset[channel] / 4.0) *
                                     (at_work.gain[channel] / 16384.0) +
                                 NOMINAL_OFFSET;
            const int32_t corrected = (int32_t)lround(exact);
            image->tab_input_registers[IN_RAW + place] = (uint16_t)raw;
            image->tab_input_registers[IN_CORRECTED + 2 * place] =
                (uint16_t)((uint32_t)corrected >> 16);
            image->tab_input_registers[IN_CORRECTED + 2 * place + 1] = (uint16_t)corrected;
        }
    }
    image->tab_input_registers[IN_DONE] = 1;
}

static void put_text(int first, const char* text, int cells) {
    for (int at = 0; at < cells / 2; ++at) image->tab_input_registers[first + at] = 0;
    for (int at = 0; text[at] != '\0' && at < cells; ++at)
        image->tab_input_registers[first + at / 2] |=
            (uint16_t)((unsigned char)text[at] << (at % 2 == 0 ? 8 : 0));
}

static void show_trims(void) {
    for (int channel = 0; channel < CHANNELS; ++channel) {
        image->tab_registers[HOLD_GAIN + channel] = at_work.gain[channel];
        image->tab_registers[HOLD_OFFSET + channel] = (uint16_t)at_work.offset[channel];
    }
}

static void boot(void) {
    const int number = (int)*(const volatile uint32_t*)(world + 24);
    powered = number >= 1 && number <= UNITS;
    if (!powered) return;
    unit = number - 1;
    memset(image->tab_registers, 0, sizeof(uint16_t) * (size_t)image->nb_registers);
    memset(image->tab_input_registers, 0, sizeof(uint16_t) * (size_t)image->nb_input_registers);
    memset(image->tab_input_bits, 0, (size_t)image->nb_input_bits);
    image->tab_input_registers[IN_CODE] = CODE;
    put_text(IN_FIRMWARE, "C 1.0", 8);
    put_text(IN_SERIAL, truth.serial[unit], 16);
    at_work = stored[unit];
    show_trims();
    unlock_next = unlocked = 0;
    scan_ends = commit_ends = 0.0;
    ready_at = now() + BOOT_TIME;
}

/* What time and the world have done since the last look. */
static void live(void) {
    if (coil(truth.supply) && !powered) boot();
    if (!coil(truth.supply)) powered = 0;
    if (!powered) return;
    if (scan_ends > 0.0 && now() >= scan_ends) {
        scan_ends = 0.0;
        measure();
    }
    if (commit_ends > 0.0 && now() >= commit_ends) {
        commit_ends = 0.0;
        stored[unit] = at_work;
        image->tab_input_registers[IN_COMMIT_DONE] = 1;
    }
    const int frozen = image->tab_registers[HOLD_MODE] == 1;
    for (int channel = 0; channel < CHANNELS; ++channel)
        image->tab_input_bits[channel] = !frozen && felt(channel) > TOUCH_COUNTS;
}

static void written(int address, uint16_t value) {
    static const uint16_t key[2] = {0xA55A, 0x5AA5};
    if (address == HOLD_TRIGGER && value == 1) {
        image->tab_input_registers[IN_DONE] = 0;
        scan_ends = now() + SCAN_TIME;
    } else if (address == HOLD_UNLOCK) {
        unlock_next = value == key[unlock_next] ? unlock_next + 1 : value == key[0];
        if (unlock_next == 2) {
            unlock_next = 0;
            unlocked = 1;
        }
    } else if (address == HOLD_COMMIT && value == 1 && unlocked) {
        unlocked = 0;
        image->tab_input_registers[IN_COMMIT_DONE] = 0;
        commit_ends = now() + COMMIT_TIME;
    } else if (address == HOLD_RESTART && value == 1) {
        boot();
    } else if (address >= HOLD_GAIN && address < HOLD_OFFSET + CHANNELS && unlocked) {
        if (address < HOLD_OFFSET)
            at_work.gain[address - HOLD_GAIN] = value;
        else
            at_work.offset[address - HOLD_OFFSET] = (int16_t)value;
    }
    show_trims(); /* what was written to locked trims is gone */
}

/* The registers are libmodbus's to write; this is what the firmware makes of a write. */
static void obey(const uint8_t* query, int size) {
    if (size < 8 || (query[1] != 0x06 && query[1] != 0x10)) return;
    const int first = query[2] << 8 | query[3];
    if (query[1] == 0x06) {
        written(first, (uint16_t)(query[4] << 8 | query[5]));
        return;
    }
    const int count = query[4] << 8 | query[5];
    for (int at = 0; at < count; ++at)
        written(first + at, (uint16_t)(query[7 + 2 * at] << 8 | query[8 + 2 * at]));
}

static int input_ended(void) {
    char byte;
    struct pollfd input = {STDIN_FILENO, POLLIN, 0};
    return poll(&input, 1, 0) > 0 && read(STDIN_FILENO, &byte, 1) <= 0;
}

int main(int count, char** words) {
    if (count != 3) fail("wants WORLD and TRUTH");
    read_truth(words[2]);
    const int file = open(words[1], O_RDWR);
    if (file < 0) fail(words[1]);
    world = mmap(NULL, WORLD_SIZE, PROT_READ | PROT_WRITE, MAP_SHARED, file, 0);
    if (world == MAP_FAILED) fail("mmap");
    for (int each = 0; each < UNITS; ++each)
        for (int channel = 0; channel < CHANNELS; ++channel) stored[each].gain[channel] = 16384;

    const int master = posix_openpt(O_RDWR | O_NOCTTY);
    if (master < 0 || grantpt(master) != 0 || unlockpt(master) != 0) fail("no pseudo-terminal");
    const int slave = open(ptsname(master), O_RDWR | O_NOCTTY);
    struct termios raw;
    if (slave < 0 || tcgetattr(slave, &raw) != 0) fail("no pseudo-terminal");
    cfmakeraw(&raw);
    tcsetattr(slave, TCSANOW, &raw);

    modbus_t* link = modbus_new_rtu(ptsname(master), 115200, 'E', 8, 1);
    image = modbus_mapping_new(16, 16, 128, 128);
    if (link == NULL || image == NULL || modbus_set_slave(link, ADDRESS) != 0) fail("libmodbus");
    modbus_set_socket(link, master);
    modbus_set_indication_timeout(link, 0, 5000); /* to look at the world */
    printf("%s\n", ptsname(master));
    fflush(stdout);

    uint8_t query[MODBUS_RTU_MAX_ADU_LENGTH];
    while (!input_ended()) {
        const int size = modbus_receive(link, query);
        live();
        if (size < 0 && errno != ETIMEDOUT) modbus_flush(link);
        if (size <= 0 || !powered || now() < ready_at) continue;
        modbus_reply(link, query, size, image);
        obey(query, size);
    }
    for (int each = 0; each < UNITS; ++each)
        for (int channel = 0; channel < CHANNELS; ++channel)
            printf("stored %d %d %d %d\n", each + 1, channel, stored[each].gain[channel],
                   stored[each].offset[channel]);
    modbus_mapping_free(image);
    modbus_free(link);
    return 0;
}
