/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Builds whose body is drawn. The body is a spheroid or an ellipsoid, so every drawing of it must
 * give the closed form pi/6 L W H, at the size that the file says; the same body as a caliper list
 * and as measured stations must agree. 1 in = 25.4 mm (NIST SP 811, 2008, appendix B.8). */
#include "build/build.h"
#include "build/files.h"
#include "build/shelf.h"

#include <gsl/gsl_errno.h>

static const double pi = 3.14159265358979323846;

#define SVG "<svg xmlns='http://www.w3.org/2000/svg' "
#define MM SVG "width='100mm' height='40mm' viewBox='0 0 100 40'>"
#define SIDE "<path id='side' d='M10 20A40 11 0 0 1 90 20 40 11 0 0 1 10 20z'/>"
#define TOP "<path id='top' d='M90 20A40 8 0 0 1 10 20 40 8 0 0 1 90 20z'/>"

typedef struct File {
    const char *name, *text;
} File;

static const File files[] = {
    {"mm.svg", MM SIDE TOP "</svg>"},
    {"side.svg", MM SIDE "</svg>"},
    {"px.svg", SVG "width='377.952755905511811'><ellipse cx='188' cy='90' rx='151.18110236220473' "
                   "ry='41.574803149606296'/></svg>"},
    {"bare.svg", SVG "viewBox='0 0 9 9'><ellipse cx='4' cy='4' rx='2' ry='.55'/></svg>"},
    {"edges.svg", MM "<g id='side'><path id='up' d='M10 20A40 11 0 0 1 90 20'/><path id='down' "
                     "d='M10 20A40 11 0 0 0 90 20'/></g></svg>"},
    {"tail.svg", MM "<path d='M10 20L90 13V27Z'/></svg>"},
    {"turned.svg",
     SVG "width='40mm' height='100mm' viewBox='0 0 40 100'><path transform='rotate(90)"
         " translate(0 -40)' d='M10 20A40 11 0 0 1 90 20 40 11 0 0 1 10 20z'/></svg>"},
    {"round.svg", SVG "viewBox='0 0 9 9'><ellipse cx='4' cy='4' rx='.8' ry='1.1'/></svg>"},
    {"box.svg", SVG "viewBox='0 0 9 9'><rect width='1.6' height='2.2'/></svg>"},
    {"edges.csv", "x (mm);upper;lower\n0;0;0\n40;11;-11\n80;0;0\n"},
    {"span.csv", "position in cm\theight in mm\n0\t0\n4,0\t22,0\n8\t0\n"},
    {"half.csv", "x;half width (in)\n0;0\n40;0.31496062992125984\n80;0\n"},
    {"every.csv", "half height every 40 mm\n0\n11\n0\n"},
    {"bad.svg", MM "<path d='M0 0L9'/></svg>"},
    {"bad.csv", "x;upper;lower\n0;0;0\n40;1;thick\n"},
    {"behind.csv", "x;upper;lower\n0;0;0\n40;1;-1\n30;1;-1\n"},
    {"crossed.csv", "x;upper;lower\n0;0;0\n40;-1;1\n"},
    {"words.csv", "x;colour\n0;0\n"},
    {"lone.csv", "x;upper\n0;0\n"},
    {"open-half.svg", MM "<path d='M10 20A40 8 0 0 1 90 20'/></svg>"},
    {"shut-half.svg", MM "<path d='M90 33A40 8 0 0 1 10 33Z'/></svg>"},
    {"turned-half.svg", MM "<path d='M10 20A40 11 0 0 1 90 20'/></svg>"},
    {"rough-half.svg", MM "<path d='M10 20A40 8 0 0 1 90 20L50 20.1Z'/></svg>"},
    {"minnow.svg",
     MM "<path id='whole' d='M10 20C14 12 30 11 45 12.5 65 14 80 17 90 18.5V21.5C80 "
        "23 65 26 45 27.5 30 29 14 28 10 20Z'/><path id='half' d='M10 20C14 12 30 11 45 "
        "12.5 65 14 80 17 90 18.5V20'/><path id='other' d='M90 30V31.5C80 33 65 36 45 "
        "37.5 30 39 14 38 10 30Z'/></svg>"},
    {"slat.svg", MM "<rect x='10' y='10' width='80' height='8'/></svg>"},
    {"half-way.csv", "x;y\n0;0\n10;5.291502622\n20;6.928203230\n30;7.745966692\n40;8\n"
                     "50;7.745966692\n60;6.928203230\n70;5.291502622\n80;0\n"},
    {"bow.svg", MM "<path d='M10 10L90 30V10L10 30Z'/></svg>"},
    {"bow-edges.svg", MM "<g id='side'><path d='M10 10L90 31'/><path d='M90 10L10 30'/></g></svg>"},
    {"edge-turned.svg", MM "<g id='side'><path d='M10 20L50 12 90 18'/><path d='M90 22L50 28 10 "
                           "20'/></g></svg>"},
    {"no-size.svg", SVG "><path d='M10 20A40 11 0 0 1 90 20 40 11 0 0 1 10 20z'/></svg>"},
    {"px-size.svg", SVG "width='400' height='200px'><path d='M10 20A40 11 0 0 1 90 20 40 11 0 0 1 "
                        "10 20z'/></svg>"},
    {"fork.svg", MM "<path d='M0 20L60 10 90 5 70 20 90 35 60 30Z'/></svg>"},
};
enum { FILES = sizeof files / sizeof files[0] };

