/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Candidates of a tie or hanger: eye, ring, hook and turns of wire, over the seat's places.
 *
 * A chain acts at the loop it hangs from, so only its mass and volume matter: links (ring, hook,
 * wire) are listed once and combined with each eye and place. */
#include "fit/candidates.h"
#include "fit/fewer_parts.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { TURNS_MOST = 12, LINKS_KEPT = 1500, LINKS_AT_ONCE = 50000, CANDIDATES_KEPT = 4000 };
static const double grain_g = 0.01; /* what a maker's scale shows */

typedef struct Link {
    BlyChosenPart ring, hook, wire;
    int turns;
    double m, v;        /* g, cm3 */
    double reach, side; /* m: as BlySwing; 0 without a hook */
    double untidy; /* order of preference among equals: turns of wire, then order of the catalog */
} Link;

typedef struct LinkList {
    Link *at;
    size_t count, room;
} LinkList;

typedef struct PartList {
    BlyChosenPart *at; /* a piece without a part stands for "none" */
    size_t count;
} PartList;

static double piece_mass(const BlyChosenPart *piece) {
    return isfinite(piece->weighed.value) ? piece->weighed.value : piece->part->mass.value;
}

/* What may be chosen of a kind: the catalog's when open, else only what is fitted. */
static bool part_list(const BlyBuild *build, const BlyCatalog *catalog, int seat, unsigned open,
                      BlyPartKind kind, PartList *out, BlyError *err) {
    const BlyPart **parts = NULL;
    size_t count = 0;
    bool choose = (open & (1u << kind)) != 0;
    const BlyChosenPart *fitted = &build->fitted.at[seat].of[kind];
    if (choose && !fit_fewer_parts(build, catalog, kind, fitted->part, &parts, &count, err))
        return false;
    out->count = 0;
    out->at = calloc(count + 1, sizeof *out->at);
    if (out->at == NULL) {
        free(parts);
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the list of parts");
    }
    if (!choose) {
        out->at[out->count++] = *fitted;
    } else {
        for (size_t i = 0; i < count; i++) {
            bool is_fitted = parts[i] == fitted->part;
            out->at[out->count++] = is_fitted ? *fitted : (BlyChosenPart){parts[i], {NAN, 0}};
        }
    }
    free(parts);
    return true;
}

static bool link_add(LinkList *list, const Link *link, BlyError *err) {
    if (list->count == list->room) {
        size_t room = list->room == 0 ? 512 : 2 * list->room;
        Link *at = realloc(list->at, room * sizeof *at);
        if (at == NULL)
            return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for %zu chains", room);
        list->at = at;
        list->room = room;
    }
    list->at[list->count++] = *link;
    return true;
}

static int64_t link_grain(const Link *link) {
    return llround((link->m - link->v) / grain_g);
}

static int link_order(const void *pa, const void *pb) {
    const Link *a = pa, *b = pb;
    int64_t ga = link_grain(a), gb = link_grain(b);
    if (ga != gb)
        return ga < gb ? -1 : 1;
    return a->untidy < b->untidy ? -1 : a->untidy > b->untidy;
}

/* Keeps the tidiest link of each weight, and all unwrapped ones while they are few. */
static void links_thin(LinkList *list, bool keep_plain) {
    if (list->count == 0)
        return;
    qsort(list->at, list->count, sizeof *list->at, link_order);
    size_t left = 0;
    for (size_t i = 0; i < list->count; i++) {
        bool first = i == 0 || link_grain(&list->at[i]) != link_grain(&list->at[i - 1]);
        if (first || (keep_plain && list->at[i].turns == 0))
            list->at[left++] = list->at[i];
    }
    list->count = left;
}

