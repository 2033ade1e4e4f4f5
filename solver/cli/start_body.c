/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/start_body.h"

#include <string.h>
#include <strings.h>

#include "json/json.h"
#include "text/text.h"

static const char usual_material[] = "larch", usual_unit[] = "mm";

static void put_member(BlyText *out, const char *key, const char *value) {
    if (value == NULL)
        return;
    bly_text_appendf(out, ", \"%s\": ", key);
    bly_json_print_string(value, out);
}

/* What the body is made of, the last members of "body". */
static void put_substance(const StartWords *w, BlyText *out) {
    bly_text_append(out, ",\n    \"material\": ");
    bly_json_print_string(w->material != NULL ? w->material : usual_material, out);
    if (w->scale != NULL) {
        bly_text_append(out, ",\n    \"mass\": ");
        bly_json_print_string(w->scale, out);
    }
    if (w->balance != NULL && w->displaced == NULL) {
        bly_text_append(out, ",\n    \"balance\": ");
        bly_json_print_string(w->balance, out);
    }
    bly_text_append(out, ",\n    \"coats\": [ { \"material\": \"epoxy-clear\", \"thickness\": "
                         "\"0.25 mm\" } ]");
}

static void put_drawing(BlyText *out, const char *key, const char *file, const char *id) {
    BlyText name;
    bly_text_init(&name);
    bly_text_appendf(&name, "%s%s%s", file, id[0] != '\0' ? "#" : "", id);
    bly_text_appendf(out, "\"%s\": ", key);
    bly_json_print_string(bly_text_string(&name), out);
    out->failed = out->failed || name.failed;
    bly_text_release(&name);
}

static void put_outline(const StartWords *w, const StartWay *way, BlyText *out) {
    bly_text_append(out, "    \"outline\": { ");
    put_drawing(out, "side", w->from, way->side_id);
    if (w->top != NULL)
        put_member(out, "top", w->top);
    else if (w->width != NULL)
        put_member(out, "width", w->width);
    else if (way->top_id != NULL) {
        bly_text_append(out, ", ");
        put_drawing(out, "top", w->from, way->top_id);
    } else
        bly_text_append(out, ", \"turned\": true");
    put_member(out, "length", w->length);
    put_member(out, "nose", w->nose);
    bly_text_append(out, " }");
}

static void put_measured(const StartWords *w, BlyText *out) {
    bly_text_append(out, "    \"measured\": { \"displaced\": ");
    bly_json_print_string(w->displaced, out);
    if (w->water != NULL) {
        bly_text_append(out, ", \"water\": { \"temperature\": ");
        bly_json_print_string(w->water, out);
        bly_text_append(out, " }");
    }
    put_member(out, "length", w->length);
    put_member(out, "width", w->width);
    put_member(out, "height", w->height);
    put_member(out, "balance", w->balance);
    bly_text_append(out, " }");
}

void start_body_put(const StartWords *w, const StartWay *way, BlyText *out) {
    if (strcmp(way->key, "outline") == 0) {
        put_outline(w, way, out);
    } else if (strcmp(way->key, "measured") == 0) {
        put_measured(w, out);
    } else {
        bly_text_appendf(out, "    \"%s\": ", way->key);
        bly_json_print_string(w->from, out);
        if (strcmp(way->key, "mesh") == 0) {
            put_member(out, "unit", w->unit != NULL ? w->unit : usual_unit);
            put_member(out, "nose", w->nose);
        }
    }
    put_substance(w, out);
}

bool start_ends_with(const char *name, const char *ending) {
    size_t length = strcspn(name, "#"), end = strlen(ending);
    return length >= end && strncasecmp(name + length - end, ending, end) == 0;
}

size_t start_ways(const StartWords *w, StartWay way[START_WAYS_MOST]) {
    static const StartWay measured = {"measured", "", NULL}, mesh = {"mesh", "", NULL},
                          list = {"stations", "", NULL}, alone = {"outline", "", NULL},
                          both = {"outline", "side", "top"}, side = {"outline", "side", NULL};
    size_t count = 0;
    bool table =
        w->from != NULL && (start_ends_with(w->from, ".csv") || start_ends_with(w->from, ".txt"));
    if (w->from == NULL)
        way[count++] = measured;
    else if (start_ends_with(w->from, ".stl"))
        way[count++] = mesh;
    else if (table && w->top == NULL && w->width == NULL && w->length == NULL)
        way[count++] = list;
    else if (!table && strchr(w->from, '#') == NULL) {
        if (w->top == NULL && w->width == NULL)
            way[count++] = both;
        way[count++] = side;
    }
    if (w->from != NULL && !start_ends_with(w->from, ".stl"))
        way[count++] = alone;
    return count;
}
