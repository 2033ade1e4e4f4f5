/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The body from an STL file: its unit, how it lies in the file, how it was printed, and what is to
 * be said of it. docs/format.md. */
#include "build/kept.h"
#include "build/sections.h"
#include "text/quote.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { NAME_MOST = 200 /* bytes */, UNIT_MOST = 15 /* bytes */ };

static const char *const axis_words[] = {"+x", "-x", "+y", "-y", "+z", "-z"};
enum { AXES = sizeof axis_words / sizeof axis_words[0] };
static const BlyVec3 axes[AXES] = {{1.0, 0.0, 0.0},  {-1.0, 0.0, 0.0}, {0.0, 1.0, 0.0},
                                   {0.0, -1.0, 0.0}, {0.0, 0.0, 1.0},  {0.0, 0.0, -1.0}};

/* docs/format.md, defaults. */
static const Give wall_give = {0.1e-3, 0.0}, infill_give = {0.0, 0.1};

static const char *axis_word(BlyVec3 v) {
    for (int i = 0; i < AXES; i++) {
        if (bly_vec_dot(v, axes[i]) > 0.5)
            return axis_words[i];
    }
    return "?";
}

static bool read_axis(const BlyJson *body, const char *key, BlyVec3 *out, BlyError *err) {
    BlyJson word;
    size_t which = 0;
    if (!build_member(body, key, &word))
        return true;
    if (!bly_json_word(&word, axis_words, AXES, &which, err))
        return false;
    *out = axes[which];
    return true;
}

static bool read_unit(const BlyJson *body, double *out, BlyError *err) {
    BlyJson unit;
    const char *word;
    char one[UNIT_MOST + 8], quoted[BLY_QUOTE_MAX];
    *out = NAN;
    if (!build_member(body, "unit", &unit))
        return true;
    if (!bly_json_string(&unit, UNIT_MOST, &word, err))
        return false;
    (void)snprintf(one, sizeof one, "1 %s", word);
    if (word[strspn(word, "0123456789. /-+")] == word[0] &&
        bly_quantity_read(one, BLY_DIM_LENGTH, NULL, out, NULL))
        return true;
    bly_quote(word, quoted);
    return bly_json_refuse(&unit, BLY_E_UNIT, err,
                           "\"%s\" is not a unit of length; expected mm, cm, "
                           "m or in",
                           quoted);
}

static bool read_fill(const BlyJson *body, MeshWords *out, BlyError *err) {
    const Quantity wall = {BLY_DIM_LENGTH, "mm", 1e-5, 0.1, false};
    const Quantity infill = {BLY_DIM_RATIO, NULL, 0.0, 1.0, false};
    BlyJson at;
    out->wall = out->infill = (BlyFigure){NAN, 0.0};
    bool walled = build_member(body, "wall", &at);
    if (!walled && build_member(body, "infill", &at))
        return bly_json_refuse(&at, BLY_E_MISSING, err, "there is no \"wall\" around it");
    if (walled && !build_has(body, "infill"))
        return bly_json_refuse(&at, BLY_E_MISSING, err,
                               "what is within the wall? expected \"infill\" too, \"0 %%\" if "
                               "nothing is");
    return build_opt_figure(body, "wall", &wall, wall_give, &out->wall, err) &&
           build_opt_figure(body, "infill", &infill, infill_give, &out->infill, err);
}

static bool read_words(const BlyJson *body, MeshWords *out, BlyError *err) {
    BlyJson section;
    *out = (MeshWords){0};
    if (build_member(body, "section", &section))
        return bly_json_refuse(&section, BLY_E_CONFLICT, err, "a mesh has its own sections");
    return read_axis(body, "nose", &out->nose, err) && read_axis(body, "up", &out->up, err) &&
           read_unit(body, &out->unit, err) && read_fill(body, out, err);
}

/* Without a unit the size is told in the file's own numbers, which lets the maker see which it is.
 */
