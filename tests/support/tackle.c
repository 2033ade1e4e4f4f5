/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/tackle.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* g/cm3: cold and warm fresh water, salt water; about. */
static const double water[TACKLE_WATERS] = {0.9997, 0.9970, 1.0250};
/* Where the drag acts. */
static const double drag_x = 42, drag_z = -1;

static double radians(double degrees) {
    return degrees * 0.017453292519943295;
}

static double moment(double net, double x, double z, double degrees) {
    double c = cos(radians(degrees)), s = sin(radians(degrees));
    return net * ((x - drag_x) * c - (z - drag_z) * s);
}

void tackle_features(double mass, double volume, double x, double z, double tolerance, double *f) {
    for (size_t w = 0; w < TACKLE_WATERS; w++) {
        double net = mass - water[w] * volume;
        f[TACKLE_NET + w] = net;
        f[TACKLE_LOW + w] = moment(net, x, z, 3);
        f[TACKLE_HIGH + w] = moment(net, x, z, 15);
        f[TACKLE_ROLL + w] = net * z;
    }
    f[TACKLE_MIDDLE] = moment(f[TACKLE_NET], x, z, 8);
    f[TACKLE_MARGIN] = tolerance * mass;
}

void tackle_strip(const Tackle *tackle, size_t strip, size_t length, double *f) {
    double mass = (double)length * 0.3 * 8 * 8.5e-3;
    tackle_features(mass, mass / 8.5, tackle->strip_x[strip] + 0.5 * (double)length, -7.5, 0.01, f);
}

bool tackle_ring_fits_eye(const TacklePart *ring, const TacklePart *eye) {
    return ring->wire_mm <= eye->bore_mm + 1e-9;
}

bool tackle_ring_fits_hook(const TacklePart *ring, const TacklePart *hook) {
    return ring->wire_mm <= hook->bore_mm + 1e-9 && abs(ring->size - hook->size) <= 1;
}

/* ---- parts ---- */

static TacklePart wire_part(Dice *dice, double lo, double hi, double wire, double bore, int size) {
    double mass = dice_stepped(dice, lo, hi, 0.01);
    return (TacklePart){.mass_g = mass,
                        .price = dice_stepped(dice, 0.05, 0.3 + 0.8 * mass, 0.05),
                        .wire_mm = wire,
                        .bore_mm = bore,
                        .size = size,
                        .volume_cm3 = mass / TACKLE_STEEL};
}

static TacklePart plate_part(Dice *dice) {
    static const double densities[6] = {8.5, 8.9, 7.8, 7.9, 2.7, 8.4};
    static const double prices[6] = {0.2, 0.3, 0.1, 0.25, 0.15, 0.35};
    TacklePart plate = {.footprint = (int)dice_below(dice, 40),
                        .material = (int)dice_below(dice, 6)};
    plate.density = densities[plate.material];
    plate.gauge_mm = 0.6 + 0.2 * (double)dice_below(dice, 8);
    plate.range_mm = plate.gauge_mm - 0.5;
    plate.area_mm2 = 150 + 7.3 * plate.footprint;
    plate.volume_cm3 = plate.area_mm2 * plate.gauge_mm * 1e-3;
    plate.mass_g = plate.volume_cm3 * plate.density;
    plate.price = prices[plate.material] + 0.05 * floor(4 * plate.mass_g);
    plate.price += dice_stepped(dice, 0, 0.2, 0.05);
    return plate;
}

static void make_parts(Tackle *tackle, Dice *dice) {
    for (size_t i = 0; i < tackle->n; i++) {
        int size = (int)dice_below(dice, 6);
        tackle->eyes[i] = wire_part(dice, 0.05, 0.45, 0, dice_stepped(dice, 0.8, 2.0, 0.05), 0);
        tackle->rings[i] = wire_part(dice, 0.05, 0.35, dice_stepped(dice, 0.4, 1.0, 0.05), 0, size);
        size = (int)dice_below(dice, 6);
        double light = 0.15 + 0.2 * size;
        tackle->hooks[i] =
            wire_part(dice, light, light + 0.9, 0, dice_stepped(dice, 0.7, 1.6, 0.05), size);
        tackle->snaps[i] = wire_part(dice, 0.05, 0.3, dice_stepped(dice, 0.5, 1.0, 0.05), 0, 0);
        tackle->plates[i] = plate_part(dice);
    }
}