static bool give_text(void *context, const char *name, char **text, size_t *size, BlyError *err) {
    (void)context;
    for (size_t i = 0; i < FILES; i++) {
        if (strcmp(files[i].name, name) != 0)
            continue;
        *size = strlen(files[i].text);
        *text = calloc(*size + 1, 1);
        assert_non_null(*text);
        memcpy(*text, files[i].text, *size);
        return true;
    }
    return bly_fail(err, BLY_E_IO, name, "cannot be opened");
}

static bool read_outline(const BlyCatalog *shelf, const char *body, BlyBuild **build,
                         BlyError *err) {
    char text[1024];
    (void)snprintf(text, sizeof text,
                   "{\"ballastry\": 1, \"name\": \"a\", \"body\": {%s, \"material\": \"larch\"}}",
                   body);
    const BlyBuildFiles disk = {.read = give_text, .context = NULL};
    return bly_build_read_with(text, strlen(text), shelf, &disk, build, err);
}

static BlyBuild *good(const BlyCatalog *shelf, const char *body) {
    BlyBuild *build = NULL;
    BlyError err = {0};
    if (!read_outline(shelf, body, &build, &err))
        fail_msg("%s: %s: %s", body, err.where, err.text);
    return build;
}

static void every_drawing_gives_the_closed_form(void **state) {
    static const struct {
        const char *body;
        double length, width, height; /* mm */
        double off;
    } rows[] = {
        {"\"outline\": {\"side\": \"mm.svg#side\", \"top\": \"mm.svg#top\"}", 80, 16, 22, 1e-7},
        {"\"outline\": {\"side\": \"side.svg\", \"turned\": true}", 80, 22, 22, 1e-7},
        {"\"outline\": {\"side\": \"px.svg\", \"turned\": true}", 80, 22, 22, 1e-7},
        {"\"outline\": {\"side\": \"side.svg\", \"width\": \"16 mm\"}", 80, 16, 22, 1e-6},
        {"\"outline\": {\"side\": \"side.svg\", \"width\": 16}", 80, 16, 22, 1e-6},
        {"\"outline\": {\"side\": \"side.svg\", \"width\": \"50 %\"}", 80, 11, 22, 1e-7},
        {"\"outline\": {\"side\": \"side.svg\", \"width\": \"50 %\", \"nose\": \"right\"}", 80, 11,
         22, 1e-7},
        {"\"outline\": {\"side\": \"bare.svg\", \"turned\": true, \"length\": \"8 cm\"}", 80, 22,
         22, 1e-7},
        {"\"outline\": {\"side\": \"mm.svg#side\", \"top\": \"mm.svg#top\", \"length\": \"4 in\"}",
         101.6, 20.32, 27.94, 1e-7},
        {"\"outline\": {\"side\": \"edges.svg#side\", \"top\": \"mm.svg#top\"}", 80, 16, 22, 1e-7},
        {"\"outline\": {\"side\": [\"edges.svg#up\", \"edges.svg#down\"], \"top\": \"mm.svg#top\"}",
         80, 16, 22, 1e-7},
        {"\"outline\": {\"side\": \"edges.csv\", \"top\": \"mm.svg#top\"}", 80, 16, 22, 1e-4},
        {"\"outline\": {\"side\": \"span.csv\", \"top\": \"half.csv\"}", 80, 16, 22, 1e-4},
        {"\"outline\": {\"side\": \"every.csv\", \"turned\": true}", 80, 22, 22, 1e-4},
        {"\"outline\": {\"side\": \"side.svg\", \"turned\": true, \"sections\": [{\"x\": 40, "
         "\"shape\": \"round.svg\"}]}",
         80, 22, 22, 1e-7},
        {"\"outline\": {\"side\": \"side.svg\", \"turned\": true}, \"section\": 2", 80, 22, 22,
         1e-7},
        {"\"outline\": {\"side\": \"side.svg\", \"top\": \"open-half.svg\"}", 80, 16, 22, 1e-7},
        {"\"outline\": {\"side\": \"side.svg\", \"top\": \"open-half.svg\", \"half\": true}", 80,
         16, 22, 1e-7},
        {"\"outline\": {\"side\": \"side.svg\", \"top\": \"open-half.svg\", \"half\": false}", 80,
         8, 22, 1e-7},
        {"\"outline\": {\"side\": \"side.svg\", \"top\": \"shut-half.svg\", \"nose\": \"right\"}",
         80, 16, 22, 1e-7},
        {"\"outline\": {\"side\": \"turned-half.svg\", \"turned\": true}", 80, 22, 22, 1e-7},
        {"\"outline\": {\"side\": \"side.svg\", \"top\": \"rough-half.svg\", \"half\": true}", 80,
         16, 22, 0.01},
        {"\"outline\": {\"side\": \"side.svg\", \"top\": \"half-way.csv\"}", 80, 16, 22, 0.02},
        {"\"outline\": {\"side\": \"side.svg\", \"top\": \"mm.svg#top\", \"half\": false}", 80, 16,
         22, 1e-7},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        BlyBuild *b = good(*state, rows[i].body);
        const BlySolid *solid = bly_body_solid(b->shape);
        double want = pi / 6.0 * rows[i].length * rows[i].width * rows[i].height * 1e-9;
        if (!(fabs(solid->volume / want - 1.0) < rows[i].off))
            fail_msg("%s: %.9g, want %.9g", rows[i].body, solid->volume, want);
        assert_close(solid->centroid.x, rows[i].length / 2e3, 1e-6 + 0.02 * rows[i].off, 0.0);
        assert_close(solid->centroid.z, 0.0, 1e-6, 0.0);
        assert_true(b->said_count >= 1);
        bly_build_free(b);
    }
}

