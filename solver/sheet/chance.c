/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How sure it is: for drift, angle and what shows, how far 90 of 100 such lures spread in each
 * water, against the target's band; and beside it what makes them spread. */
#include "sheet/panel.h"
#include "sheet/plot.h"

#include <stdio.h>
#include <gsl/gsl_math.h>

static const double air = 3, line = 4.4, title = 4.6, numbers = 4.6, gap = 6; /* mm */
static const double names = 14, left_share = 0.5;
enum { INPUTS_SHOWN = 5, INPUT_TEXT = 128 };

/* One quantity: its ranges, water by water, and what the target wants. */
typedef struct Strip {
    BlyQuantity quantity;
    const char *title;
    double factor;              /* from SI to what the axis shows */
    double want_low, want_high; /* shown; infinite: open */
    double low, high;           /* ends of the axis */
    double least;               /* span below which a range is a point to a maker */
} Strip;

static const BlySheetFacts *facts_of(const Panel *panel) {
    return panel->after != NULL ? panel->after : panel->facts;
}

static const BlySpread *spread_of(const Panel *panel) {
    const BlySheetFacts *facts = facts_of(panel);
    return &facts->spread[facts->spread_count - 1];
}

static bool is_known(const BlyRange *range) {
    return isfinite(range->low) && isfinite(range->high);
}

static size_t known_waters(const BlySpread *spread, BlyQuantity quantity) {
    size_t known = 0;
    for (size_t w = 0; w < spread->water_count; w++)
        known += is_known(&spread->water[w].range[quantity]);
    return known;
}

/* An edge of the band joins the axis where that does not press the ranges flat. */
static void set_axis(Strip *strip, const BlySpread *spread) {
    strip->low = INFINITY;
    strip->high = -INFINITY;
    for (size_t w = 0; w < spread->water_count; w++) {
        const BlyRange *range = &spread->water[w].range[strip->quantity];
        if (!is_known(range))
            continue;
        strip->low = fmin(strip->low, strip->factor * range->low);
        strip->high = fmax(strip->high, strip->factor * range->high);
    }
    double spare = 0.5 * fmax(strip->least - (strip->high - strip->low), 0);
    strip->low -= spare;
    strip->high += spare;
    double reach = 3 * (strip->high - strip->low);
    const double edges[2] = {strip->want_low, strip->want_high};
    for (int i = 0; i < 2; i++) {
        if (isfinite(edges[i]) && edges[i] > strip->low - reach && edges[i] < strip->high + reach) {
            strip->low = fmin(strip->low, edges[i]);
            strip->high = fmax(strip->high, edges[i]);
        }
    }
    double margin = 0.06 * (strip->high - strip->low);
    strip->low -= margin;
    strip->high += margin;
}

/* Of which kind the angles are: one a line, so of all lines where they agree. */
static const char *angle_title(const BlySpread *spread) {
    size_t afloat = 0, known = 0;
    for (size_t w = 0; w < spread->water_count; w++) {
        known += is_known(&spread->water[w].range[BLY_Q_NOSE_DOWN]);
        afloat += is_known(&spread->water[w].range[BLY_Q_NOSE_DOWN]) && spread->water[w].afloat;
    }
    return afloat == 0       ? "nose-down under water, deg"
           : afloat == known ? "nose-down afloat, deg"
                             : "nose-down, deg: afloat where it floats";
}

static Strip strip_of(const Panel *panel, BlyQuantity quantity) {
    const BlyBuild *build = panel->facts->build;
    const BlyTarget *t = &build->target;
    bool inch = panel->system == BLY_INCH;
    Strip strip = {.quantity = quantity, .want_low = -INFINITY, .want_high = INFINITY};
    if (quantity == BLY_Q_DRIFT) {
        strip.title = inch ? "speed, in/s (+ sinking)" : "speed, cm/s (+ sinking)";
        strip.factor = inch ? 1 / 0.0254 : 100;
        strip.least = 0.5;
    } else if (quantity == BLY_Q_NOSE_DOWN) {
        strip.title = angle_title(spread_of(panel));
        strip.factor = 180 / M_PI;
        strip.least = 2;
    } else {
        strip.title = "part above water, %";
        strip.factor = 100;
        strip.least = 1;
    }
    if (build->has_target) {
        const double low[] = {[BLY_Q_DRIFT] = t->drift_low,
                              [BLY_Q_NOSE_DOWN] = t->nose_low,
                              [BLY_Q_SHOWS] = t->shows_low};
        const double high[] = {[BLY_Q_DRIFT] = t->drift_high,
                               [BLY_Q_NOSE_DOWN] = t->nose_high,
                               [BLY_Q_SHOWS] = t->shows_high};
        strip.want_low = strip.factor * low[quantity];
        strip.want_high = strip.factor * high[quantity];
    }
    set_axis(&strip, spread_of(panel));
    return strip;
}