/* ---- the body: so that some chance rig just about fits it ---- */

static void add(double *sum, const double *f, double sign) {
    for (size_t k = 0; k < TACKLE_FEATURES; k++)
        sum[k] += sign * f[k];
}

static void chance_chain(const Tackle *tackle, Dice *dice, double x, double *sum) {
    double f[TACKLE_FEATURES];
    for (int tries = 0; tries < 1000; tries++) {
        const TacklePart *eye = &tackle->eyes[dice_below(dice, tackle->n)];
        const TacklePart *ring = &tackle->rings[dice_below(dice, tackle->n)];
        const TacklePart *hook = &tackle->hooks[dice_below(dice, tackle->n)];
        if (tries < 999 && !(tackle_ring_fits_eye(ring, eye) && tackle_ring_fits_hook(ring, hook)))
            continue;
        double mass = eye->mass_g + ring->mass_g + hook->mass_g;
        tackle_features(mass, mass / TACKLE_STEEL, x, TACKLE_HANGER_Z, TACKLE_WIRE_TOLERANCE, f);
        add(sum, f, 1);
        return;
    }
}

static void make_body(Tackle *tackle, Dice *dice) {
    double rig[TACKLE_FEATURES] = {0}, f[TACKLE_FEATURES];
    for (size_t h = 0; h < TACKLE_HANGERS; h++) {
        tackle->hanger_x[h] = 25.0 + 30.0 * (double)h + dice_between(dice, -4, 4);
        chance_chain(tackle, dice, tackle->hanger_x[h], rig);
        double wraps = (double)dice_below(dice, 4) * TACKLE_WRAP_G;
        tackle_features(wraps, wraps / 10.5, tackle->hanger_x[h], TACKLE_HANGER_Z, 0, f);
        add(rig, f, 1);
    }
    const TacklePart *plate = &tackle->plates[dice_below(dice, tackle->n)];
    double left = 1 - dice_between(dice, 0, 1) * plate->range_mm / plate->gauge_mm;
    tackle_features(plate->mass_g * left, plate->volume_cm3 * left, TACKLE_LIP_X, TACKLE_LIP_Z, 0,
                    f);
    add(rig, f, 1);
    const TacklePart *eye = &tackle->eyes[dice_below(dice, tackle->n)];
    const TacklePart *snap = &tackle->snaps[dice_below(dice, tackle->n)];
    double mass = eye->mass_g + snap->mass_g;
    tackle_features(mass, mass / TACKLE_STEEL, TACKLE_TIE_X, TACKLE_TIE_Z, 0, f);
    add(rig, f, 1);
    for (size_t s = 0; s < TACKLE_STRIPS; s++) {
        tackle->strip_x[s] = 12.0 + 22.0 * (double)s;
        tackle_strip(tackle, s, dice_below(dice, 3) == 0 ? dice_below(dice, 30) : 0, f);
        add(rig, f, 1);
    }
    double net_off = dice_between(dice, -0.1, 0.1), moment_off = dice_between(dice, -1, 1);
    for (size_t k = 0; k < TACKLE_FEATURES; k++)
        tackle->body[k] = -rig[k];
    for (size_t w = 0; w < TACKLE_WATERS; w++) {
        tackle->body[TACKLE_NET + w] += net_off + tackle->options.heavy_g;
        /* A lever of its own below the buoyancy, so that the moment rises through the band. */
        double lever = rig[TACKLE_ROLL + w] - 6;
        tackle->body[TACKLE_LOW + w] =
            -rig[TACKLE_MIDDLE] + lever * sin(radians(5)) * 0.9 + moment_off;
        tackle->body[TACKLE_HIGH + w] =
            -rig[TACKLE_MIDDLE] - lever * sin(radians(7)) * 0.9 + moment_off;
        tackle->body[TACKLE_LOW + w] += rig[TACKLE_MIDDLE] - rig[TACKLE_LOW + w];
        tackle->body[TACKLE_HIGH + w] += rig[TACKLE_MIDDLE] - rig[TACKLE_HIGH + w];
        tackle->body[TACKLE_ROLL + w] = 0.25 * fabs(rig[TACKLE_ROLL + w]);
    }
    tackle->body[TACKLE_MIDDLE] += moment_off;
}