static bool add_wrapped(LinkList *list, const Link *plain, const PartList *wires, BlyError *err) {
    for (size_t w = 0; w < wires->count; w++) {
        const BlyPart *wire = wires->at[w].part;
        if (wire == NULL)
            continue;
        double turn = bly_wire_turn_mass(wire, plain->hook.part);
        if (!isfinite(turn))
            continue;
        for (int turns = 1; turns <= TURNS_MOST; turns++) {
            if (!bly_fits_wire_hook(wire, turns, plain->hook.part, NULL))
                break;
            Link link = *plain;
            link.wire = wires->at[w];
            link.turns = turns;
            link.m += 1e3 * turn * turns;
            link.v += 1e6 * turn * turns / wire->density.value;
            link.untidy = plain->untidy + 1e6 * turns;
            if (!link_add(list, &link, err))
                return false;
        }
    }
    return true;
}

static void link_hang(Link *link, const BlyChosenPart *piece) {
    if (piece->part == NULL)
        return;
    link->m += 1e3 * piece_mass(piece);
    link->v += 1e6 * bly_chosen_volume(piece, piece->part->mass.value, piece->part->volume);
}

/* What is fitted and not chosen anew is no matter of the rules. */
static bool against_craft(const CandidateSet *set, const BlyPart *ring, const BlyPart *hook) {
    const unsigned hooks = 1u << BLY_PART_HOOK, rings = 1u << BLY_PART_RING;
    if (set->craft == NULL)
        return false;
    return ((set->open & hooks) != 0 && craft_hook(set->craft, hook) != 0) ||
           ((set->open & (hooks | rings)) != 0 && craft_ring(set->craft, ring, hook) != 0);
}

/* Thousands of hooks by hundreds of rings are thinned as they come: the tidiest of each weight is
 * the same in the end. */
/* What is fitted now is asked for where changes are counted. */
static bool stays_so(const BlyBuild *build, int seat, const BlyPart *ring, const BlyPart *hook) {
    const BlyChoice *fitted = &build->fitted.at[seat];
    return build->limits.changes_most >= 0 && ring == fitted->of[BLY_PART_RING].part &&
           hook == fitted->of[BLY_PART_HOOK].part;
}

static bool list_plain(const BlyBuild *build, const CandidateSet *set, const PartList *rings,
                       const PartList *hooks, LinkList *out, bool *many, BlyError *err) {
    double listed = 0;
    size_t thin_at = LINKS_AT_ONCE;
    for (size_t h = 0; h < hooks->count && candidates_go_on(set); h++) {
        for (size_t r = 0; r < rings->count; r++) {
            const BlyPart *hook = hooks->at[h].part, *ring = rings->at[r].part;
            if (hook != NULL && ring != NULL && !bly_fits_ring_hook(ring, hook, NULL))
                continue;
            if (against_craft(set, ring, hook) && !stays_so(build, set->seat, ring, hook))
                continue;
            Link link = {.ring = rings->at[r], .hook = hooks->at[h], .untidy = listed++};
            link_hang(&link, &link.ring);
            link_hang(&link, &link.hook);
            if (!link_add(out, &link, err))
                return false;
        }
        if (out->count > thin_at) {
            links_thin(out, false);
            thin_at = 2 * out->count > LINKS_AT_ONCE ? 2 * out->count : LINKS_AT_ONCE;
        }
    }
    *many = listed > LINKS_KEPT;
    return true;
}

static bool list_links(const BlyBuild *build, const CandidateSet *set, const PartList *rings,
                       const PartList *hooks, const PartList *wires, bool wrap, LinkList *out,
                       BlyError *err) {
    bool many;
    if (!list_plain(build, set, rings, hooks, out, &many, err))
        return false;
    size_t plain = out->count;
    for (size_t i = 0; wrap && i < plain && candidates_go_on(set); i++) {
        Link link = out->at[i];
        if (link.hook.part != NULL && !add_wrapped(out, &link, wires, err))
            return false;
    }
    links_thin(out, !many);
    return true;
}

/* A shank longer than the body is high would come out on the other side. */
static bool eye_goes_in(const BlyBuild *build, const BlySeat *seat, double x, const BlyPart *eye) {
    if (eye == NULL || (seat->side != BLY_AT_BELLY && seat->side != BLY_AT_BACK))
        return true;
    BlySection section;
    if (!bly_body_section(build->shape, x, &section))
        return false;
    return !(eye->length > 0.95 * section.height);
}

