/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Seats: where on the body parts may sit, and what may still be chosen there. */
#include "build/sections.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { SEATS_MOST = 32, SEAT_NAME_MOST = 32 };
static const double USUAL_STEP = 1e-3; /* what a pencil marks */

static const Quantity lip_angle = {BLY_DIM_ANGLE, "deg", 0.0, 1.5707963267948966, true};

#define SIDE(s) (1u << (s))
#define KIND(k) (1u << (k))
#define EVERY_KIND (KIND(BLY_SEAT_KINDS) - 1u)

/* On which sides a kind of seat may be. A lip's slot opens on the belly line; a strip follows the
 * belly or the back. */
static const unsigned sides_of[BLY_SEAT_KINDS] = {
    [BLY_SEAT_TIE] = SIDE(BLY_AT_NOSE) | SIDE(BLY_AT_BELLY) | SIDE(BLY_AT_BACK),
    [BLY_SEAT_HANGER] =
        SIDE(BLY_AT_NOSE) | SIDE(BLY_AT_BELLY) | SIDE(BLY_AT_BACK) | SIDE(BLY_AT_TAIL),
    [BLY_SEAT_SLOT] = SIDE(BLY_AT_BELLY),
    [BLY_SEAT_PATCH] = SIDE(BLY_AT_BELLY) | SIDE(BLY_AT_BACK),
};

/* The keys of a seat, and the kinds of seat that have them. */
static const struct {
    const char *key;
    unsigned kinds;
} key_table[] = {
    {"kind", EVERY_KIND},
    {"side", EVERY_KIND},
    {"x", EVERY_KIND},
    {"step", EVERY_KIND},
    {"open", EVERY_KIND},
    {"optional", EVERY_KIND},
    {"angle", KIND(BLY_SEAT_SLOT)},
    {"depth", KIND(BLY_SEAT_SLOT)},
    {"length", KIND(BLY_SEAT_SLOT)},
    {"gap", KIND(BLY_SEAT_SLOT)},
    {"width", KIND(BLY_SEAT_SLOT) | KIND(BLY_SEAT_PATCH)},
    {"leader", KIND(BLY_SEAT_TIE)},
};
enum { SEAT_KEYS = sizeof key_table / sizeof key_table[0] };

static bool check_keys_known(const BlyJson *seat, BlyError *err) {
    const char *keys[SEAT_KEYS];
    for (size_t i = 0; i < SEAT_KEYS; i++)
        keys[i] = key_table[i].key;
    return bly_json_object(seat, keys, SEAT_KEYS, err);
}

static bool check_keys_of_kind(const BlyJson *seat, BlySeatKind kind, BlyError *err) {
    for (size_t i = 0; i < SEAT_KEYS; i++) {
        BlyJson value;
        if ((key_table[i].kinds & KIND(kind)) || !build_member(seat, key_table[i].key, &value))
            continue;
        const char *who = key_table[i].kinds & KIND(BLY_SEAT_PATCH) ? "a slot or a patch"
                          : key_table[i].kinds & KIND(BLY_SEAT_TIE) ? "a tie"
                                                                    : "a slot";
        return bly_json_refuse(&value, BLY_E_CONFLICT, err, "only %s has this; the seat is a %s",
                               who, bly_seat_kind_name(kind));
    }
    return true;
}

static bool read_kind_and_side(const BlyJson *field, BlySeat *seat, BlyError *err) {
    const char *kinds[BLY_SEAT_KINDS], *sides[BLY_SIDES];
    for (int i = 0; i < BLY_SEAT_KINDS; i++)
        kinds[i] = bly_seat_kind_name((BlySeatKind)i);
    for (int i = 0; i < BLY_SIDES; i++)
        sides[i] = bly_seat_side_name((BlySeatSide)i);
    BlyJson kind, side;
    size_t k, s;
    if (!bly_json_require(field, "kind", &kind, err) ||
        !bly_json_word(&kind, kinds, BLY_SEAT_KINDS, &k, err) ||
        !check_keys_of_kind(field, (BlySeatKind)k, err) ||
        !bly_json_require(field, "side", &side, err) ||
        !bly_json_word(&side, sides, BLY_SIDES, &s, err))
        return false;
    if (!(sides_of[k] & SIDE(s)))
        return bly_json_refuse(&side, BLY_E_CONFLICT, err, "a %s cannot be at the %s", kinds[k],
                               sides[s]);
    seat->kind = (BlySeatKind)k;
    seat->side = (BlySeatSide)s;
    return true;
}