static bool ask_for_unit(const BlyJson *body, const BlyMesh *mesh, BlyError *err) {
    BlyVec3 low = mesh->points[0], high = low;
    for (size_t p = 1; p < mesh->point_count; p++) {
        BlyVec3 q = mesh->points[p];
        low = bly_vec(fmin(low.x, q.x), fmin(low.y, q.y), fmin(low.z, q.z));
        high = bly_vec(fmax(high.x, q.x), fmax(high.y, q.y), fmax(high.z, q.z));
    }
    return bly_json_refuse(
        body, BLY_E_MISSING, err,
        "expected \"unit\": an STL file has none; this one measures %.4g by %.4g "
        "by %.4g, in mm or in?",
        high.x - low.x, high.y - low.y, high.z - low.z);
}

static bool say_mends(BlyBuild *build, const BlyStlMends *m, BlyError *err) {
    char list[BLY_TEXT_MAX] = "";
    const struct {
        size_t count;
        const char *one, *many;
    } part[] = {
        {m->dropped, "facet without area left out", "facets without area left out"},
        {m->joined, "edge joined with one close by", "edges joined with those close by"},
        {m->removed, "facet that hung on nothing left out", "facets that hung on nothing left out"},
        {m->filled, "facet added to close a hole", "facets added to close holes"},
        {m->turned, "facet turned to face outward", "facets turned to face outward"},
    };
    for (size_t i = 0; i < sizeof part / sizeof part[0]; i++) {
        size_t used = strlen(list);
        if (part[i].count > 0)
            (void)snprintf(list + used, sizeof list - used, "%s%zu %s", used > 0 ? ", " : "",
                           part[i].count, part[i].count == 1 ? part[i].one : part[i].many);
    }
    if (list[0] == '\0')
        return true;
    if (m->filled == 0 || m->open == 0)
        return build_say(build, err, "the mesh was mended: %s", list);
    return build_say(build, err,
                     "the mesh was mended: %s; it was open at facet %zu near (%.4g, %.4g, "
                     "%.4g) mm in the file's axes",
                     list, m->open_facet, 1e3 * m->open_at.x, 1e3 * m->open_at.y,
                     1e3 * m->open_at.z);
}

static bool say_lay(BlyBuild *build, const MeshWords *words, BlyVec3 nose, BlyVec3 up,
                    BlyError *err) {
    bool found = bly_vec_norm(words->nose) == 0.0;
    if (!found && bly_vec_norm(words->up) > 0.0)
        return true;
    if (found)
        return build_say(build, err,
                         "the mesh's nose is taken to point along %s, where its longest side is "
                         "fuller, its back along %s; say \"nose\" and \"up\" if that is wrong",
                         axis_word(nose), axis_word(up));
    return build_say(build, err,
                     "the mesh's back is taken to point along %s; say \"up\" if "
                     "that is wrong",
                     axis_word(up));
}

static bool say_shells(BlyBuild *build, const BlyMeshFacts *facts, BlyError *err) {
    size_t bodies = facts->shells - facts->hollows;
    if (facts->turned > 0 && !build_say(build, err, "the mesh was inside out and has been turned"))
        return false;
    if (bodies > 1 &&
        !build_say(build, err,
                   "the mesh has %zu bodies apart from each other, worked as one rigid lure: "
                   "what hinges or rings between them would do is not worked",
                   bodies))
        return false;
    if (!facts->even &&
        !build_say(build, err,
                   "the mesh differs from side to side and is worked out so; drawings "
                   "show it as if it did not"))
        return false;
    if (!facts->searched &&
        !build_say(build, err,
                   "whether the mesh runs through itself was not looked at to the end: very "
                   "many of its facets lie close to each other"))
        return false;
    return facts->hollows == 0 ||
           build_say(build, err, "the mesh has %zu hollow%s, %.3g cm3 in all, taken as sealed",
                     facts->hollows, facts->hollows == 1 ? "" : "s", 1e6 * facts->hollow_volume);
}

/* More wall by d fills an inner skin of about S d with what the infill left open; more infill fills
 * the core. */
static void set_filled(BlyBuild *build, const MeshWords *words) {
    double outer = bly_body_solid(build->shape)->volume;
    double share = bly_body_material(build->shape)->volume / outer;
    build->filled = (BlyFigure){share, 0.0};
    if (isnan(words->wall.value))
        return;
    double open = 1.0 - words->infill.value, core = open > 0.0 ? (1.0 - share) / open : 0.0;
    double by_wall = open * bly_body_surface(build->shape)->area * words->wall.give / outer;
    build->filled.give = hypot(by_wall, core * words->infill.give);
}