/* Either half of a drawn minnow with a flat tail, open or closed along the centre line, is the
 * whole one. What was found is said; a half that was said to be one is not. */
static void a_half_is_the_whole_mirrored(void **state) {
    static const char *const keys[] = {"\"side\": \"side.svg\", \"top\": \"minnow.svg#%s\"",
                                       "\"side\": \"minnow.svg#%s\", \"turned\": true"};
    for (int i = 0; i < 2; i++) {
        char line[256], body[320];
        (void)snprintf(line, sizeof line, keys[i], "whole");
        (void)snprintf(body, sizeof body, "\"outline\": {%s}", line);
        BlyBuild *whole = good(*state, body);
        for (int k = 0; k < 4; k++) {
            (void)snprintf(line, sizeof line, keys[i], k % 2 == 0 ? "half" : "other");
            (void)snprintf(body, sizeof body, "\"outline\": {%s%s}", line,
                           k < 2 ? "" : ", \"half\": true");
            BlyBuild *half = good(*state, body);
            const BlySolid *a = bly_body_solid(half->shape), *b = bly_body_solid(whole->shape);
            assert_close(a->volume, b->volume, 0.0, 1e-9);
            assert_close(a->centroid.x, b->centroid.x, 1e-12, 0.0);
            assert_close(bly_body_surface(half->shape)->area, bly_body_surface(whole->shape)->area,
                         0.0, 1e-9);
            assert_int_equal(half->said_count, whole->said_count + (k < 2 ? 1 : 0));
            assert_true(k >= 2 || strstr(half->said[1], i == 0 ? "top outline" : "side outline"));
            bly_build_free(half);
        }
        bly_build_free(whole);
    }
    BlyBuild *slat[2]; /* straight on both edges: the whole, unless it is said to be half */
    slat[0] = good(*state, "\"outline\": {\"side\": \"side.svg\", \"top\": \"slat.svg\"}");
    slat[1] = good(*state,
                   "\"outline\": {\"side\": \"side.svg\", \"top\": \"slat.svg\", \"half\": true}");
    assert_close(bly_body_box(slat[0]->shape).high.y, 4e-3, 1e-9, 0.0);
    assert_close(bly_body_box(slat[1]->shape).high.y, 8e-3, 1e-9, 0.0);
    bly_build_free(slat[0]);
    bly_build_free(slat[1]);
}