static bool chain_passes(const Link *link, const BlyPart *eye) {
    if (eye == NULL)
        return link->ring.part == NULL && link->hook.part == NULL;
    if (link->ring.part != NULL)
        return bly_fits_ring_eye(link->ring.part, eye, NULL);
    return link->hook.part == NULL || bly_fits_hook_eye(link->hook.part, eye, NULL);
}

static BlyChoice choice_of(const BlyChoice *fitted, const BlyChosenPart *eye, const Link *link,
                           double x) {
    BlyChoice c = *fitted;
    c.x = x;
    c.of[BLY_PART_EYE] = *eye;
    c.of[BLY_PART_RING] = link->ring;
    c.of[BLY_PART_HOOK] = link->hook;
    c.of[BLY_PART_WIRE] = link->wire;
    c.count = link->turns;
    return c;
}

static bool add_chains(const BlyBuild *build, const BlySeat *seat, double x,
                       const BlyChosenPart *eye, const LinkList *links, CandidateSet *out,
                       BlyError *err) {
    if (!eye_goes_in(build, seat, x, eye->part))
        return true;
    const Link nothing = {0};
    BlyChoice bare = choice_of(&build->fitted.at[out->seat], eye, &nothing, x);
    BlyItem items[BLY_CHOICE_ITEMS];
    size_t count;
    if (!bly_choice_items(&build->blank, seat, out->seat, &bare, items, &count, err))
        return false;
    Lump base = lump_of_items(items, count);
    BlyVec3 hang = bly_seat_hang(&build->blank, seat, x, eye->part);
    for (size_t i = 0; i < links->count; i++) {
        const Link *link = &links->at[i];
        if (!chain_passes(link, eye->part))
            continue;
        BlyChoice choice = choice_of(&bare, eye, link, x);
        double hx = hang.x * 1e3, hz = hang.z * 1e3;
        Lump chain = {.m = link->m,
                      .v = link->v,
                      .mx = link->m * hx,
                      .mz = link->m * hz,
                      .vx = link->v * hx,
                      .vz = link->v * hz};
        Lump sum = moments_sum(base, chain);
        if (!candidates_add(out, build, &choice, &sum, err))
            return false;
        out->at[out->count - 1].swing = (BlySwing){hang, link->reach, link->side};
    }
    return true;
}

/* One that goes in at the first place; NULL: none does. */
static const BlyChosenPart *first_eye(const BlyBuild *build, const BlySeat *seat,
                                      const PartList *eyes) {
    for (size_t e = 0; e < eyes->count; e++) {
        if (eye_goes_in(build, seat, seat->x_from, eyes->at[e].part))
            return &eyes->at[e];
    }
    return NULL;
}

/* How far a hook swings hangs on its ring and itself, not on the eye or the place. */
static bool set_reach(const BlyBuild *build, const CandidateSet *set, const PartList *eyes,
                      LinkList *links, BlyError *err) {
    int seat = set->seat;
    const BlyChosenPart *eye = first_eye(build, &build->seats[seat], eyes);
    for (size_t i = 0; eye != NULL && i < links->count && candidates_go_on(set); i++) {
        Link *link = &links->at[i];
        BlyItem items[BLY_CHOICE_ITEMS];
        size_t count;
        if (link->hook.part == NULL)
            continue;
        BlyChoice choice = choice_of(&build->fitted.at[seat], eye, link, build->seats[seat].x_from);
        if (!bly_choice_items(&build->blank, &build->seats[seat], seat, &choice, items, &count,
                              err))
            return false;
        for (size_t k = 0; k < count; k++) {
            BlySwing swing = bly_hook_swing(&items[k]);
            link->reach = fmax(link->reach, swing.reach);
            link->side = fmax(link->side, swing.side);
        }
    }
    return true;
}

