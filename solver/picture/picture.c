/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "picture/picture.h"

#include <cairo-pdf.h>
#include <librsvg/rsvg.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "files/files.h"
#include "picture/apart.h"
#include "picture/whole.h"

static const double points_per_mm = 72 / 25.4;

bool bly_picture_kind(const char *file, BlyPictureKind *out) {
    static const char *const endings[] = {".svg", ".pdf", ".png"};
    size_t length = strlen(file);
    for (int i = 0; i < 3; i++) {
        if (length > 4 && strcasecmp(file + length - 4, endings[i]) == 0) {
            *out = (BlyPictureKind)i;
            return true;
        }
    }
    return false;
}

char *bly_picture_file(const char *file, size_t number) {
    BlyText name = {0};
    size_t length = strlen(file), stem = length > 4 ? length - 4 : length;
    bly_text_append_bytes(&name, file, stem);
    if (number > 0)
        bly_text_appendf(&name, "-%zu", number + 1);
    bly_text_append(&name, file + stem);
    return bly_text_detach(&name);
}

static cairo_status_t collect(void *user, const unsigned char *bytes, unsigned length) {
    BlyText *text = user;
    bly_text_append_bytes(text, (const char *)bytes, length);
    return text->failed ? CAIRO_STATUS_NO_MEMORY : CAIRO_STATUS_SUCCESS;
}

static bool render(cairo_t *cairo, const BlySheetPage *page, double width, double height,
                   BlyError *err) {
    GError *fault = NULL;
    RsvgRectangle whole = {0, 0, width, height};
    RsvgHandle *svg = rsvg_handle_new_from_data((const guint8 *)page->svg, page->size, &fault);
    bool good = svg != NULL && rsvg_handle_render_document(svg, cairo, &whole, &fault);
    if (!good)
        bly_fail(err, BLY_E_INTERNAL, NULL, "the drawing could not be turned into a picture: %s",
                 fault != NULL ? fault->message : "no reason given");
    g_clear_error(&fault);
    g_clear_object(&svg);
    return good;
}

static bool cairo_good(cairo_status_t status, BlyError *err) {
    return status == CAIRO_STATUS_SUCCESS ||
           bly_fail(err, BLY_E_INTERNAL, NULL, "the picture failed: %s",
                    cairo_status_to_string(status));
}

/* No date goes in, so that the same drawing gives the same file. Version 1.4 has its table of
 * objects in plain text (picture/whole.h). */
static bool to_pdf(const BlySheet *sheet, size_t first, BlyText *out, BlyError *err) {
    const BlySheetPage *page = &sheet->pages[first];
    cairo_surface_t *surface = cairo_pdf_surface_create_for_stream(
        collect, out, page->width_mm * points_per_mm, page->height_mm * points_per_mm);
    cairo_pdf_surface_restrict_to_version(surface, CAIRO_PDF_VERSION_1_4);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, NULL);
    cairo_t *cairo = cairo_create(surface);
    bool good = true;
    for (size_t i = first; good && i < sheet->count; i++) {
        page = &sheet->pages[i];
        double width = page->width_mm * points_per_mm, height = page->height_mm * points_per_mm;
        cairo_pdf_surface_set_size(surface, width, height);
        good = cairo_good(cairo_status(cairo), err) && render(cairo, page, width, height, err);
        cairo_show_page(cairo);
    }
    cairo_status_t status = cairo_status(cairo);
    cairo_destroy(cairo);
    cairo_surface_finish(surface);
    good = good && cairo_good(status, err) && cairo_good(cairo_surface_status(surface), err);
    cairo_surface_destroy(surface);
    return good;
}