/* An end reached by rounding only counts as reached, as in the lure room. */
static bool check_on_body(const BlyJson *x, double place, BlyBox box, BlyError *err) {
    double slack = 1e-6 * (box.high.x - box.low.x);
    if (place >= box.low.x - slack && place <= box.high.x + slack)
        return true;
    return bly_json_refuse(x, BLY_E_RANGE, err,
                           "is %.5g mm; the body reaches from %.5g mm to %.5g mm", place * 1e3,
                           box.low.x * 1e3, box.high.x * 1e3);
}

static bool read_place(const BlyJson *field, BlyBox box, BlySeat *seat, BlyError *err) {
    BlyJson x;
    if (!bly_json_require(field, "x", &x, err))
        return false;
    bool reach = cJSON_IsArray(x.node);
    if (seat->kind == BLY_SEAT_PATCH && !reach)
        return bly_json_refuse(&x, BLY_E_CONFLICT, err, "a patch has a reach; expected [from, to]");
    if (reach && (seat->side == BLY_AT_NOSE || seat->side == BLY_AT_TAIL))
        return bly_json_refuse(&x, BLY_E_CONFLICT, err, "at the %s there is one place only",
                               bly_seat_side_name(seat->side));
    if (!build_reach(&x, &bly_any_length, &seat->x_from, &seat->x_to, err))
        return false;
    if (!reach)
        return check_on_body(&x, seat->x_from, box, err);
    if (seat->kind == BLY_SEAT_PATCH && seat->x_from == seat->x_to)
        return bly_json_refuse(&x, BLY_E_CONFLICT, err, "the patch has no length");
    BlyJson end = bly_json_first(&x);
    if (!check_on_body(&end, seat->x_from, box, err))
        return false;
    bly_json_next(&end);
    return check_on_body(&end, seat->x_to, box, err);
}

static bool read_slot(const BlyJson *field, BlySeat *seat, BlyError *err) {
    BlyJson angle, depth, length;
    if (!bly_json_require(field, "angle", &angle, err) ||
        !bly_json_require(field, "depth", &depth, err) ||
        !build_quantity(&angle, &lip_angle, &seat->angle, err) ||
        !build_quantity(&depth, &bly_solid_length, &seat->depth, err))
        return false;
    if (build_member(field, "length", &length)) {
        if (!build_reach(&length, &bly_solid_length, &seat->length_from, &seat->length_to, err))
            return false;
        if (!(seat->length_from > seat->depth))
            return bly_json_refuse(&length, BLY_E_CONFLICT, err,
                                   "the whole lip is no longer than the slot's depth of %.4g mm",
                                   seat->depth * 1e3);
    }
    return build_opt_quantity(field, "gap", &bly_solid_length, &seat->gap, err);
}

static bool read_open_kind(const BlyJson *item, BlySeat *seat, BlyError *err) {
    const char *names[BLY_PART_KINDS];
    for (int i = 0; i < BLY_PART_KINDS; i++)
        names[i] = bly_part_kind_name((BlyPartKind)i);
    size_t kind;
    if (!bly_json_word(item, names, BLY_PART_KINDS, &kind, err))
        return false;
    if (!(bly_seat_carries(seat->kind) & 1u << kind))
        return bly_json_refuse(item, BLY_E_CONFLICT, err, "a %s carries no %s",
                               bly_seat_kind_name(seat->kind), names[kind]);
    seat->open |= 1u << kind;
    seat->named |= 1u << kind;
    return true;
}

