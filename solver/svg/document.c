/* SPDX-License-Identifier: GPL-3.0-or-later */
/* An SVG text walked element by element with expat: what is named is collected, in millimetres.
 * expat opens nothing by itself, and a text that declares an entity is refused, so nothing can be
 * fetched and nothing can grow. */
#include "svg/shapes.h"
#include "text/near.h"
#include "text/quote.h"

#include <expat.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char namespace_of_svg[] = "http://www.w3.org/2000/svg";
enum { LEVELS_MOST = 100, NAMES_MOST = 40, NAME_SIZE = 64, LISTED = 6 };

typedef struct Level {
    BlyAffine out;      /* from here to millimetres */
    const View *view;   /* the nearest svg element's */
    bool taken, hidden; /* hidden counts from the taken element on */
} Level;

typedef struct Walk {
    XML_Parser parser;
    const char *wanted; /* NULL: the only shape */
    BlyDrawing *drawing;
    BlyError *err;
    bool failed;
    Level level[LEVELS_MOST];
    View view[LEVELS_MOST];
    size_t depth;
    size_t skipped; /* depth below an element whose contents are not drawn; 0: none */
    bool found;
    char name[NAMES_MOST][NAME_SIZE]; /* ids and labels, for messages */
    size_t names;
    char shape[LISTED][NAME_SIZE]; /* shapes that were shown */
    size_t shown;
} Walk;

static bool stop(Walk *walk) {
    walk->failed = true;
    (void)XML_StopParser(walk->parser, XML_FALSE);
    return false;
}

static void name_line(const Walk *walk, char where[32]) {
    (void)snprintf(where, 32, "line %lu", (unsigned long)XML_GetCurrentLineNumber(walk->parser));
}

static bool refuse(Walk *walk, BlyCode code, const char *text, const char *subject) {
    char where[32], quoted[BLY_QUOTE_MAX];
    name_line(walk, where);
    bly_quote(subject, quoted);
    bly_fail(walk->err, code, where, text, quoted);
    return stop(walk);
}

/* An error from deeper down: its place within the element becomes part of the text. */
static bool pass_on(Walk *walk, const char *what, const char *name, const BlyError *deeper) {
    char where[32], quoted[BLY_QUOTE_MAX];
    name_line(walk, where);
    bly_quote(name, quoted);
    bly_fail(walk->err, deeper->code, where, "%s \"%s\"%s%s: %s", what, quoted,
             deeper->where[0] != '\0' ? ", " : "", deeper->where, deeper->text);
    return stop(walk);
}

/* "URI name" to the name; NULL for an element of another language. */
static const char *local_name(const char *name) {
    const char *blank = strrchr(name, ' ');
    if (blank == NULL)
        return name;
    size_t length = (size_t)(blank - name);
    bool svg =
        length == sizeof namespace_of_svg - 1 && strncmp(name, namespace_of_svg, length) == 0;
    return svg ? blank + 1 : NULL;
}

/* A layer's name stands in an attribute "label" of the drawing program's own namespace. */
static const char *label_of(const char *const *attributes) {
    for (; *attributes != NULL; attributes += 2) {
        const char *blank = strrchr(attributes[0], ' ');
        if (blank != NULL && strcmp(blank, " label") == 0)
            return attributes[1];
    }
    return NULL;
}

static void note_name(Walk *walk, const char *name) {
    if (name != NULL && walk->names < NAMES_MOST)
        (void)snprintf(walk->name[walk->names++], NAME_SIZE, "%s", name);
}

static bool is_wanted(Walk *walk, const char *const *attributes) {
    const char *id = svg_attribute(attributes, "id"), *label = label_of(attributes);
    note_name(walk, id);
    note_name(walk, label);
    if (walk->wanted == NULL)
        return false;
    return (id != NULL && strcmp(id, walk->wanted) == 0) ||
           (label != NULL && strcmp(label, walk->wanted) == 0);
}

/* The value of one property in a style attribute, as far as it goes; NULL without it. */
static const char *style_value(const char *style, const char *property) {
    size_t length = strlen(property);
    while (style != NULL && *style != '\0') {
        style += strspn(style, " \t\r\n;");
        const char *end = style + strcspn(style, ";");
        if (strncmp(style, property, length) == 0) {
            const char *colon = style + length + strspn(style + length, " \t\r\n");
            if (*colon == ':')
                return colon + 1 + strspn(colon + 1, " \t\r\n");
        }
        style = end;
    }
    return NULL;
}

