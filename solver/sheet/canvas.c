/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sheet/canvas.h"

#include <math.h>
#include <stdlib.h>

/* A coordinate to a hundredth of a millimetre, without needless noughts and never "-0". */
static void put_mm(BlyText *out, double mm) {
    long hundredths = lround(mm * 100);
    const char *sign = hundredths < 0 ? "-" : "";
    hundredths = labs(hundredths);
    long whole = hundredths / 100, part = hundredths % 100;
    if (part == 0)
        bly_text_appendf(out, "%s%ld", sign, whole);
    else if (part % 10 == 0)
        bly_text_appendf(out, "%s%ld.%ld", sign, whole, part / 10);
    else
        bly_text_appendf(out, "%s%ld.%02ld", sign, whole, part);
}

static void put_attribute(BlyText *out, const char *name, double mm) {
    bly_text_appendf(out, " %s=\"", name);
    put_mm(out, mm);
    bly_text_append(out, "\"");
}

static void put_look(BlyText *out, const char *look, double stroke) {
    bly_text_appendf(out, " class=\"%s\"", look);
    if (stroke > 0) {
        bly_text_append(out, " style=\"stroke-width:");
        put_mm(out, stroke);
        bly_text_append(out, "\"");
    }
}

void canvas_open(Canvas *canvas, double width, double height, const char *title) {
    *canvas = (Canvas){.width = width, .height = height};
    BlyText *out = &canvas->svg;
    bly_text_append(out, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                         "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"");
    put_mm(out, width);
    bly_text_append(out, "mm\" height=\"");
    put_mm(out, height);
    bly_text_append(out, "mm\" viewBox=\"0 0 ");
    put_mm(out, width);
    bly_text_append(out, " ");
    put_mm(out, height);
    bly_text_append(out, "\">\n<title>");
    text_escape(out, title);
    bly_text_appendf(out, "</title>\n<style>%s</style>\n", bly_looks);
    canvas_rect(canvas, "paper", (Box){0, 0, width, height});
}

void canvas_close(Canvas *canvas) {
    bly_text_append(&canvas->svg, "</svg>\n");
}

void canvas_release(Canvas *canvas) {
    bly_text_release(&canvas->svg);
    free(canvas->texts);
    *canvas = (Canvas){0};
}

bool canvas_good(const Canvas *canvas, BlyError *err) {
    return bly_text_good(&canvas->svg, err);
}

void canvas_line(Canvas *canvas, const char *look, double stroke, Pt from, Pt to) {
    const Pt points[] = {from, to};
    canvas_path(canvas, look, stroke, points, 2, false);
}

void canvas_path(Canvas *canvas, const char *look, double stroke, const Pt *points, size_t count,
                 bool closed) {
    BlyText *out = &canvas->svg;
    if (count == 0)
        return;
    bly_text_append(out, "<path");
    put_look(out, look, stroke);
    bly_text_append(out, " d=\"");
    for (size_t i = 0; i < count; i++) {
        bly_text_append(out, i == 0 ? "M" : i == 1 ? "L" : " ");
        put_mm(out, points[i].x);
        bly_text_append(out, " ");
        put_mm(out, points[i].y);
    }
    bly_text_append(out, closed ? "Z\"/>\n" : "\"/>\n");
}

void canvas_rect(Canvas *canvas, const char *look, Box box) {
    BlyText *out = &canvas->svg;
    bly_text_append(out, "<rect");
    put_look(out, look, 0);
    put_attribute(out, "x", box.x);
    put_attribute(out, "y", box.y);
    put_attribute(out, "width", box.w);
    put_attribute(out, "height", box.h);
    bly_text_append(out, "/>\n");
}

void canvas_circle(Canvas *canvas, const char *look, Pt middle, double radius) {
    BlyText *out = &canvas->svg;
    bly_text_append(out, "<circle");
    put_look(out, look, 0);
    put_attribute(out, "cx", middle.x);
    put_attribute(out, "cy", middle.y);
    put_attribute(out, "r", radius);
    bly_text_append(out, "/>\n");
}

void canvas_arrow(Canvas *canvas, Pt from, Pt to, bool open) {
    double dx = to.x - from.x, dy = to.y - from.y, length = hypot(dx, dy);
    if (!(length > 0))
        return;
    double head = fmin(1.6, 0.6 * length), ux = dx / length, uy = dy / length;
    Pt neck = {to.x - head * ux, to.y - head * uy};
    double half = 0.38 * head;
    const Pt barb[] = {
        to, {neck.x - half * uy, neck.y + half * ux}, {neck.x + half * uy, neck.y - half * ux}};
    canvas_line(canvas, open ? "weak" : "down", 0, from, neck);
    canvas_path(canvas, open ? "hollow" : "head", 0, barb, 3, true);
}

void canvas_group(Canvas *canvas, const char *look) {
    bly_text_appendf(&canvas->svg, "<g class=\"%s\">\n", look);
}

void canvas_clip(Canvas *canvas, Box box) {
    int number = ++canvas->clips;
    bly_text_appendf(&canvas->svg, "<clipPath id=\"c%d\">", number);
    canvas_rect(canvas, "paper", box);
    bly_text_appendf(&canvas->svg, "</clipPath><g clip-path=\"url(#c%d)\">\n", number);
}

void canvas_group_end(Canvas *canvas) {
    bly_text_append(&canvas->svg, "</g>\n");
}

Box text_frame(TextStyle style, Anchor anchor, Pt at, const char *text) {
    double width = text_width(style, text), size = text_size(style);
    double shift = anchor == ANCHOR_START ? 0 : anchor == ANCHOR_MIDDLE ? 0.5 : 1;
    return (Box){at.x - shift * width, at.y - 0.8 * size, width, 1.05 * size};
}

static void remember(Canvas *canvas, Box box) {
    if (canvas->text_count == canvas->text_room) {
        size_t room = canvas->text_room == 0 ? 64 : 2 * canvas->text_room;
        Box *grown = realloc(canvas->texts, room * sizeof *grown);
        if (grown == NULL) {
            canvas->svg.failed = true;
            return;
        }
        canvas->texts = grown;
        canvas->text_room = room;
    }
    canvas->texts[canvas->text_count++] = box;
}

double canvas_text(Canvas *canvas, TextStyle style, Anchor anchor, Pt at, double room,
                   const char *text) {
    static const char *const anchors[] = {"", " m", " e"};
    BlyText shown = {0}, *out = &canvas->svg;
    if (room > 0)
        text_clip(&shown, style, text, room);
    else
        bly_text_append(&shown, text);
    if (shown.failed)
        out->failed = true;
    double width = text_width(style, bly_text_string(&shown));
    if (shown.length > 0) {
        bly_text_appendf(out, "<text class=\"%s%s\"", text_class(style), anchors[anchor]);
        put_attribute(out, "x", at.x);
        put_attribute(out, "y", at.y);
        bly_text_append(out, ">");
        text_escape(out, bly_text_string(&shown));
        bly_text_append(out, "</text>\n");
        remember(canvas, text_frame(style, anchor, at, bly_text_string(&shown)));
    }
    bly_text_release(&shown);
    return width;
}

bool label_boxes_meet(Box a, Box b) {
    return a.x < b.x + b.w && b.x < a.x + a.w && a.y < b.y + b.h && b.y < a.y + a.h;
}