void tackle_make(Tackle *tackle, size_t n, uint64_t seed, const TackleOptions *options) {
    *tackle = (Tackle){.n = n, .options = *options, .class_weight = {10, 10, 10}};
    Dice dice = {seed * 7919 + n};
    TacklePart **classes[5] = {&tackle->eyes, &tackle->rings, &tackle->hooks, &tackle->snaps,
                               &tackle->plates};
    for (size_t i = 0; i < 5; i++) {
        *classes[i] = calloc(n, sizeof(TacklePart));
        if (*classes[i] == NULL)
            abort();
    }
    make_parts(tackle, &dice);
    make_body(tackle, &dice);
}

/* ---- rows ---- */

static void build_rows(Tackle *tackle) {
    Programme *p = &tackle->programme;
    const double *body = tackle->body;
    for (size_t w = 0; w < TACKLE_WATERS; w++) {
        size_t net = TACKLE_NET + w, low = TACKLE_LOW + w, high = TACKLE_HIGH + w;
        tackle->rows[p->row_count++] =
            (ProgRow){net, TACKLE_MARGIN, body[net], -0.15, 0.15, 0, 0.05};
        tackle->rows[p->row_count++] = (ProgRow){low, PROG_NONE, body[low], -INFINITY, 0, 1, 2};
        tackle->rows[p->row_count++] = (ProgRow){high, PROG_NONE, body[high], 0, INFINITY, 1, 2};
        tackle->rows[p->row_count++] =
            (ProgRow){TACKLE_ROLL + w, PROG_NONE, body[TACKLE_ROLL + w], -INFINITY, 0, 2, 2};
    }
    double dead = tackle->options.dead;
    tackle->targets[0] = (ProgTarget){TACKLE_NET, body[TACKLE_NET], 0, 0.05 * dead, 0.05, 1};
    tackle->targets[1] = (ProgTarget){TACKLE_MIDDLE, body[TACKLE_MIDDLE], 0, 2 * dead, 2, 1};
    p->target_count = 2;
}

/* ---- chains, by hundredths of a gram ---- */

enum { BUCKETS = 400, WIRES = 16, SIZES = 6, NOBODY = -1 };

typedef struct Chain {
    double price; /* INFINITY where there is none */
    int eye, ring, hook;
} Chain;

static size_t bucket(double mass) {
    return (size_t)(mass * 100 + 0.5);
}

static int wire_step(double wire) {
    return (int)(wire * 20 + 0.5) - 8; /* 0.40 mm is 0 */
}

static void clear(Chain *chains) {
    for (size_t i = 0; i < BUCKETS; i++)
        chains[i] = (Chain){INFINITY, NOBODY, NOBODY, NOBODY};
}

static void keep(Chain *chain, const Chain *other) {
    if (other->price < chain->price)
        *chain = *other;
}