static bool not_shown(const char *const *attributes) {
    static const char *const properties[][2] = {{"display", "none"}, {"visibility", "hidden"}};
    const char *style = svg_attribute(attributes, "style");
    for (int i = 0; i < 2; i++) {
        const char *value = style_value(style, properties[i][0]);
        if (value == NULL)
            value = svg_attribute(attributes, properties[i][0]);
        if (value != NULL && strncmp(value, properties[i][1], strlen(properties[i][1])) == 0)
            return true;
    }
    return false;
}

static bool is_any(const char *element, const char *const *known) {
    for (; *known != NULL; known++) {
        if (strcmp(element, *known) == 0)
            return true;
    }
    return false;
}

/* Takes what a shape draws into the drawing. */
static bool take_shape(Walk *walk, const char *element, const char *const *attributes,
                       const Level *here) {
    const char *name = svg_attribute(attributes, "id");
    if (name == NULL)
        name = label_of(attributes);
    BlyTrace trace = {0};
    BlyError deeper = {0};
    bool good = svg_shape(element, attributes, &trace, &deeper);
    if (good && trace.count > 0) {
        bly_trace_map(&trace, &here->out);
        if (walk->wanted == NULL && walk->shown < LISTED)
            (void)snprintf(walk->shape[walk->shown], NAME_SIZE, "%s",
                           name != NULL ? name : "one without an id");
        walk->shown++;
        walk->drawing->shapes++;
        /* Unnamed, a second shape is an error anyway, told at the end with all names. */
        if (walk->wanted != NULL || walk->shown == 1)
            good = bly_trace_join(&walk->drawing->trace, &trace, &deeper);
    }
    bly_trace_release(&trace);
    return good || pass_on(walk, element, name != NULL ? name : "", &deeper);
}

static bool place_level(Walk *walk, const char *element, const char *const *attributes,
                        Level *here) {
    const Level *above = walk->depth > 0 ? &walk->level[walk->depth - 1] : NULL;
    BlyAffine own = {1.0, 0.0, 0.0, 1.0, 0.0, 0.0};
    BlyError deeper = {0};
    const char *transform = svg_attribute(attributes, "transform");
    const char *style = svg_attribute(attributes, "style");
    if (style_value(style, "transform") != NULL ||
        svg_attribute(attributes, "transform-origin") != NULL)
        return refuse(walk, BLY_E_UNKNOWN,
                      "%s has a transform by style; save as plain SVG, or "
                      "apply the transform",
                      element);
    if (transform != NULL && !transform_read(transform, &own, &deeper))
        return pass_on(walk, "transform", transform, &deeper);
    *here = above != NULL ? *above : (Level){.out = {1.0, 0.0, 0.0, 1.0, 0.0, 0.0}};
    here->out = bly_affine_after(&here->out, &own);
    if (strcmp(element, "svg") != 0)
        return true;
    View *view = &walk->view[walk->depth];
    if (!svg_view(attributes, here->view, view, &deeper))
        return pass_on(walk, element, "", &deeper);
    if (above == NULL)
        walk->drawing->sized = view->sized, walk->drawing->in_px = view->in_px;
    here->view = view;
    here->out = bly_affine_after(&here->out, &view->inside);
    return true;
}

static bool enter(Walk *walk, const char *element, const char *const *attributes) {
    static const char *const groups[] = {"svg", "g", "a", "switch", NULL};
    static const char *const stores[] = {"defs",   "symbol",  "clipPath", "mask",
                                         "marker", "pattern", NULL};
    bool group = element != NULL && is_any(element, groups);
    bool store = element != NULL && is_any(element, stores);
    bool draws = element != NULL && svg_draws(element);
    bool copies = element != NULL && strcmp(element, "use") == 0;
    if (walk->depth == 0 && (element == NULL || strcmp(element, "svg") != 0))
        return refuse(walk, BLY_E_SYNTAX, "is not an SVG drawing; expected an svg element%s", "");
    if (!group && !store && !draws && !copies) {
        walk->skipped = 1;
        return true;
    }
    if (walk->depth == LEVELS_MOST)
        return refuse(walk, BLY_E_RANGE, "groups lie too deep within each other%s", "");
    Level *here = &walk->level[walk->depth];
    if (!place_level(walk, element, attributes, here))
        return false;
    walk->depth++;
    bool wanted = is_wanted(walk, attributes);
    walk->found = walk->found || wanted;
    here->hidden = !wanted && (here->hidden || store || not_shown(attributes));
    here->taken = wanted || here->taken;
    bool counts = !here->hidden && (here->taken || walk->wanted == NULL);
    if (copies && counts)
        return refuse(walk, BLY_E_UNKNOWN,
                      "a copy by \"%s\" is not read; turn clones into paths of their own", "use");
    return !draws || !counts || take_shape(walk, element, attributes, here);
}

