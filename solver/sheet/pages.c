/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sheet/pages.h"

#include <stdlib.h>

Canvas *pages_add(Pages *pages, double width, double height, const char *title) {
    if (pages->count == pages->room) {
        size_t room = pages->room == 0 ? 4 : 2 * pages->room;
        Canvas *grown = realloc(pages->at, room * sizeof *grown);
        if (grown == NULL) {
            pages->failed = true;
            return NULL;
        }
        pages->at = grown;
        pages->room = room;
    }
    if (pages->count > 0)
        canvas_close(&pages->at[pages->count - 1]);
    Canvas *canvas = &pages->at[pages->count++];
    canvas_open(canvas, width, height, title);
    return canvas;
}

static bool hand_over(Canvas *canvas, BlySheetPage *page, BlyError *err) {
    if (!canvas_good(canvas, err))
        return false;
    size_t size = canvas->svg.length;
    *page = (BlySheetPage){.size = size,
                           .width_mm = canvas->width,
                           .height_mm = canvas->height,
                           .texts = calloc(canvas->text_count + 1, sizeof *page->texts),
                           .text_count = canvas->text_count};
    page->svg = bly_text_detach(&canvas->svg);
    if (page->texts == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the sheet");
    for (size_t i = 0; i < canvas->text_count; i++) {
        const Box *box = &canvas->texts[i];
        page->texts[i] = (BlySheetText){box->x, box->y, box->w, box->h};
    }
    return true;
}

bool pages_finish(Pages *pages, BlySheet *out, BlyError *err) {
    *out = (BlySheet){.pages = calloc(pages->count + 1, sizeof *out->pages)};
    bool good = (out->pages != NULL && !pages->failed) ||
                bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the sheet");
    if (pages->count > 0)
        canvas_close(&pages->at[pages->count - 1]);
    for (size_t i = 0; good && i < pages->count; i++) {
        good = hand_over(&pages->at[i], &out->pages[i], err);
        out->count++;
    }
    for (size_t i = 0; i < pages->count; i++)
        canvas_release(&pages->at[i]);
    free(pages->at);
    *pages = (Pages){0};
    if (!good)
        bly_sheet_release(out);
    return good;
}

void bly_sheet_release(BlySheet *sheet) {
    for (size_t i = 0; i < sheet->count; i++) {
        free(sheet->pages[i].svg);
        free(sheet->pages[i].texts);
    }
    free(sheet->pages);
    *sheet = (BlySheet){0};
}