static bool say_all(BlyBuild *build, const MeshWords *words, const MadeMesh *made, BlyError *err) {
    if (!say_lay(build, words, made->nose, made->up, err) || !say_mends(build, &made->mends, err) ||
        !say_shells(build, &made->facts, err))
        return false;
    return build->filled.value == 1.0 ||
           build_say(build, err, "material fills %.1f %% of the body", 100.0 * build->filled.value);
}

/* A hole that was closed by guess may leave a surface that folds back: what is at fault is the
 * hole. */
static void blame_hole(const BlyStlMends *mends, BlyError *found) {
    if (found->code != BLY_E_CONFLICT || found->where[0] == '/' || mends->filled == 0 ||
        mends->open == 0)
        return;
    (void)bly_fail(found, BLY_E_CONFLICT, NULL,
                   "is not closed: an edge has no second facet, at facet %zu near (%.4g, %.4g, "
                   "%.4g) mm in the file's axes, the first of %zu edges; closed by guess the "
                   "surface runs into itself: mend it where it was drawn",
                   mends->open_facet, 1e3 * mends->open_at.x, 1e3 * mends->open_at.y,
                   1e3 * mends->open_at.z, mends->open);
}

/* Errors of the mesh room: "/wall" and "/infill" stand in the build, all others in the file. */
static bool blame(const BlyJson *body, const BlyJson *source, const char *file,
                  const BlyError *found, BlyError *err) {
    BlyJson place;
    if (found->where[0] == '/' && build_member(body, found->where + 1, &place))
        return bly_json_refuse(&place, found->code, err, "%s", found->text);
    return build_blame_file(source, file, found, err);
}

/* The mesh laid along its axes, and the body within. */
static bool make_body(const BlyJson *body, const BlyJson *source, const char *file, BlyMesh *mesh,
                      const MeshWords *words, MadeMesh *out, BlyError *err) {
    BlyMeshFill fill = {words->wall.value, words->infill.value};
    BlyError found = {0};
    if (isnan(words->unit))
        return ask_for_unit(body, mesh, err);
    out->nose = words->nose;
    out->up = words->up;
    if (!bly_mesh_lay(mesh, &out->nose, &out->up, &found)) {
        BlyJson place;
        bool at_up = build_member(body, "up", &place);
        return bly_json_refuse(at_up ? &place : body, found.code, err, "%s", found.text);
    }
    if (bly_body_from_mesh(mesh, &fill, &out->body, &out->facts, &found))
        return true;
    blame_hole(&out->mends, &found);
    return blame(body, source, file, &found, err);
}

static bool make(const BlyJson *body, const BlyJson *source, const char *file, const char *bytes,
                 size_t size, const MeshWords *words, MadeMesh *out, BlyError *err) {
    BlyMesh mesh;
    BlyError found = {0};
    if (!bly_stl_read(bytes, size, isnan(words->unit) ? 1.0 : words->unit, &mesh, &out->mends,
                      &found))
        return build_blame_file(source, file, &found, err);
    bool good = make_body(body, source, file, &mesh, words, out, err);
    bly_mesh_release(&mesh);
    return good;
}

bool build_read_mesh(const BlyJson *body, const BlyJson *source, const BlyBuildFiles *files,
                     BlyBuild *build, BlyError *err) {
    const char *file;
    char *bytes = NULL;
    size_t size = 0;
    MeshWords words;
    MadeMesh made = {0};
    if (!bly_json_string(source, NAME_MOST, &file, err) || !read_words(body, &words, err) ||
        !build_fetch(source, file, files, &bytes, &size, err))
        return false;
    bool known = kept_find(files->kept, bytes, size, &words, &made);
    bool good = known || make(body, source, file, bytes, size, &words, &made, err);
    if (good && !known)
        kept_put(files->kept, bytes, size, &words, &made);
    else
        free(bytes);
    if (!good)
        return false;
    build->shape = made.body;
    build->mesh_unit = words.unit;
    set_filled(build, &words);
    return say_all(build, &words, &made, err);
}