/* Every pair of a in list and b in list, put at the sum of their masses. */
static void combine(const Chain *a, const Chain *b, Chain *out) {
    size_t held[BUCKETS], count = 0;
    for (size_t j = 0; j < BUCKETS; j++)
        if (b[j].price < INFINITY)
            held[count++] = j;
    for (size_t i = 0; i < BUCKETS; i++) {
        if (!(a[i].price < INFINITY))
            continue;
        for (size_t k = 0; k < count && i + held[k] < BUCKETS; k++) {
            size_t j = held[k];
            Chain both = {a[i].price + b[j].price, a[i].eye >= 0 ? a[i].eye : b[j].eye,
                          a[i].ring >= 0 ? a[i].ring : b[j].ring,
                          a[i].hook >= 0 ? a[i].hook : b[j].hook};
            keep(&out[i + j], &both);
        }
    }
}

typedef struct ChainWork {
    Chain eyes[BUCKETS], rings[BUCKETS], hooks[BUCKETS], both[BUCKETS], chains[BUCKETS];
} ChainWork;

static void eyes_from(const Tackle *tackle, int step, Chain *eyes) {
    clear(eyes);
    for (size_t i = 0; i < tackle->n; i++) {
        Chain eye = {tackle->eyes[i].price, (int)i, NOBODY, NOBODY};
        if (wire_step(tackle->eyes[i].bore_mm) >= step)
            keep(&eyes[bucket(tackle->eyes[i].mass_g)], &eye);
    }
}

static void rings_and_hooks(const Tackle *tackle, int step, int size, ChainWork *work) {
    clear(work->rings);
    clear(work->hooks);
    bool any = false;
    for (size_t i = 0; i < tackle->n; i++) {
        const TacklePart *ring = &tackle->rings[i], *hook = &tackle->hooks[i];
        Chain just_ring = {ring->price, NOBODY, (int)i, NOBODY};
        Chain just_hook = {hook->price, NOBODY, NOBODY, (int)i};
        if (wire_step(ring->wire_mm) == step && ring->size == size) {
            keep(&work->rings[bucket(ring->mass_g)], &just_ring);
            any = true;
        }
        if (wire_step(hook->bore_mm) >= step && abs(hook->size - size) <= 1)
            keep(&work->hooks[bucket(hook->mass_g)], &just_hook);
    }
    if (any)
        combine(work->rings, work->hooks, work->both);
}

static void hanger_chains(const Tackle *tackle, ChainWork *work) {
    clear(work->chains);
    for (int step = 0; step < WIRES; step++) {
        clear(work->both);
        for (int size = 0; size < SIZES; size++)
            rings_and_hooks(tackle, step, size, work);
        eyes_from(tackle, step, work->eyes);
        combine(work->eyes, work->both, work->chains);
    }
}

static void tie_chains(const Tackle *tackle, ChainWork *work) {
    clear(work->chains);
    for (int step = 0; step < WIRES; step++) {
        clear(work->rings);
        for (size_t i = 0; i < tackle->n; i++) {
            Chain snap = {tackle->snaps[i].price, NOBODY, NOBODY, (int)i};
            if (wire_step(tackle->snaps[i].wire_mm) == step)
                keep(&work->rings[bucket(tackle->snaps[i].mass_g)], &snap);
        }
        eyes_from(tackle, step, work->eyes);
        combine(work->eyes, work->rings, work->chains);
    }
}

/* ---- columns ---- */

static void open_group(Tackle *tackle, size_t *at) {
    tackle->groups[tackle->programme.group_count++] = (ProgGroup){&tackle->columns[*at], 0};
}

static double *next_column(Tackle *tackle, size_t *at, double cost, int64_t visible) {
    double *f = &tackle->numbers[*at * TACKLE_FEATURES];
    tackle->columns[(*at)++] = (ProgColumn){.f = f, .cost = cost, .visible = visible};
    tackle->groups[tackle->programme.group_count - 1].count++;
    return f;
}