static double strip_height(const BlySpread *spread) {
    return title + line * (double)spread->water_count + numbers;
}

static double strips_height(const BlySpread *spread) {
    double high = 0;
    for (int q = BLY_Q_DRIFT; q < BLY_QUANTITIES; q++)
        high += known_waters(spread, (BlyQuantity)q) > 0 ? strip_height(spread) : 0;
    return high;
}

double chance_height(const Panel *panel, double width) {
    (void)width;
    double inputs = line * (INPUTS_SHOWN + 2);
    return 2 * air + line + fmax(strips_height(spread_of(panel)), inputs);
}

static double across(const Strip *strip, const Box *frame, double shown) {
    double share = (shown - strip->low) / (strip->high - strip->low);
    return frame->x + frame->w * fmin(fmax(share, 0), 1);
}

static void draw_axis(Canvas *canvas, const Strip *strip, const Box *frame) {
    double step = plot_step(strip->high - strip->low, 5), free_from = -INFINITY;
    for (int i = 0; i < 12; i++) {
        double value = (ceil(strip->low / step - 1e-9) + i) * step;
        if (value > strip->high + 1e-9 * step)
            break;
        char text[32];
        double x = across(strip, frame, value);
        plot_number(value, step, text);
        double half = 0.5 * text_width(TEXT_SMALL, text);
        canvas_line(canvas, "fine", 0, (Pt){x, frame->y}, (Pt){x, frame->y + frame->h});
        if (x - half < free_from)
            continue;
        (void)canvas_text(canvas, TEXT_SMALL, ANCHOR_MIDDLE, (Pt){x, frame->y + frame->h + 2.8}, 0,
                          text);
        free_from = x + half + 1;
    }
}

/* What the target wants is grey, from edge to edge or to the end of the axis. */
static void draw_wanted(Canvas *canvas, const Strip *strip, const Box *frame) {
    if (!isfinite(strip->want_low) && !isfinite(strip->want_high))
        return;
    double from = across(strip, frame, fmax(strip->want_low, strip->low));
    double to = across(strip, frame, fmin(strip->want_high, strip->high));
    if (to > from)
        canvas_rect(canvas, "band", (Box){from, frame->y, to - from, frame->h});
}

static void draw_range(Canvas *canvas, const Strip *strip, const Box *frame, const BlyRange *range,
                       double y) {
    double low = across(strip, frame, strip->factor * range->low);
    double high = across(strip, frame, strip->factor * range->high);
    canvas_line(canvas, "rule", 0.6, (Pt){low, y}, (Pt){high, y});
    canvas_line(canvas, "rule", 0.3, (Pt){low, y - 1.1}, (Pt){low, y + 1.1});
    canvas_line(canvas, "rule", 0.3, (Pt){high, y - 1.1}, (Pt){high, y + 1.1});
    double nominal = strip->factor * range->nominal;
    if (nominal >= strip->low && nominal <= strip->high)
        canvas_circle(canvas, "mark", (Pt){across(strip, frame, nominal), y}, 1.1);
}