/* A cone's point is where the nose is: centroid three quarters of the length behind it. */
static void the_nose_is_where_it_is_said(void **state) {
    BlyBuild *left = good(*state, "\"outline\": {\"side\": \"tail.svg\", \"turned\": true}");
    BlyBuild *right = good(
        *state, "\"outline\": {\"side\": \"tail.svg\", \"turned\": true, \"nose\": \"right\"}");
    assert_close(bly_body_solid(left->shape)->centroid.x, 0.06, 1e-9, 0.0);
    assert_close(bly_body_solid(right->shape)->centroid.x, 0.02, 1e-9, 0.0);
    bly_build_free(left);
    bly_build_free(right);
}

/* The same body as a caliper list and as a drawing: within what the drawing promises. */
static void a_drawing_is_its_caliper_list(void **state) {
    BlyBuild *drawn = good(*state, "\"outline\": {\"side\": \"span.csv\", \"turned\": true}");
    BlyBuild *listed = good(*state, "\"stations\": [{\"x\": 0, \"diameter\": 0}, {\"x\": 40, "
                                    "\"diameter\": 22}, {\"x\": 80, \"diameter\": 0}]");
    assert_close(bly_body_solid(drawn->shape)->volume, bly_body_solid(listed->shape)->volume, 0.0,
                 1e-4);
    assert_close(bly_body_surface(drawn->shape)->area, bly_body_surface(listed->shape)->area, 0.0,
                 1e-4);
    assert_close(drawn->facts.volume_share.give, listed->facts.volume_share.give, 0.0, 1e-12);
    bly_build_free(drawn);
    bly_build_free(listed);
}

/* Boxes fill more than ellipses: by the gamma function at exponent 20 (the nearest there is to a
 * rectangle). A board keeps its thickness. The misfit of a traced section widens the give. */
