/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Drawing in a process of its own.
 *
 * The libraries that draw (librsvg, pango, fontconfig, GLib) end the whole process where they get
 * no memory, from threads of theirs too. So they run in a process forked for one file, whose bytes
 * come back through a pipe and count only when it says that it has finished. */
#ifndef BALLASTRY_PICTURE_APART_H
#define BALLASTRY_PICTURE_APART_H

#include "sheet/sheet.h"
#include "text/text.h"

/* What is run there; may write to no file, and what it changes besides *out and *err is lost. */
typedef bool (*PictureDraw)(const BlySheet *sheet, size_t first, BlyText *out, BlyError *err);

/* Appends to *out what `draw` made of it. BLY_E_INTERNAL where the process died or took more than
 * 20 s of the processor, or a minute in all. Other threads of the caller's do no harm: the C
 * library's locks are free in the new process, and who draws, draws there. */
bool picture_apart(PictureDraw draw, const BlySheet *sheet, size_t first, BlyText *out,
                   BlyError *err) BLY_MUST_CHECK;

#endif
