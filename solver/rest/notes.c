/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to say beside a result. */
#include "ballastry/rest.h"

static const struct {
    BlyNote note;
    const char *words;
} table[] = {
    {BLY_NOTE_BODY_DRAG_RANGE,
     "no drag was measured for such a shape and speed: the speed is rough"},
    {BLY_NOTE_WIRE_DRAG_RANGE, "the drag of hook wire was not measured at this speed"},
    {BLY_NOTE_PLATE_DRAG_RANGE, "the lip's drag was not measured so slow or at so flat an angle"},
    {BLY_NOTE_NO_REST, "nothing turns it one way or the other: it stays as it is put"},
    {BLY_NOTE_MANY_RESTS, "it can rest at more than one tilt; this is the one it takes from level"},
    {BLY_NOTE_UPSIDE_DOWN, "under water it rests on its back: it is top-heavy"},
    {BLY_NOTE_ROLL_UNSTABLE, "under water it rolls over: its weight lies above its buoyancy"},
    {BLY_NOTE_ROLL_NEUTRAL, "under water nothing keeps it upright: weight as high as its buoyancy"},
    {BLY_NOTE_FILM, "surface tension may hold it up: do not trust how it lies at the surface"},
    {BLY_NOTE_EXPANSION_UNKNOWN, "how much the body swells with warmth is unknown and left out"},
    {BLY_NOTE_EXPANSION_MEMORY, "how much the body swells with warmth is a figure from memory"},
    {BLY_NOTE_HOOKS_TOUCH, "two hooks hang so close that they can tangle"},
    {BLY_NOTE_FAST_RISE, "a light body zigzags as it rises: it may be 30 % slower"},
};

const char *bly_note_words(BlyNote note) {
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        if (table[i].note == note)
            return table[i].words;
    }
    return "a note without words";
}