static void sections_and_boards(void **state) {
    double full = 4.0 * tgamma(1.05) * tgamma(1.05) / tgamma(1.1);
    BlyBuild *box = good(*state, "\"outline\": {\"side\": \"side.svg\", \"top\": \"mm.svg#top\", "
                                 "\"sections\": [{\"x\": 40, \"shape\": \"box.svg\"}]}");
    assert_close(bly_body_solid(box->shape)->volume, full / 6.0 * 80e-3 * 16e-3 * 22e-3, 0.0, 1e-6);
    assert_true(box->facts.volume_share.give > 0.015);
    assert_true(box->said_count >= 2);
    bly_build_free(box);
    BlyBuild *board = good(*state, "\"outline\": {\"side\": \"side.svg\", \"board\": \"12 mm\"}");
    assert_close(bly_body_solid(board->shape)->volume, full / 4.0 * pi * 40e-3 * 11e-3 * 12e-3, 0.0,
                 1e-5);
    bly_build_free(board);
    BlyBuild *round = good(*state, "\"outline\": {\"side\": \"side.svg\", \"turned\": true, "
                                   "\"sections\": [{\"x\": 10, \"section\": 2}, {\"x\": 70, "
                                   "\"section\": 4}]}");
    BlySection at;
    assert_true(bly_body_section(round->shape, 0.04, &at));
    assert_close(at.exponent, 3.0, 0.02, 0.0); /* straight between two places */
    assert_true(bly_body_section(round->shape, 0.075, &at));
    assert_close(at.exponent, 4.0, 0.0, 1e-9);
    bly_build_free(round);
}

