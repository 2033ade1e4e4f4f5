/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sizes and densities of the body that hardly any lure has. docs/slip.md says where the bounds come
 * from. */
#include "ballastry/slip.h"
#include "lure/blank.h"

#include <math.h>
#include <stdio.h>

static const double shortest = 20e-3, longest = 400e-3; /* m */
static const double stoutest = 0.75, slimmest = 0.03;   /* width or height over length */
static const double widest = 1.2;                       /* width over height */
static const double unbalanced = 0.2; /* of the length, a balance point off the centroid */
static const double soaked = 0.2;     /* of the dry mass */
static const double swells = 300e-6;  /* 1/K, linear: soft plastics */
static const double lightest = 80.0, heaviest = 2000.0; /* kg/m3, of what blanks are made of */
static const double lightest_coat = 700.0;              /* kg/m3, and the same heaviest */
static const double densest = 19.5e3;                   /* kg/m3: tungsten is 19.3 g/cm3 */
static const double thinnest_piece = 15.0;              /* kg/m3: no foam is lighter */
static const double thickest_coat = 1e-3, thinnest_coat = 5e-6; /* m, of one coat */
static const double in_mm = 1e3, in_g_cm3 = 1e-3, inch = 25.4e-3;

static bool slip_length(BlySlips *to, const BlySlipSource *source, double length, BlyError *err) {
    if (length >= shortest && length <= longest)
        return true;
    if (source->unit < inch / 2 && length < shortest && length / source->unit * inch >= shortest &&
        length / source->unit * inch <= longest)
        return bly_slip_add(to, err, source->where,
                            "the body is %.3g mm long; is the mesh in inches? Then write "
                            "\"unit\": \"in\" (new --unit in): %.3g mm",
                            in_mm * length, in_mm * length / source->unit * inch);
    return bly_slip_add(to, err, source->where,
                        "the body is %.4g mm long, lures are mostly %g to %g mm: is the unit "
                        "right? A bare number is mm",
                        in_mm * length, in_mm * shortest, in_mm * longest);
}

static bool slip_proportions(BlySlips *to, const char *where, BlyVec3 size, BlyError *err) {
    const struct {
        const char *name;
        double size;
    } side[] = {{"wide", size.y}, {"high", size.z}};
    bool round = fabs(size.y - size.z) < 1e-6 * size.z;
    for (int i = 0; i < (round ? 1 : 2); i++) {
        double share = side[i].size / size.x;
        const char *name = round ? "thick" : side[i].name;
        if (share > stoutest && !bly_slip_add(to, err, where,
                                              "the body is %.4g mm %s and only %.4g mm long: is "
                                              "the decimal point in its place?",
                                              in_mm * side[i].size, name, in_mm * size.x))
            return false;
        if (share < slimmest && !bly_slip_add(to, err, where,
                                              "the body is only %.3g mm %s on %.4g mm of length: "
                                              "is the unit right? A bare number is mm",
                                              in_mm * side[i].size, name, in_mm * size.x))
            return false;
    }
    return size.y <= widest * size.z || size.y > stoutest * size.x ||
           bly_slip_add(to, err, where,
                        "the body is wider (%.4g mm) than high (%.4g mm): are width and height "
                        "the wrong way round?",
                        in_mm * size.y, in_mm * size.z);
}

/* By a named material nothing is to be sliped; what the scale says beside it is. */
static bool slip_density(BlySlips *to, const BlyBlank *blank, double filled, const char *material,
                         BlyError *err) {
    const BlyBodyFacts *facts = &blank->facts;
    double density = blank->body_density / filled, named = facts->density.value / filled;
    bool weighed = !isnan(facts->mass.value);
    const char *where = weighed ? "/body/mass" : "/body/material";
    if (weighed && named > 0) {
        double off = fmax(0.35, 2.5 * facts->density.give / facts->density.value);
        if (fabs(density / named - 1) <= off)
            return true;
        return bly_slip_add(to, err, where,
                            "by the scale and its size the body is %.3g g/cm3, %s is %.3g g/cm3: "
                            "is the scale's figure right, are the sizes?",
                            in_g_cm3 * density, material[0] != '\0' ? material : "its material",
                            in_g_cm3 * named);
    }
    if ((!weighed && material[0] != '\0') || (density >= lightest && density <= heaviest))
        return true;
    return bly_slip_add(to, err, where,
                        "the body's own material comes to %.3g g/cm3; wood, board, foam and "
                        "casting mixes are %g to %g g/cm3",
                        in_g_cm3 * density, in_g_cm3 * lightest, in_g_cm3 * heaviest);
}

