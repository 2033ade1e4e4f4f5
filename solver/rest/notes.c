/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to say beside a result. */
#include "ballastry/rest.h"

static const struct {
    BlyNote note;
    const char *words;
} table[] = {
    {BLY_NOTE_BODY_DRAG_RANGE, "The body's drag was not measured for such a shape and speed; take "
                               "the speed as rough."},
    {BLY_NOTE_WIRE_DRAG_RANGE, "The drag of hook wire was not measured at this speed."},
    {BLY_NOTE_PLATE_DRAG_RANGE, "The lip's drag was not measured at so slow a speed or so flat an "
                                "angle."},
    {BLY_NOTE_NO_REST, "Nothing turns this lure one way or the other: it stays as it is put."},
    {BLY_NOTE_MANY_RESTS, "It can come to rest in more than one attitude; the one given is where "
                          "it turns from level."},
    {BLY_NOTE_UPSIDE_DOWN, "It rests on its back: there is more weight above the middle than "
                           "below."},
    {BLY_NOTE_ROLL_UNSTABLE, "It rolls over: its weight lies above its buoyancy."},
    {BLY_NOTE_ROLL_NEUTRAL, "Nothing holds it upright: weight and buoyancy lie at the same "
                            "height."},
    {BLY_NOTE_FILM, "The water's skin can carry as much as this lure floats by: how it lies at the "
                    "surface is not to be trusted."},
    {BLY_NOTE_EXPANSION_UNKNOWN, "How the body swells with warmth is not known and is left out."},
    {BLY_NOTE_EXPANSION_MEMORY, "How the body swells with warmth is a figure from memory."},
    {BLY_NOTE_HOOKS_TOUCH, "Two hooks hang so near that they can catch each other."},
    {BLY_NOTE_FAST_RISE, "A light body zigzags as it rises: expect down to 0.7 of this speed."},
};

const char *bly_note_words(BlyNote note) {
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        if (table[i].note == note)
            return table[i].words;
    }
    return "A note without words.";
}