static void draw_strip(const Panel *panel, BlyQuantity quantity, double top, double width) {
    const BlySpread *spread = spread_of(panel);
    Canvas *canvas = panel->canvas;
    Strip strip = strip_of(panel, quantity);
    Box frame = {panel->box.x + air + names, top + title, width - names,
                 line * (double)spread->water_count};
    (void)canvas_text(canvas, TEXT_SMALL, ANCHOR_START, (Pt){frame.x, frame.y - 1.3}, frame.w,
                      strip.title);
    draw_wanted(canvas, &strip, &frame);
    draw_axis(canvas, &strip, &frame);
    canvas_rect(canvas, "frame", frame);
    for (size_t w = 0; w < spread->water_count; w++) {
        char water[BLY_QUANTITY_MAX];
        double y = frame.y + line * ((double)w + 0.5);
        bly_quantity_show(spread->water[w].water.temperature, BLY_DIM_TEMPERATURE, panel->system,
                          -1, water);
        (void)canvas_text(canvas, TEXT_SMALL, ANCHOR_END, (Pt){frame.x - 1.5, y + 0.8}, names - 1.5,
                          water);
        if (is_known(&spread->water[w].range[quantity]))
            draw_range(canvas, &strip, &frame, &spread->water[w].range[quantity], y);
    }
}

static void input_words(const BlySheetFacts *facts, const BlyInput *input, double share,
                        char out[2 * INPUT_TEXT]) {
    char what[INPUT_TEXT];
    (void)snprintf(what, sizeof what, "%.48s%s%.40s", bly_input_words(input->kind),
                   input->id[0] != '\0' ? ", " : "", input->id);
    (void)snprintf(out, 2 * INPUT_TEXT, "%.0f %% %s%s%.32s", in_100(share), what,
                   input->seat >= 0 ? " at " : "",
                   input->seat >= 0 ? facts->build->seats[input->seat].name : "");
}

/* The inputs by their share of the variance, each bar as long as its share. */
static void draw_inputs(const Panel *panel, double x, double top, double width) {
    static const char *const of[BLY_QUANTITIES] = {"weight in water", "speed", "tilt",
                                                   "part above water"};
    const BlySpread *spread = spread_of(panel);
    const double *share = spread->share[spread->matters];
    const double bar = 16, most = spread->input_count > 0 ? share[spread->order[0]] : 1;
    char text[2 * INPUT_TEXT];
    if (spread->input_count == 0 || !(most > 0))
        return;
    (void)snprintf(text, sizeof text, "what makes the %s uncertain", of[spread->matters]);
    (void)canvas_text(panel->canvas, TEXT_SMALL, ANCHOR_START, (Pt){x, top + 3}, width, text);
    for (size_t k = 0; k < spread->input_count && k < INPUTS_SHOWN; k++) {
        size_t i = spread->order[k];
        double y = top + line * (double)(k + 1);
        if (share[i] < 0.005)
            break;
        canvas_rect(panel->canvas, "ink", (Box){x, y + 1, fmax(bar * share[i] / most, 0.2), 2.4});
        input_words(facts_of(panel), &spread->inputs[i], share[i], text);
        (void)canvas_text(panel->canvas, TEXT_SMALL, ANCHOR_START, (Pt){x + bar + 1.5, y + 3.1},
                          width - bar - 1.5, text);
    }
    (void)snprintf(text, sizeof text, "mend first: %s",
                   bly_input_advice(spread->inputs[spread->order[0]].kind));
    (void)canvas_text(panel->canvas, TEXT_SMALL, ANCHOR_START,
                      (Pt){x, top + line * (INPUTS_SHOWN + 1) + 3}, width, text);
}

void chance_draw(const Panel *panel) {
    const BlySpread *spread = spread_of(panel);
    double inside = panel->box.w - 2 * air, width = left_share * inside;
    double top = panel->box.y + air;
    char text[WORDS_MAX];
    if (spread->has_target)
        (void)snprintf(text, sizeof text,
                       "bars: 90 of 100 such lures; dot: as worked out; grey: wanted. %s of 100 "
                       "meet the target%s",
                       share_text(spread->chance).words,
                       spread->water_count > 1 ? " in every water" : "");
    else
        (void)snprintf(text, sizeof text, "bars: 90 of 100 such lures; dot: as worked out");
    (void)canvas_text(panel->canvas, TEXT_SMALL, ANCHOR_START, (Pt){panel->box.x + air, top + 1.5},
                      inside, text);
    top += line;
    draw_inputs(panel, panel->box.x + air + width + gap, top, inside - width - gap);
    for (int q = BLY_Q_DRIFT; q < BLY_QUANTITIES; q++) {
        if (known_waters(spread, (BlyQuantity)q) == 0)
            continue;
        draw_strip(panel, (BlyQuantity)q, top, width);
        top += strip_height(spread);
    }
    canvas_rect(panel->canvas, "frame", panel->box);
}
