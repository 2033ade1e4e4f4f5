/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is uncertain of a build: every input with its give, and the names by which the build says
 * how they hang together.
 *
 * A give is a half-width that 95 of 100 pieces keep, 1.96 standard deviations of a normal spread.
 * docs/uncertain.md. */
#ifndef BALLASTRY_UNCERTAIN_H
#define BALLASTRY_UNCERTAIN_H

#include "ballastry/build.h"

BLY_API_BEGIN

typedef enum BlyInputKind {
    BLY_IN_BODY_DENSITY,
    BLY_IN_BODY_MASS, /* the scale's */
    BLY_IN_VOLUME,    /* share of the shape's */
    BLY_IN_BALANCE,
    BLY_IN_BALANCE_UP,
    BLY_IN_SOAK,
    BLY_IN_EXPANSION,
    BLY_IN_COAT_THICKNESS,
    BLY_IN_COAT_DENSITY,
    BLY_IN_INSET_DENSITY,  /* of a piece glued into the blank */
    BLY_IN_INSET_MASS,     /* the scale that weighed it */
    BLY_IN_PART_MASS,      /* what the catalog says of a part: shared by all pieces of one id */
    BLY_IN_PART_THICKNESS, /* sheet or strip, by id */
    BLY_IN_PART_DENSITY,
    BLY_IN_PIECE_MASS, /* from hook to hook of one id, each seat by itself */
    BLY_IN_WEIGHED,    /* the scale that weighed this very piece */
    BLY_IN_FILED,      /* ground off a mounted lip, by hand */
    BLY_IN_LOAD,       /* leader at the tie */
    BLY_IN_DRAG,
    BLY_IN_MUNK,
    BLY_IN_TEMPERATURE, /* one thermometer for all waters */
    BLY_IN_SALINITY,
    BLY_INPUT_KINDS
} BlyInputKind;

/* One uncertain input. Texts are static, or borrowed from the catalog and the build. */
typedef struct BlyInput {
    BlyInputKind kind;
    const char *id; /* part, coat material or name of a blank's piece; "" where there is none */
    int seat;       /* -1: not of one seat */
    int index;      /* coat, or piece of the blank; -1: of neither */
    int part_kind;  /* BlyPartKind of BLY_IN_WEIGHED and BLY_IN_PIECE_MASS, else -1 */
    double value;   /* SI; deg C for the first water's temperature */
    double give;    /* > 0 */
} BlyInput;
/* "body density", "coat thickness"; and what the maker can do: "weigh the blank". Never NULL. */
const char *bly_input_words(BlyInputKind kind);
const char *bly_input_advice(BlyInputKind kind);

enum { BLY_INPUT_NAME_MAX = 128 };
/* The name by which the build's ties speak of an input; "" where they cannot. */
void bly_input_name(const BlyBuild *build, const BlyInput *input, char out[BLY_INPUT_NAME_MAX]);

enum { BLY_INPUTS_MAX = 64 };

/* All inputs of a build with a rig whose give is above 0, the body's first, then coats, pieces of
 * the blank, parts seat by seat, drag, water; at most BLY_INPUTS_MAX, else BLY_E_RANGE. A hook that
 * was not weighed has besides its catalog's give +-5 % from piece to piece (docs/uncertain.md). */
bool bly_inputs_list(const BlyBuild *build, const BlyRig *rig, const BlyWaterFacts *water,
                     BlyInput out[BLY_INPUTS_MAX], size_t *count, BlyError *err) BLY_MUST_CHECK;

BLY_API_END

#endif
