/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A starter build: seats where makers usually put them, by the body's own sizes. All shares are
 * common practice, no source, as in the plain minnow that `new` writes; everything is meant to be
 * changed. */
#include "build/build.h"
#include "json/json.h"
#include "text/text.h"

#include <gsl/gsl_math.h>

/* Shares of the length. */
static const double belly_at = 0.35, slot_at = 0.1, metal_from = 0.15, metal_to = 0.67;
/* Of metal where there is no lip: its ends at most, where it begins at
 * latest, and its least length. */
static const double reach_from = 0.1, reach_to = 0.8, reach_early = 0.17, reach_least = 0.15;
static const double clear = 2e-3;       /* of the belly eye, as the craft has it */
static const double patch_least = 6e-3; /* as long as the narrowest strip is wide */
static const double lip_least = 0.18, lip_most = 0.29;
static const double end_gap = 1e-3, slot_angle_deg = 40.0, lip_narrowest = 6e-3;
static const double strip_usual = 0.6;   /* of the body's width */
static const double strip_widest = 0.68; /* the craft takes 0.7: room for what sanding takes */
static const double strips_sold[] = {6e-3, 10e-3, 15e-3};

static double half_mm(double length) {
    return 0.5e-3 * fmax(1.0, floor(length / 0.5e-3 + 0.5));
}

/* A tenth of a millimetre inside the ends, as nobody marks a blank finer. */
static double tenth_mm(double length) {
    return 1e-4 * floor(length / 1e-4 + 1e-6);
}

static double width_at(const BlyBody *shape, double x) {
    BlySection at;
    return bly_body_section(shape, x, &at) ? at.width : 0.0;
}

static double height_at(const BlyBody *shape, double x) {
    BlySection at;
    return bly_body_section(shape, x, &at) ? at.height : 0.0;
}

static double narrowest(const BlyBody *shape, double from, double to) {
    double least = HUGE_VAL;
    for (int i = 0; i <= 8; i++)
        least = fmin(least, width_at(shape, from + (to - from) * i / 8.0));
    return least;
}

static void put_length(BlyText *out, const char *key, double length, const char *behind) {
    bly_text_appendf(out, "\"%s\": \"%.10g mm\"%s", key, 1e3 * length, behind);
}

/* Where a strip that is sold is a little wider than usual, and the body still takes it, there is
 * room for that: else it would be wire on the hooks that makes up for the metal. */
static double strip_width(const BlyBody *shape, double from, double to) {
    double body = narrowest(shape, from, to), width = half_mm(strip_usual * body);
    for (size_t i = 0; i < sizeof strips_sold / sizeof strips_sold[0]; i++) {
        if (strips_sold[i] <= strip_widest * body)
            width = fmax(width, strips_sold[i]);
    }
    return width;
}

/* Where metal may lie on the belly, and how wide a strip is wanted there at least. */
typedef struct Reach {
    double from, to, strip;
} Reach;

/* Outward from `x` in steps to `end` at most, while the body is as wide as this. */
static double wide_until(const BlyBody *shape, double x, double step, double end, double width) {
    while ((end - x - step) / step >= 0 && width_at(shape, x + step) >= width)
        x += step;
    return x;
}

/* Without a lip metal lies ahead of the belly hook and behind it: as far as the body carries the
 * widest strip that is sold of those that reach well ahead; the narrowest is better than none. */
static bool find_reach(const BlyBody *shape, double x0, double length, Reach *out) {
    size_t sold = sizeof strips_sold / sizeof strips_sold[0];
    double hook = half_mm(x0 + belly_at * length);
    while (sold-- > 0) {
        double body = strips_sold[sold] / strip_widest;
        double from = wide_until(shape, hook, -0.5e-3, x0 + reach_from * length, body);
        double to = wide_until(shape, hook, 0.5e-3, x0 + reach_to * length, body);
        bool good =
            sold > 0 ? from <= x0 + reach_early * length : to - from >= reach_least * length;
        if (good) {
            *out = (Reach){from, to, strips_sold[sold]};
            return true;
        }
    }
    return false;
}

static void put_patch(const BlyBody *shape, const char *name, const Reach *at, const char *behind,
                      BlyText *out) {
    bly_text_appendf(out,
                     "    \"%s\": { \"kind\": \"patch\", \"x\": [\"%.10g mm\", \"%.10g mm\"], ",
                     name, 1e3 * at->from, 1e3 * at->to);
    bly_text_append(out, "\"side\": \"belly\", ");
    put_length(out, "width", fmax(at->strip, strip_width(shape, at->from, at->to)), behind);
}

/* Beside a lip metal lies about the belly eye, as far as the body carries the narrowest strip;
 * where it carries none behind the eye there is room for dots. */
