/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Templates to cut out at life size: each lip with the line of the slot's depth and a middle line
 * to fold along, each strip flat. */
#include "sheet/flow.h"
#include "text/format.h"

#include <math.h>

static const double mm = 1e3, air = 3, caption = 4; /* mm of paper */
enum { OUTLINE_POINTS = 60 };

typedef struct Template {
    int seat;
    double width, length;   /* m */
    const BlyPart *outline; /* NULL: a strip */
    double depth;
} Template;

static bool template_of(const BlySheetFacts *facts, int seat, Template *out) {
    const BlyChoice *choice = &facts->rig->at[seat];
    const BlyPart *strip = choice->of[BLY_PART_STRIP].part;
    *out = (Template){.seat = seat, .length = choice->length};
    out->outline = choice->of[BLY_PART_OUTLINE].part;
    if (out->outline != NULL) {
        out->depth = facts->build->seats[seat].depth;
        for (int i = 0; i <= 200; i++)
            out->width = fmax(out->width, 2 * bly_outline_half_width(out->outline, out->length,
                                                                     out->length * i / 200));
    } else if (strip != NULL) {
        out->width = strip->width;
    }
    return out->width > 0 && out->length > 0;
}

static double half_at(const Template *t, double s) {
    if (t->outline == NULL)
        return 0.5 * t->width;
    double half = bly_outline_half_width(t->outline, t->length, s);
    return isfinite(half) ? half : 0;
}

/* Drawn with the slot end at the left. */
static void draw_template(Canvas *canvas, const Template *t, double x, double y) {
    Pt points[2 * (OUTLINE_POINTS + 1)];
    double middle = y + 0.5 * mm * t->width, length = mm * t->length;
    for (int i = 0; i <= OUTLINE_POINTS; i++) {
        double share = 0.5 - 0.5 * cos(3.14159265358979323846 * i / OUTLINE_POINTS);
        double half = mm * half_at(t, share * t->length);
        points[i] = (Pt){x + share * length, middle - half};
        points[2 * OUTLINE_POINTS + 1 - i] = (Pt){x + share * length, middle + half};
    }
    canvas_path(canvas, "cut", 0, points, 2 * (OUTLINE_POINTS + 1), true);
    canvas_line(canvas, "axis", 0, (Pt){x - 2, middle}, (Pt){x + length + 2, middle});
    if (t->outline != NULL) {
        double at = x + mm * t->depth, half = mm * half_at(t, t->depth) + 2;
        canvas_line(canvas, "weak", 0, (Pt){at, middle - half}, (Pt){at, middle + half});
    }
}

static void describe(const Flow *flow, const Template *t, char text[256]) {
    const BlySheetFacts *facts = flow->shown;
    const BlyChoice *choice = &facts->rig->at[t->seat];
    char name[64], brief[8];
    seat_words(facts, t->seat, name, brief);
    if (t->outline != NULL)
        (void)bly_format(text, 256,
                         "%.40s: %.60s, %.1f x %.1f mm, dashed: slot's depth %.1f mm (left "
                         "end goes in)",
                         name, choice->of[BLY_PART_SHEET].part->id, mm * t->length, mm * t->width,
                         mm * t->depth);
    else
        (void)bly_format(text, 256, "%.40s: %.60s, %.1f x %.1f mm, %d layer%s", name,
                         choice->of[BLY_PART_STRIP].part->id, mm * t->length, mm * t->width,
                         choice->count, choice->count == 1 ? "" : "s");
}

static void put_template(Flow *flow, const Template *t, bool *headed) {
    double high = mm * t->width + caption + 2 * air + 2, width = flow->right - flow->left;
    char text[256];
    describe(flow, t, text);
    bool fits = mm * t->length + 8 <= width && high + 20 < flow->bottom - flow->top;
    double need = fits ? high : caption + air;
    if (!*headed && !flow_heading(flow, "To cut out, life size", need))
        return;
    *headed = true;
    if (!flow_need(flow, need))
        return;
    (void)canvas_text(flow->canvas, TEXT_SMALL, ANCHOR_START, (Pt){flow->left, flow->y + 3}, width,
                      text);
    if (fits)
        draw_template(flow->canvas, t, flow->left + 4, flow->y + caption + air);
    else
        (void)canvas_text(flow->canvas, TEXT_SMALL, ANCHOR_START,
                          (Pt){flow->left + 4, flow->y + 3 + caption}, width - 4,
                          "too large for this paper; mark it out by the sizes");
    flow->y += need;
}

void block_templates(Flow *flow) {
    bool headed = false;
    for (int s = 0; s < (int)flow->shown->build->seat_count; s++) {
        Template t;
        if (template_of(flow->shown, s, &t))
            put_template(flow, &t, &headed);
    }
}