static void each_broken_outline_gets_its_error(void **state) {
    static const struct {
        const char *body, *where;
        BlyCode code;
        const char *word;
    } rows[] = {
        {"\"outline\": {}", "/body/outline", BLY_E_MISSING, "how wide"},
        {"\"outline\": {\"turned\": true}", "/body/outline", BLY_E_MISSING, "side"},
        {"\"outline\": \"side.svg\"", "/body/outline", BLY_E_SYNTAX, "object"},
        {"\"outline\": {\"side\": \"none.svg\", \"turned\": true}", "none.svg", BLY_E_IO, "opened"},
        {"\"outline\": {\"side\": 3, \"turned\": true}", "/body/outline/side", BLY_E_SYNTAX, ""},
        {"\"outline\": {\"side\": [], \"turned\": true}", "/body/outline/side", BLY_E_RANGE, ""},
        {"\"outline\": {\"side\": \"#side\", \"turned\": true}", "/body/outline/side", BLY_E_SYNTAX,
         "minnow.svg#side"},
        {"\"outline\": {\"side\": \"mm.svg#\", \"turned\": true}", "/body/outline/side",
         BLY_E_SYNTAX, "minnow.svg#side"},
        {"\"outline\": {\"side\": \"mm.svg\", \"turned\": true}", "/body/outline/side",
         BLY_E_CONFLICT, "mm.svg: draws 2 shapes; name one by its id behind a #: side, top"},
        {"\"outline\": {\"side\": \"mm.svg#sied\", \"turned\": true}", "/body/outline/side",
         BLY_E_UNKNOWN, "did you mean \"side\""},
        {"\"outline\": {\"side\": \"bad.svg\", \"turned\": true}", "/body/outline/side",
         BLY_E_SYNTAX, "bad.svg, line 1: path \"\", offset 6: ends"},
        {"\"outline\": {\"side\": \"edges.csv#a\", \"turned\": true}", "/body/outline/side",
         BLY_E_SYNTAX, "only drawings have ids"},
        {"\"outline\": {\"side\": \"bad.csv\", \"turned\": true}", "/body/outline/side",
         BLY_E_SYNTAX, "bad.csv, line 3, column 3"},
        {"\"outline\": {\"side\": \"behind.csv\", \"turned\": true}", "/body/outline/side",
         BLY_E_RANGE, "line 4, column 1: expected a place behind"},
        {"\"outline\": {\"side\": \"crossed.csv\", \"turned\": true}", "/body/outline/side",
         BLY_E_RANGE, "line 3, column 1: expected the upper edge above"},
        {"\"outline\": {\"side\": \"words.csv\", \"turned\": true}", "/body/outline/side",
         BLY_E_UNKNOWN, "colour"},
        {"\"outline\": {\"side\": \"lone.csv\", \"turned\": true}", "/body/outline/side",
         BLY_E_MISSING, "lower"},
        {"\"outline\": {\"side\": \"bare.svg\", \"turned\": true}", "/body/outline/side",
         BLY_E_MISSING, "length"},
        {"\"outline\": {\"side\": \"fork.svg\", \"turned\": true}", "/body/outline/side",
         BLY_E_RANGE, "turns back on itself"},
        {"\"outline\": {\"side\": \"side.svg\", \"top\": \"turned.svg\"}", "/body/outline/top",
         BLY_E_RANGE, "is 22 mm long, the side 80 mm"},
        {"\"outline\": {\"side\": \"side.svg\", \"turned\": true, \"board\": 9}",
         "/body/outline/board", BLY_E_CONFLICT, "said already"},
        {"\"outline\": {\"side\": \"side.svg\", \"turned\": false}", "/body/outline/turned",
         BLY_E_RANGE, "true"},
        {"\"outline\": {\"side\": \"side.svg\", \"width\": 0}", "/body/outline/width", BLY_E_RANGE,
         ""},
        {"\"outline\": {\"side\": \"side.svg\", \"width\": \"3 m\"}", "/body/outline/width",
         BLY_E_RANGE, "cannot be a width"},
        {"\"outline\": {\"side\": \"side.svg\", \"top\": \"mm.svg#top\", \"half\": true}",
         "/body/outline/top", BLY_E_RANGE, "neither edge runs straight"},
        {"\"outline\": {\"side\": \"side.svg\", \"turned\": true, \"half\": true}",
         "/body/outline/side", BLY_E_RANGE, "neither edge runs straight"},
        {"\"outline\": {\"side\": \"side.svg\", \"width\": 16, \"half\": true}",
         "/body/outline/half", BLY_E_CONFLICT, "turned"},
        {"\"outline\": {\"side\": \"side.svg\", \"turned\": true, \"half\": \"top\"}",
         "/body/outline/half", BLY_E_SYNTAX, "true"},
        {"\"outline\": {\"side\": \"side.svg\", \"turned\": true, \"nose\": \"up\"}",
         "/body/outline/nose", BLY_E_UNKNOWN, ""},
        {"\"outline\": {\"side\": \"side.svg\", \"turned\": true, \"colour\": 1}",
         "/body/outline/colour", BLY_E_UNKNOWN, ""},
        {"\"outline\": {\"side\": \"side.svg\", \"turned\": true, \"sections\": [{\"x\": 3}]}",
         "/body/outline/sections/0", BLY_E_MISSING, "shape"},
        {"\"outline\": {\"side\": \"side.svg\", \"turned\": true, \"sections\": [{\"x\": 3, "
         "\"section\": 1}]}",
         "/body/outline/sections/0/section", BLY_E_RANGE, "1.2"},
        {"\"outline\": {\"side\": \"side.svg\", \"turned\": true, \"sections\": [{\"x\": 3, "
         "\"section\": 2}, {\"x\": 3, \"section\": 2}]}",
         "/body/outline/sections/1/x", BLY_E_RANGE, "behind"},
        {"\"outline\": {\"side\": \"side.svg\", \"turned\": true, \"sections\": [{\"x\": 3, "
         "\"section\": 2}]}, \"section\": 3",
         "/body/section", BLY_E_CONFLICT, "sections"},
        {"\"outline\": {\"side\": \"side.svg\", \"turned\": true}, \"stations\": \"span.csv\"",
         "/body/outline", BLY_E_CONFLICT, "one source"},
    };
    int faults = 0;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        BlyBuild *b = NULL;
        BlyError err = {0};
        if (read_outline(*state, rows[i].body, &b, &err) || err.code != rows[i].code ||
            strcmp(err.where, rows[i].where) != 0 || strstr(err.text, rows[i].word) == NULL) {
            print_error("%s\n    gives %s, %s, \"%s\"\n", rows[i].body, bly_code_words(err.code),
                        err.where, err.text);
            faults++;
        }
        assert_null(b);
        assert_false(read_outline(*state, rows[i].body, &b, NULL));
    }
    assert_int_equal(faults, 0);
}

