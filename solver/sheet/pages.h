/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A document under construction: pages that are opened one after the other. */
#ifndef BALLASTRY_SHEET_PAGES_H
#define BALLASTRY_SHEET_PAGES_H

#include "sheet/panel.h"

typedef struct Pages {
    Canvas *at; /* owned; the last one is open */
    size_t count, room;
    bool failed;
} Pages;

/* Closes the page before it. NULL without memory. Pointers to earlier pages are then stale. */
Canvas *pages_add(Pages *pages, double width, double height, const char *title);
/* Hands the finished pages over; the builder is empty afterwards, whatever happens. */
bool pages_finish(Pages *pages, BlySheet *out, BlyError *err) BLY_MUST_CHECK;

/* The bench sheet. */
void flow_draw(Pages *pages, const BlySheetFacts *facts, const BlySheetFacts *after,
               const BlySheetOrder *order);

#endif