static Reach reach_about(const BlyBody *shape, double x0, double length, double eye) {
    double body = strips_sold[0] / strip_widest, end = x0 + metal_to * length;
    Reach at = {wide_until(shape, eye, -0.5e-3, x0 + metal_from * length, body),
                wide_until(shape, eye, 0.5e-3, end, body), 0};
    if (at.to < eye + clear + patch_least)
        at.to = half_mm(end);
    return at;
}

/* One patch ahead of the belly eye and one behind it, for no strip goes across; one of them, or
 * both as one, where there is no room. */
static void put_metal(const BlyBody *shape, double x0, double length, bool lipless, BlyText *out) {
    static const char more[] = " },\n", last[] = " }\n  },\n";
    double eye = half_mm(x0 + belly_at * length);
    Reach at = reach_about(shape, x0, length, eye);
    if (lipless)
        (void)find_reach(shape, x0, length, &at);
    Reach chest = {at.from, eye - clear, at.strip}, keel = {eye + clear, at.to, at.strip};
    bool ahead = chest.to - chest.from >= patch_least, behind = keel.to - keel.from >= patch_least;
    if (ahead)
        put_patch(shape, "chest", &chest, behind ? more : last, out);
    if (behind || !ahead)
        put_patch(shape, "keel", behind ? &keel : &at, last, out);
}

static void put_lip(const BlyBody *shape, double x0, double length, double width, BlyText *out) {
    double slot = half_mm(x0 + slot_at * length);
    /* The plate goes in until it has two thirds of the body's height above its mouth. */
    double deep = 0.65 * height_at(shape, slot) / sin(slot_angle_deg * M_PI / 180.0);
    double depth = half_mm(fmin(0.08 * length, deep));
    bly_text_append(out, "    \"lip\": { \"kind\": \"slot\", ");
    put_length(out, "x", slot, ", \"side\": \"belly\", ");
    bly_text_appendf(out, "\"angle\": \"%g deg\", ", slot_angle_deg);
    put_length(out, "depth", depth, ", ");
    put_length(out, "width", half_mm(fmax(width, lip_narrowest)), ", ");
    bly_text_appendf(out, "\"length\": [\"%.10g mm\", \"%.10g mm\"] },\n",
                     1e3 * half_mm(lip_least * length), 1e3 * half_mm(lip_most * length));
}

static void put_seats(const BlyBody *shape, bool lipless, BlyText *out) {
    BlyBox box = bly_body_box(shape);
    double x0 = box.low.x, length = box.high.x - x0, width = box.high.y - box.low.y;
    double gap = fmin(end_gap, 0.02 * length);
    bly_text_append(out, "  \"seats\": {\n    \"tie\": { \"kind\": \"tie\", ");
    put_length(out, "x", x0 - tenth_mm(-gap), ", \"side\": \"nose\" },\n");
    bly_text_append(out, "    \"belly\": { \"kind\": \"hanger\", ");
    put_length(out, "x", half_mm(x0 + belly_at * length), ", \"side\": \"belly\" },\n");
    bly_text_append(out, "    \"tail\": { \"kind\": \"hanger\", ");
    put_length(out, "x", tenth_mm(x0 + length - gap), ", \"side\": \"tail\" },\n");
    if (!lipless)
        put_lip(shape, x0, length, width, out);
    put_metal(shape, x0, length, lipless, out);
}

static const char usual_target[] = "{\n"
                                   "    \"state\": \"suspend\",\n"
                                   "    \"drift\": [\"-15 mm/s\", \"15 mm/s\"],\n"
                                   "    \"nose_down\": [\"3 deg\", \"15 deg\"]\n"
                                   "  }";

bool build_around(const BlyAround *around, const char *target, bool lipless, char **text,
                  BlyError *err) {
    BlyText out;
    bly_text_init(&out);
    bly_text_append(&out, "{\n  \"ballastry\": 1,\n  \"name\": ");
    bly_json_print_string(around->name, &out);
    bly_text_append(&out, ",\n  \"water\": { \"temperature\": \"10 C\", \"salinity\": \"0 g/kg\" "
                          "},\n  \"body\": {\n");
    bly_text_append(&out, around->body);
    bly_text_append(&out, around->shape != NULL ? "\n  },\n" : "\n  }\n");
    if (around->shape != NULL) {
        put_seats(around->shape, lipless, &out);
        bly_text_append(&out, "  \"target\": ");
        bly_text_append(&out, target != NULL ? target : usual_target);
        bly_text_append(&out, ",\n  \"limits\": { \"lead_free\": true }\n");
    }
    bly_text_append(&out, "}\n");
    if (!bly_text_good(&out, err)) {
        bly_text_release(&out);
        return false;
    }
    *text = bly_text_detach(&out);
    return true;
}

bool bly_build_around(const BlyAround *around, char **text, BlyError *err) {
    return build_around(around, NULL, false, text, err);
}