/* Belly and back of a bow tie change sides half way, however it is drawn; those of sound outlines
 * do not, in whichever direction their strokes run. */
static void an_outline_that_crosses_itself_is_said(void **state) {
    static const struct {
        const char *file, *place; /* behind the nose, as told; NULL: sound */
    } cases[] = {{"bow.svg", "some 40 mm behind its nose"},
                 {"bow-edges.svg#side", "some 39"},
                 {"edge-turned.svg#side", NULL},
                 {"side.svg", NULL},
                 {"edges.svg#side", NULL},
                 {"edges.csv", NULL},
                 {"tail.svg", NULL},
                 {"minnow.svg#whole", NULL},
                 {"slat.svg", NULL}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char body[200];
        (void)snprintf(body, sizeof body, "\"outline\": {\"side\": \"%s\", \"width\": \"80 %%\"}",
                       cases[i].file);
        BlyBuild *build = good(*state, body);
        bool said = false;
        for (size_t k = 0; k < build->slips.count; k++) {
            const BlySlip *slip = &build->slips.at[k];
            if (strstr(slip->text, "crosses itself") == NULL)
                continue;
            said = true;
            assert_string_equal(slip->where, "/body/outline/side");
            if (cases[i].place == NULL || strstr(slip->text, cases[i].place) == NULL)
                fail_msg("%s: %s", cases[i].file, slip->text);
        }
        if (said != (cases[i].place != NULL))
            fail_msg("%s: %s", cases[i].file, said ? "is said to cross itself" : "says nothing");
        bly_build_free(build);
    }
}

/* 80 px of 1/96 in are 21.17 mm (CSS Values 3, 6.2: 96 px are 2.54 cm). */
static void a_size_that_nobody_said_is_told(void **state) {
    static const char *const silent[] = {"no-size.svg", "px-size.svg"};
    for (size_t i = 0; i < 2; i++) {
        char body[200];
        (void)snprintf(body, sizeof body, "\"outline\": {\"side\": \"%s\", \"turned\": true}",
                       silent[i]);
        BlyBuild *build = good(*state, body);
        assert_non_null(
            strstr(build->said[0], "it is 21.17 mm long, for nothing in the file says"));
        assert_non_null(strstr(build->said[0], "px of 1/96 in"));
        bly_build_free(build);
        (void)snprintf(body, sizeof body,
                       "\"outline\": {\"side\": \"%s\", \"turned\": true, \"length\": 80}",
                       silent[i]);
        build = good(*state, body);
        assert_non_null(strstr(build->said[0], "it is 80 mm long, as said"));
        bly_build_free(build);
    }
    BlyBuild *build = good(*state, "\"outline\": {\"side\": \"side.svg\", \"turned\": true}");
    assert_non_null(strstr(build->said[0], "it is 80 mm long by its own units"));
    bly_build_free(build);
}

static int stock(void **state) {
    static BlyCatalog shelf;
    shelf_fill(&shelf);
    *state = &shelf;
    return 0;
}

static int empty(void **state) {
    bly_catalog_release(*state);
    return 0;
}

int main(void) {
    (void)gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_drawing_gives_the_closed_form),
        cmocka_unit_test(a_half_is_the_whole_mirrored),
        cmocka_unit_test(the_nose_is_where_it_is_said),
        cmocka_unit_test(a_drawing_is_its_caliper_list),
        cmocka_unit_test(sections_and_boards),
        cmocka_unit_test(each_broken_outline_gets_its_error),
        cmocka_unit_test(an_outline_that_crosses_itself_is_said),
        cmocka_unit_test(a_size_that_nobody_said_is_told),
    };
    return cmocka_run_group_tests(tests, stock, empty);
}