static bool read_open(const BlyJson *open, BlySeat *seat, BlyError *err) {
    seat->open = 0;
    seat->open_said = true;
    if (cJSON_IsBool(open->node)) {
        seat->open = cJSON_IsTrue(open->node) ? bly_seat_carries(seat->kind) : 0;
        return true;
    }
    if (!cJSON_IsArray(open->node))
        return bly_json_refuse(open, BLY_E_SYNTAX, err,
                               "expected true, false, or kinds of part such as [\"hook\"]");
    if (!bly_json_array(open, 1, BLY_PART_KINDS, err))
        return false;
    for (BlyJson item = bly_json_first(open); item.node != NULL; bly_json_next(&item)) {
        if (!read_open_kind(&item, seat, err))
            return false;
    }
    return true;
}

static bool read_choice_rules(const BlyJson *field, BlySeat *seat, BlyError *err) {
    BlyJson open, optional;
    seat->open = BLY_OPEN_UNSAID;
    if (build_member(field, "open", &open) && !read_open(&open, seat, err))
        return false;
    seat->may_stay_empty = seat->kind == BLY_SEAT_PATCH;
    return !build_member(field, "optional", &optional) ||
           bly_json_bool(&optional, &seat->may_stay_empty, err);
}

static bool check_name(const BlyJson *field, BlyError *err) {
    const char *name = bly_json_key(field);
    size_t good = strspn(name, "abcdefghijklmnopqrstuvwxyz0123456789_-");
    if (name[0] >= 'a' && name[0] <= 'z' && name[good] == '\0' && good <= SEAT_NAME_MOST)
        return true;
    return bly_json_refuse(field, BLY_E_SYNTAX, err,
                           "expected a seat's name of a-z, 0-9, \"_\" and \"-\", beginning with a "
                           "letter, at most %d long",
                           SEAT_NAME_MOST);
}

static bool read_seat(const BlyJson *field, BlyBox box, const BlyWaterFacts *water, BlySeat *seat,
                      BlyError *err) {
    BlyJson leader;
    *seat = (BlySeat){
        .step = USUAL_STEP, .length_from = NAN, .length_to = NAN, .gap = NAN, .width = NAN};
    if (!check_name(field, err) || !check_keys_known(field, err))
        return false;
    seat->name = build_copy(bly_json_key(field), err);
    if (seat->name == NULL || !read_kind_and_side(field, seat, err) ||
        !read_place(field, box, seat, err) ||
        !build_opt_quantity(field, "step", &bly_solid_length, &seat->step, err) ||
        !build_opt_quantity(field, "width", &bly_solid_length, &seat->width, err))
        return false;
    if (seat->kind == BLY_SEAT_SLOT && !read_slot(field, seat, err))
        return false;
    if (build_member(field, "leader", &leader) &&
        !build_read_leader(&leader, water, &seat->load, err))
        return false;
    return read_choice_rules(field, seat, err);
}

bool build_read_seats(const BlyJson *seats, BlyBuild *build, BlyError *err) {
    if (!bly_json_object(seats, NULL, 0, err))
        return false;
    size_t count = bly_json_count(seats);
    if (count > SEATS_MOST)
        return bly_json_refuse(seats, BLY_E_RANGE, err, "has %zu seats; expected at most %d", count,
                               SEATS_MOST);
    if (count == 0)
        return true;
    build->seats = calloc(count, sizeof *build->seats);
    if (build->seats == NULL)
        return bly_json_refuse(seats, BLY_E_MEMORY, err, "no memory for %zu seats", count);
    build->seat_count = count;
    BlyBox box = bly_body_box(build->shape);
    for (BlyJson item = bly_json_first(seats); item.node != NULL; bly_json_next(&item)) {
        if (!read_seat(&item, box, &build->water, &build->seats[item.index], err))
            return false;
    }
    return true;
}
