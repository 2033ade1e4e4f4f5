/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sheet as a file, drawn as `ballastry sheet` draws it. */
#include "bench/route.h"
#include "picture/picture.h"

static const char *const formats[] = {"svg", "pdf", "png"}; /* in the order of BlyPictureKind */
static const char *const types[] = {"image/svg+xml", "application/pdf", "image/png"};

typedef struct Asked {
    BlySheetOrder order;
    BlyPictureKind kind;
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
                        "should be page, side, outlines, curves, chance or influence");
    return true;
}

static bool read_asked(const BlyJson *in, BlySystem system, Asked *out, BlyError *err) {
    enum { PAGES_MOST = 1000 };
    BlyJson format = bly_json_member(in, "format"), number = bly_json_member(in, "number");
    size_t which = BLY_PICTURE_PDF;
    long page = 1;
    if (!read_look(in, system, out, err) ||
        (format.node != NULL && !bly_json_word(&format, formats, 3, &which, err)) ||
        (number.node != NULL && !bly_json_integer(&number, 1, PAGES_MOST, &page, err)))
        return false;
    out->kind = (BlyPictureKind)which;
    out->page = (size_t)(page - 1);
    out->after = bly_json_member(in, "after");
    return true;
}

static bool draw(const Bench *bench, const BlyBuild *build, const Asked *asked, BlySheet *sheet,
                 BlyError *err) {
    BlySheetFacts now = {0}, later = {0};
    BlyRig rig = {0};
    bool both = asked->after.node != NULL && bly_json_count(&asked->after) > 0;
    bool good = bly_sheet_gather(build, &bench->catalog, &build->fitted, &now, err) &&
                (!both || (route_rig(bench, build, &asked->after, &rig, err) &&
                           bly_sheet_gather(build, &bench->catalog, &rig, &later, err))) &&
                bly_sheet_draw(&now, both ? &later : NULL, &asked->order, sheet, err);
    bly_sheet_facts_release(&now);
    bly_sheet_facts_release(&later);
    bly_rig_release(&rig);
    return good;
}

/* A PDF holds all pages, of the others each is a file of its own. */
bool route_sheet(const Bench *bench, const BlyJson *in, BenchReply *reply, BlyError *err) {
    Asked asked = {.page = 0};
    BlyBuild *build;
    BlySheet sheet = {0};
    if (!read_asked(in, bench->system, &asked, err) || !route_build(bench, in, &build, err))
        return false;
    size_t first = asked.kind == BLY_PICTURE_PDF ? 0 : asked.page;
    *reply = (BenchReply){.status = 200, .type = types[asked.kind]};
    bool good = draw(bench, build, &asked, &sheet, err);
    if (good && asked.page >= sheet.count)
        good = bly_fail(err, BLY_E_RANGE, "/number", "there are %zu pages", sheet.count);
    (void)pthread_mutex_lock(&bench->locks->picture);
    good = good && bly_picture_bytes(&sheet, first, asked.kind, &reply->bytes, &reply->size, err);
    (void)pthread_mutex_unlock(&bench->locks->picture);
    reply->pages = sheet.count;
    bly_sheet_release(&sheet);
    bly_build_free(build);
    return good;
}