/* Strength, wood about it, and the longest shank that goes in: what is fitted may stay. */
static bool eye_suits(const CandidateSet *set, double x, const BlyPart *eye, bool fitted) {
    if (set->craft == NULL || eye == NULL || fitted)
        return true;
    return !craft_eye_is_odd(set->craft, eye) && craft_eye(set->craft, set->seat, x, eye) == 0 &&
           !craft_eye_is_short(set->craft, set->seat, x, eye);
}

/* An eye that is in stays where it is. */
static bool over_places(const BlyBuild *build, const PartList *eyes, bool eye_is_in,
                        const LinkList *links, CandidateSet *out, BlyError *err) {
    const BlySeat *seat = &build->seats[out->seat];
    size_t places = eye_is_in ? 1 : seat_places(seat);
    for (size_t p = 0; p < places; p++) {
        double x = eye_is_in ? build->fitted.at[out->seat].x : seat_place(seat, p);
        for (size_t e = 0; e < eyes->count && candidates_go_on(out); e++) {
            bool now = eyes->at[e].part == build->fitted.at[out->seat].of[BLY_PART_EYE].part;
            bool stays =
                (out->open & (1u << BLY_PART_EYE)) == 0 || (now && build->limits.changes_most >= 0);
            if (!eye_suits(out, x, eyes->at[e].part, stays))
                continue;
            if (!add_chains(build, seat, x, &eyes->at[e], links, out, err) ||
                !candidates_thin_early(out, CANDIDATES_KEPT, grain_g, err))
                return false;
        }
    }
    return candidates_thin(out, CANDIDATES_KEPT, grain_g, err);
}

/* At the line tie the programme chooses the eye alone; ring and snap stay as fitted. */
static unsigned choosable(const BlySeat *seat, unsigned open) {
    if (seat->kind == BLY_SEAT_TIE)
        return open & (1u << BLY_PART_EYE);
    return open & ((1u << BLY_PART_EYE) | (1u << BLY_PART_RING) | (1u << BLY_PART_HOOK) |
                   (1u << BLY_PART_WIRE));
}

bool hanger_candidates(const BlyBuild *build, const BlyCatalog *catalog, int seat, unsigned open,
                       CandidateSet *out, BlyError *err) {
    const BlySeat *s = &build->seats[seat];
    unsigned choose = choosable(s, open);
    bool eye_is_in = (choose & (1u << BLY_PART_EYE)) == 0 &&
                     build->fitted.at[seat].of[BLY_PART_EYE].part != NULL;
    PartList eyes = {0}, rings = {0}, hooks = {0}, wires = {0};
    LinkList links = {0};
    bool good = part_list(build, catalog, seat, choose, BLY_PART_EYE, &eyes, err) &&
                part_list(build, catalog, seat, choose, BLY_PART_RING, &rings, err) &&
                part_list(build, catalog, seat, choose, BLY_PART_HOOK, &hooks, err) &&
                part_list(build, catalog, seat, choose, BLY_PART_WIRE, &wires, err);
    bool wrap = (choose & (1u << BLY_PART_WIRE)) != 0 &&
                (out->craft == NULL || !craft_binds(out->craft, BLY_RULE_FIRST_BUILD));
    good = good && list_links(build, out, &rings, &hooks, &wires, wrap, &links, err) &&
           set_reach(build, out, &eyes, &links, err) &&
           over_places(build, &eyes, eye_is_in, &links, out, err);
    if (good && s->may_stay_empty) {
        BlyChoice empty = bly_choice_empty(s->x_from);
        if (build_mounted(build, (size_t)seat) != 0) { /* the eye is in */
            empty.x = build->fitted.at[seat].x;
            empty.of[BLY_PART_EYE] = build->fitted.at[seat].of[BLY_PART_EYE];
        }
        good = candidates_add(out, build, &empty, NULL, err);
    }
    free(eyes.at);
    free(rings.at);
    free(hooks.at);
    free(wires.at);
    free(links.at);
    return good;
}
