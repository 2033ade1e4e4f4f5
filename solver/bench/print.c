/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sheet as a file, drawn as `ballastry sheet` draws it, or the body as triangles. */
#include "bench/route.h"
#include "desk/desk.h"
#include "picture/picture.h"

/* In the order of BlyPictureKind, and the body behind them. */
enum { FORMATS = 4, FORMAT_STL = 3 };
static const char *const formats[FORMATS] = {"svg", "pdf", "png", "stl"};
static const char *const types[FORMATS] = {"image/svg+xml", "application/pdf", "image/png",
                                           "model/stl"};

typedef struct Asked {
    BlySheetOrder order;
    size_t format;
    size_t page;   /* from 0 */
    BlyJson after; /* no node: nothing is compared */
} Asked;

static bool read_look(const BlyJson *in, BlySystem system, Asked *out, BlyError *err) {
    const char *view = NULL, *paper = NULL;
    out->order = (BlySheetOrder){.system = system};
    out->order.paper = system == BLY_INCH ? BLY_PAPER_LETTER : BLY_PAPER_A4;
    if (!route_text_maybe(in, "view", &view, err) || !route_text_maybe(in, "paper", &paper, err))
        return false;
    if (paper != NULL && !bly_paper_read(paper, &out->order.paper))
        return bly_fail(err, BLY_E_UNKNOWN, "/paper", "should be a4 or letter");
    if (view != NULL && !bly_sheet_view_read(view, &out->order.view))
        return bly_fail(err, BLY_E_UNKNOWN, "/view",
                        "should be page, side, outlines, curves, chance, tow or influence");
    return true;
}

static bool read_asked(const BlyJson *in, BlySystem system, Asked *out, BlyError *err) {
    enum { PAGES_MOST = 1000 };
    BlyJson format = bly_json_member(in, "format"), number = bly_json_member(in, "number");
    size_t which = BLY_PICTURE_PDF;
    int64_t page = 1;
    if (!read_look(in, system, out, err) ||
        (format.node != NULL && !bly_json_word(&format, formats, FORMATS, &which, err)) ||
        (number.node != NULL && !bly_json_integer(&number, 1, PAGES_MOST, &page, err)))
        return false;
    out->format = which;
    out->page = (size_t)(page - 1);
    out->after = bly_json_member(in, "after");
    return true;
}

static bool draw(const Bench *bench, const BlyBuild *build, const Asked *asked, SheetWork *out,
                 BlyError *err) {
    BlyRig rig = {0};
    bool both = asked->after.node != NULL && bly_json_count(&asked->after) > 0;
    bool good = (!both || route_rig(bench, build, &asked->after, &rig, err)) &&
                sheet_work(build, bench->catalog, both ? &rig : NULL, &asked->order, out, err);
    bly_rig_release(&rig);
    return good;
}

/* A PDF holds all pages, of the others each is a file of its own. */
static bool draw_pages(const Bench *bench, const BlyBuild *build, const Asked *asked,
                       BenchReply *reply, BlyError *err) {
    SheetWork work = {0};
    const BlySheet *sheet = &work.sheet;
    BlyPictureKind kind = (BlyPictureKind)asked->format;
    bool good = draw(bench, build, asked, &work, err);
    if (good && asked->page >= sheet->count)
        good = bly_fail(err, BLY_E_RANGE, "/number", "there are %zu pages", sheet->count);
    size_t first = kind == BLY_PICTURE_PDF ? 0 : asked->page;
    (void)pthread_mutex_lock(&bench->locks->picture);
    good = good && bly_picture_bytes(sheet, first, kind, &reply->bytes, &reply->size, err);
    (void)pthread_mutex_unlock(&bench->locks->picture);
    reply->pages = sheet->count;
    sheet_work_release(&work);
    return good;
}

static bool print_solid(const Bench *bench, const BlyBuild *build, const Asked *asked,
                        BenchReply *reply, BlyError *err) {
    const PrintOrder order = print_order();
    PrintedBody printed = {0};
    BlyRig rig = {0};
    bool good = (asked->after.node != NULL ? route_rig(bench, build, &asked->after, &rig, err)
                                           : bly_rig_copy(&rig, &build->fitted, err)) &&
                print_body(build, &rig, &order, &printed, err);
    if (good) {
        reply->bytes = printed.bytes;
        reply->size = printed.size;
        printed.bytes = NULL;
    }
    print_body_release(&printed);
    bly_rig_release(&rig);
    return good;
}

bool route_sheet(const Bench *bench, const BlyJson *in, BenchReply *reply, BlyError *err) {
    Asked asked = {.page = 0};
    BlyBuild *build;
    if (!read_asked(in, bench->system, &asked, err) || !route_build(bench, in, &build, err))
        return false;
    *reply = (BenchReply){.status = 200, .type = types[asked.format]};
    bool good = asked.format == FORMAT_STL ? print_solid(bench, build, &asked, reply, err)
                                           : draw_pages(bench, build, &asked, reply, err);
    bly_build_free(build);
    return good;
}