static void add_chains(Tackle *tackle, size_t *at, const Chain *chains, double x, double z) {
    open_group(tackle, at);
    for (size_t i = 0; i < BUCKETS; i++) {
        if (!(chains[i].price < INFINITY))
            continue;
        double mass = 0.01 * (double)i;
        double *f = next_column(tackle, at, 0.05 * chains[i].price, chains[i].hook);
        tackle_features(mass, mass / TACKLE_STEEL, x, z, TACKLE_WIRE_TOLERANCE, f);
    }
}

static void add_plates(Tackle *tackle, size_t *at, double *lost) {
    open_group(tackle, at);
    for (size_t i = 0; i < tackle->n; i++) {
        const TacklePart *plate = &tackle->plates[i];
        ProgColumn *column = &tackle->columns[*at];
        double *f = next_column(tackle, at, 0.05 * plate->price, (int64_t)i);
        tackle_features(plate->mass_g, plate->volume_cm3, TACKLE_LIP_X, TACKLE_LIP_Z, 0.01, f);
        column->range = plate->range_mm;
        column->g = &lost[(plate->footprint * 6 + plate->material) * TACKLE_FEATURES];
        double volume = plate->area_mm2 * 1e-3;
        tackle_features(volume * plate->density, volume, TACKLE_LIP_X, TACKLE_LIP_Z, 0.01,
                        &lost[(plate->footprint * 6 + plate->material) * TACKLE_FEATURES]);
    }
}

void tackle_build(Tackle *tackle) {
    size_t room = 4 * BUCKETS + tackle->n + TACKLE_STRIPS * (TACKLE_STRIP_MM + 1) +
                  TACKLE_HANGERS * (TACKLE_WRAPS + 1);
    ChainWork *work = malloc(sizeof *work);
    tackle->columns = calloc(room, sizeof *tackle->columns);
    tackle->numbers = calloc((room + 240) * TACKLE_FEATURES, sizeof *tackle->numbers);
    if (work == NULL || tackle->columns == NULL || tackle->numbers == NULL)
        abort();
    tackle->programme = (Programme){.feature_count = TACKLE_FEATURES,
                                    .groups = tackle->groups,
                                    .rows = tackle->rows,
                                    .targets = tackle->targets,
                                    .class_weight = tackle->class_weight,
                                    .class_count = 3};
    size_t at = 0;
    tie_chains(tackle, work);
    /* What hangs from the tie is not what one sees first. */
    for (size_t i = 0; i < BUCKETS; i++)
        work->chains[i].hook = 0;
    add_chains(tackle, &at, work->chains, TACKLE_TIE_X, TACKLE_TIE_Z);
    hanger_chains(tackle, work);
    for (size_t h = 0; h < TACKLE_HANGERS; h++)
        add_chains(tackle, &at, work->chains, tackle->hanger_x[h], TACKLE_HANGER_Z);
    add_plates(tackle, &at, &tackle->numbers[room * TACKLE_FEATURES]);
    for (size_t s = 0; s < TACKLE_STRIPS; s++) {
        open_group(tackle, &at);
        for (size_t mm = 0; mm <= TACKLE_STRIP_MM; mm++)
            tackle_strip(tackle, s, mm,
                         next_column(tackle, &at, mm > 0 ? 0.08 + 0.0005 * (double)mm : 0, mm > 0));
    }
    for (size_t h = 0; h < TACKLE_HANGERS; h++) {
        open_group(tackle, &at);
        for (size_t w = 0; w <= TACKLE_WRAPS; w++) {
            double mass = TACKLE_WRAP_G * (double)w;
            double *f = next_column(tackle, &at, 0.02 * (double)w, 0);
            tackle_features(mass, mass / 10.5, tackle->hanger_x[h], TACKLE_HANGER_Z, 0.008, f);
        }
    }
    build_rows(tackle);
    free(work);
}

void tackle_free(Tackle *tackle) {
    free(tackle->eyes);
    free(tackle->rings);
    free(tackle->hooks);
    free(tackle->snaps);
    free(tackle->plates);
    free(tackle->columns);
    free(tackle->numbers);
    *tackle = (Tackle){0};
}