static void XMLCALL on_start(void *user, const XML_Char *name, const XML_Char **attributes) {
    Walk *walk = user;
    if (walk->failed)
        return;
    if (walk->skipped > 0) {
        walk->skipped++;
        return;
    }
    (void)enter(walk, local_name(name), (const char *const *)attributes);
}

static void XMLCALL on_end(void *user, const XML_Char *name) {
    Walk *walk = user;
    (void)name;
    if (walk->skipped > 0)
        walk->skipped--;
    else if (walk->depth > 0)
        walk->depth--;
}

static void XMLCALL on_entity(void *user, const XML_Char *name, int is_parameter,
                              const XML_Char *value, int length, const XML_Char *base,
                              const XML_Char *system, const XML_Char *public_id,
                              const XML_Char *notation) {
    Walk *walk = user;
    (void)is_parameter, (void)value, (void)length, (void)base, (void)system, (void)public_id,
        (void)notation;
    if (!walk->failed)
        (void)refuse(walk, BLY_E_SYNTAX,
                     "declares the entity \"%s\"; save as plain SVG, without entities", name);
}

static void list_shapes(const Walk *walk, char *out, size_t size) {
    size_t used = 0;
    out[0] = '\0';
    for (size_t i = 0; i < walk->shown && i < LISTED && used < size; i++) {
        char quoted[BLY_QUOTE_MAX];
        bly_quote(walk->shape[i], quoted);
        int n = snprintf(out + used, size - used, "%s%s", i > 0 ? ", " : "", quoted);
        used += n > 0 ? (size_t)n : 0;
    }
    if (walk->shown > LISTED && used < size)
        (void)snprintf(out + used, size - used, ", ..");
}

static bool judge(Walk *walk) {
    char list[160], quoted[BLY_QUOTE_MAX];
    if (walk->wanted != NULL && !walk->found) {
        const char *known[NAMES_MOST];
        for (size_t i = 0; i < walk->names; i++)
            known[i] = walk->name[i];
        const char *near = bly_near(walk->wanted, known, walk->names);
        bly_quote(walk->wanted, quoted);
        return bly_fail(walk->err, BLY_E_UNKNOWN, NULL,
                        "nothing has the id or label \"%s\"%s%.60s%s", quoted,
                        near != NULL ? "; did you mean \"" : "", near != NULL ? near : "",
                        near != NULL ? "\"?" : "");
    }
    if (walk->drawing->shapes == 0)
        return bly_fail(walk->err, BLY_E_MISSING, NULL,
                        "draws nothing that is read; expected a path, or a rect, circle, ellipse, "
                        "line, polyline or polygon; turn text into paths");
    if (walk->wanted == NULL && walk->shown > 1) {
        list_shapes(walk, list, sizeof list);
        return bly_fail(walk->err, BLY_E_CONFLICT, NULL,
                        "draws %zu shapes; name one by its id behind a #: %s", walk->shown, list);
    }
    return true;
}

static bool parse(Walk *walk, const char *text, size_t size) {
    if (XML_Parse(walk->parser, text, (int)size, XML_TRUE) == XML_STATUS_OK && !walk->failed)
        return judge(walk);
    if (walk->failed)
        return false;
    enum XML_Error code = XML_GetErrorCode(walk->parser);
    char where[32];
    name_line(walk, where);
    if (code == XML_ERROR_NO_MEMORY)
        return bly_fail(walk->err, BLY_E_MEMORY, NULL, "no memory for the drawing");
    return bly_fail(walk->err, BLY_E_SYNTAX, where, "is not XML: %s", XML_ErrorString(code));
}

bool bly_svg_read(const char *text, size_t size, const char *id, BlyDrawing *out, BlyError *err) {
    static const unsigned char packed[] = {0x1f, 0x8b};
    *out = (BlyDrawing){0};
    if (size >= 2 && memcmp(text, packed, 2) == 0)
        return bly_fail(err, BLY_E_SYNTAX, NULL, "is compressed; save it as plain SVG");
    if (size > INT_MAX)
        return bly_fail(err, BLY_E_RANGE, NULL, "is too large");
    Walk *walk = calloc(1, sizeof *walk);
    XML_Parser parser = walk != NULL ? XML_ParserCreateNS(NULL, ' ') : NULL;
    if (parser == NULL) {
        free(walk);
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the drawing");
    }
    walk->parser = parser;
    walk->wanted = id;
    walk->drawing = out;
    walk->err = err;
    XML_SetUserData(parser, walk);
    XML_SetElementHandler(parser, on_start, on_end);
    XML_SetEntityDeclHandler(parser, on_entity);
    bool good = parse(walk, text, size);
    XML_ParserFree(parser);
    free(walk);
    return good;
}

void bly_drawing_release(BlyDrawing *drawing) {
    bly_trace_release(&drawing->trace);
    *drawing = (BlyDrawing){0};
}