static bool slip_facts(BlySlips *to, const BlyBlank *blank, double length, BlyError *err) {
    const BlyBodyFacts *facts = &blank->facts;
    double middle = bly_body_solid(blank->bare)->centroid.x;
    if (facts->balance_of_all && fabs(facts->balance.value - middle) > unbalanced * length &&
        !bly_slip_add(to, err, "/body/balance",
                      "it balances %.3g mm from the nose, the middle of its volume is at %.3g mm: "
                      "was it measured from the nose?",
                      in_mm * facts->balance.value, in_mm * middle))
        return false;
    if (facts->soak.value > soaked &&
        !bly_slip_add(to, err, "/body/soak",
                      "takes up %.3g %% of its dry mass in water; sealed wood takes up a few per "
                      "cent",
                      100 * facts->soak.value))
        return false;
    return !(facts->expansion.value > swells) ||
           bly_slip_add(
               to, err, "/body/expansion",
               "%.3g ppm/K: no solid swells more than %g ppm/K lengthwise; is it by volume?",
               1e6 * facts->expansion.value, 1e6 * swells);
}

bool bly_slip_body(BlySlips *to, const BlyBlank *blank, const BlySlipSource *source,
                   const char *material, BlyError *err) {
    BlyBox box = bly_body_box(blank->bare);
    BlyVec3 size = bly_vec_sub(box.high, box.low);
    bool sound = size.x >= shortest && size.x <= longest; /* else the unit is wrong: said once */
    return slip_length(to, source, size.x, err) &&
           (source->told || !sound || slip_proportions(to, source->where, size, err)) &&
           slip_density(to, blank, source->filled, material, err) &&
           slip_facts(to, blank, size.x, err);
}

/* ---- coats, pieces, water ---- */

bool bly_slip_coats(BlySlips *to, const BlyCoat *coat, size_t count, BlyError *err) {
    for (size_t i = 0; i < count; i++) {
        char place[64];
        double thick = coat[i].thickness.value, density = coat[i].density.value;
        (void)snprintf(place, sizeof place, "/body/coats/%zu", i);
        if ((thick > thickest_coat || (thick > 0 && thick < thinnest_coat)) &&
            !bly_slip_add(to, err, place,
                          "a coat of %.3g mm: brushed and dipped coats are mostly 0.05 to 0.5 mm",
                          in_mm * thick))
            return false;
        if ((density < lightest_coat || density > heaviest) &&
            !bly_slip_add(to, err, place,
                          "a coat of %.3g g/cm3: lacquers and resins are %g to %g "
                          "g/cm3",
                          in_g_cm3 * density, in_g_cm3 * lightest_coat, in_g_cm3 * heaviest))
            return false;
    }
    return true;
}

bool bly_slip_pieces(BlySlips *to, const BlyBodyFacts *facts, BlyError *err) {
    double share = facts->volume_share.value;
    for (size_t i = 0; i < facts->inset_count; i++) {
        const BlyInset *inset = &facts->insets[i];
        double mass = bly_inset_mass(inset, share), volume = bly_inset_own(inset, share).volume;
        double density = volume > 0 ? mass / volume : NAN;
        char place[64];
        (void)snprintf(place, sizeof place, "/body/pieces/%zu", i);
        if (mass > 0 && (density > densest || density < thinnest_piece) &&
            !bly_slip_add(to, err, place,
                          "%s comes to %.3g g/cm3 by its mass and size; lead is 11.3, tungsten "
                          "19.3 g/cm3, no foam is below %g: is the mass right, is the size?",
                          inset->name, in_g_cm3 * density, in_g_cm3 * thinnest_piece))
            return false;
    }
    return true;
}

bool bly_slip_band(BlySlips *to, const char *where, double low, double high, double narrowest,
                   const char *unit, const char *bare, BlyError *err) {
    return !(high - low < narrowest) ||
           bly_slip_add(to, err, where,
                        "the band from %.3g to %.3g %s is narrower than a lure can be trimmed; a "
                        "bare number is %s",
                        low, high, unit, bare);
}

bool bly_slip_water(BlySlips *to, double salinity, const char *where, BlyError *err) {
    const double tap = 0.1e-3;
    return !(salinity > 0 && salinity < tap) ||
           bly_slip_add(to, err, where,
                        "%.3g g/kg of salt is fresh water; the sea has some 35 g/kg",
                        salinity * 1e3);
}