static bool to_png(const BlySheet *sheet, size_t first, BlyText *out, BlyError *err) {
    const BlySheetPage *page = &sheet->pages[first];
    double width = ceil(page->width_mm / 25.4 * BLY_PICTURE_DPI - 1e-6);
    double height = ceil(page->height_mm / 25.4 * BLY_PICTURE_DPI - 1e-6);
    cairo_surface_t *surface =
        cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)width, (int)height);
    cairo_t *cairo = cairo_create(surface);
    cairo_set_source_rgb(cairo, 1, 1, 1);
    cairo_paint(cairo);
    double scale = BLY_PICTURE_DPI / 25.4;
    bool good = render(cairo, page, page->width_mm * scale, page->height_mm * scale, err) &&
                cairo_good(cairo_status(cairo), err);
    cairo_destroy(cairo);
    good = good && cairo_good(cairo_surface_write_to_png_stream(surface, collect, out), err);
    cairo_surface_destroy(surface);
    return good;
}

/* A sanitizer's allocator may be locked by another thread at a fork, and stays so in the child. */
#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
#define FORK_IS_SAFE false
#elif defined(__has_feature)
#if __has_feature(address_sanitizer) || __has_feature(thread_sanitizer)
#define FORK_IS_SAFE false
#endif
#endif
#ifndef FORK_IS_SAFE
#define FORK_IS_SAFE true
#endif

static bool is_whole(BlyPictureKind kind, const BlyText *out, BlyError *err) {
    const char *bytes = bly_text_string(out);
    bool whole = kind == BLY_PICTURE_PDF   ? picture_pdf_whole(bytes, out->length)
                 : kind == BLY_PICTURE_PNG ? picture_png_whole(bytes, out->length)
                                           : true;
    return whole || bly_fail(err, BLY_E_INTERNAL, NULL,
                             "the picture did not come out whole; is there memory left?");
}

bool bly_picture_bytes(const BlySheet *sheet, size_t first, BlyPictureKind kind, char **bytes,
                       size_t *size, BlyError *err) {
    PictureDraw draw = kind == BLY_PICTURE_PDF ? to_pdf : to_png;
    BlyText out = {0};
    bool good = first < sheet->count || bly_fail(err, BLY_E_INTERNAL, NULL, "no such page");
    if (good && kind == BLY_PICTURE_SVG)
        bly_text_append_bytes(&out, sheet->pages[first].svg, sheet->pages[first].size);
    else if (good)
        good = (FORK_IS_SAFE ? picture_apart(draw, sheet, first, &out, err)
                             : draw(sheet, first, &out, err));
    good = good && bly_text_good(&out, err) && is_whole(kind, &out, err);
    if (!good) {
        bly_text_release(&out);
        return false;
    }
    *size = out.length;
    *bytes = bly_text_detach(&out);
    return true;
}

typedef struct Picture {
    char *name, *bytes; /* owned */
    size_t size;
} Picture;

static bool render_one(const BlySheet *sheet, size_t page, BlyPictureKind kind, const char *file,
                       Picture *out, BlyError *err) {
    out->name = bly_picture_file(file, page);
    return (out->name != NULL || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a name")) &&
           bly_picture_bytes(sheet, page, kind, &out->bytes, &out->size, err);
}

/* All are drawn before the first is written. */
bool bly_picture_write(const BlySheet *sheet, const char *file, size_t *files, BlyError *err) {
    BlyPictureKind kind;
    if (!bly_picture_kind(file, &kind))
        return bly_fail(err, BLY_E_UNKNOWN, file, "should end in .svg, .pdf or .png");
    size_t count = kind == BLY_PICTURE_PDF ? 1 : sheet->count;
    Picture *pictures = calloc(count + 1, sizeof *pictures);
    bool good = pictures != NULL || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the pictures");
    for (size_t i = 0; good && i < count; i++)
        good = render_one(sheet, i, kind, file, &pictures[i], err);
    for (size_t i = 0; good && i < count; i++)
        good = bly_file_write(pictures[i].name, pictures[i].bytes, pictures[i].size,
                              BLY_KEEP_NOTHING, err);
    for (size_t i = 0; pictures != NULL && i < count; i++) {
        free(pictures[i].name);
        free(pictures[i].bytes);
    }
    free(pictures);
    if (good && files != NULL)
        *files = count;
    return good;
}
