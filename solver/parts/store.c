/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A catalog's records: copies in two arrays, and a table of places by id (open addressing), so that
 * look-ups and replacements cost the same in a catalog of any size, sorted or not. */
#include "ballastry/rules.h"

#include <math.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

static const size_t part_texts[] = {
    offsetof(BlyPart, id),    offsetof(BlyPart, name),   offsetof(BlyPart, material),
    offsetof(BlyPart, size),  offsetof(BlyPart, style),  offsetof(BlyPart, source),
    offsetof(BlyPart, grade), offsetof(BlyPart, temper),
};
static const size_t material_texts[] = {
    offsetof(BlyMaterial, id),
    offsetof(BlyMaterial, name),
    offsetof(BlyMaterial, source),
    offsetof(BlyMaterial, expansion_source),
    offsetof(BlyMaterial, strength_source),
};
enum {
    PART_TEXTS = sizeof part_texts / sizeof part_texts[0],
    MATERIAL_TEXTS = sizeof material_texts / sizeof material_texts[0],
    FIRST_ROOM = 16
};

BlyPart bly_part_blank(BlyPartKind kind) {
    BlyFigure unknown = {NAN, NAN};
    return (BlyPart){.kind = kind,
                     .origin = BLY_FROM_MEMORY,
                     .mass = unknown,
                     .volume = NAN,
                     .density = unknown,
                     .price = NAN,
                     .wire = NAN,
                     .outer = NAN,
                     .length = NAN,
                     .shank = NAN,
                     .gape = NAN,
                     .bore = NAN,
                     .passes = NAN,
                     .thickness = NAN,
                     .thickness_give = NAN,
                     .width = NAN,
                     .root_width = NAN,
                     .root_length = NAN,
                     .length_least = NAN,
                     .length_most = NAN,
                     .thinnest = NAN,
                     .bending = NAN,
                     .shank_mass = NAN,
                     .shank_volume = NAN,
                     .in_box = NAN};
}

BlyMaterial bly_material_blank(void) {
    BlyFigure unknown = {NAN, NAN};
    return (BlyMaterial){.density = unknown,
                         .expansion = unknown,
                         .bending = NAN,
                         .yield_strength = NAN,
                         .yield_soft = NAN,
                         .origin = BLY_FROM_MEMORY,
                         .expansion_origin = BLY_FROM_MEMORY,
                         .strength_origin = BLY_FROM_MEMORY};
}

/* Of one array. Slots hold place + 1; 0 is free. */
struct BlyIdIndex {
    size_t room; /* records that the array has room for */
    size_t size; /* a power of two, at least twice the room */
    size_t slots[];
};

/* One of the two arrays of a catalog: records are copied, found and released alike, whichever kind
 * they are. A shelf is taken from the catalog, worked on, and put back by the keep_ functions. */
typedef struct Shelf {
    const char *what;
    char *records;
    size_t count, stride;
    const size_t *texts; /* offsets of the texts a record owns, the id first */
    size_t text_count;
    bool draws;        /* parts: records own points, too */
    BlyIdIndex *index; /* NULL: empty, or filled by hand */
} Shelf;

static Shelf part_shelf(const BlyCatalog *c) {
    return (Shelf){"part",     (char *)c->parts, c->part_count, sizeof(BlyPart),
                   part_texts, PART_TEXTS,       true,          c->part_index};
}

static Shelf material_shelf(const BlyCatalog *c) {
    return (Shelf){"material",
                   (char *)c->materials,
                   c->material_count,
                   sizeof(BlyMaterial),
                   material_texts,
                   MATERIAL_TEXTS,
                   false,
                   c->material_index};
}

static void keep_parts(BlyCatalog *c, Shelf shelf) {
    c->parts = (BlyPart *)(void *)shelf.records;
    c->part_count = shelf.count;
    c->part_index = shelf.index;
}

static void keep_materials(BlyCatalog *c, Shelf shelf) {
    c->materials = (BlyMaterial *)(void *)shelf.records;
    c->material_count = shelf.count;
    c->material_index = shelf.index;
}

static char **text_of(void *record, size_t offset) {
    return (char **)(void *)((char *)record + offset);
}

static const char *id_at(const Shelf *shelf, size_t place) {
    return *text_of(shelf->records + place * shelf->stride, shelf->texts[0]);
}

static bool no_memory(BlyError *err) {
    return bly_fail(err, BLY_E_MEMORY, NULL, "no memory left for the catalog");
}

static void release_texts(const Shelf *shelf, void *record, size_t count) {
    for (size_t i = 0; i < count; i++)
        free(*text_of(record, shelf->texts[i]));
}

static void release_record(const Shelf *shelf, void *record) {
    release_texts(shelf, record, shelf->text_count);
    if (shelf->draws)
        free(((BlyPart *)record)->drawn);
}

/* Gives a shallow copy its own points. */
static bool own_points(BlyPart *part, BlyError *err) {
    const double *from = part->drawn;
    size_t size = 2 * part->drawn_count * sizeof *from;
    if (from == NULL)
        return true;
    part->drawn = malloc(size);
    if (part->drawn == NULL)
        return no_memory(err);
    memcpy(part->drawn, from, size);
    return true;
}

/* Gives a shallow copy its own texts; on failure it owns none. */
static bool own_texts(const Shelf *shelf, void *record, BlyError *err) {
    for (size_t i = 0; i < shelf->text_count; i++) {
        char **text = text_of(record, shelf->texts[i]);
        const char *from = *text != NULL ? *text : "";
        size_t size = strlen(from) + 1;
        *text = malloc(size);
        if (*text == NULL) {
            release_texts(shelf, record, i);
            (void)no_memory(err);
            return false;
        }
        memcpy(*text, from, size);
    }
    return true;
}

/* FNV-1a, 64 bits. */
static size_t hash(const char *id) {
    uint64_t h = 14695981039346656037u;
    for (; *id != '\0'; id++)
        h = (h ^ (unsigned char)*id) * 1099511628211u;
    return (size_t)h;
}

static void index_add(Shelf *shelf, size_t place) {
    size_t mask = shelf->index->size - 1;
    size_t i = hash(id_at(shelf, place)) & mask;
    while (shelf->index->slots[i] != 0)
        i = (i + 1) & mask;
    shelf->index->slots[i] = place + 1;
}

static void index_rebuild(Shelf *shelf) {
    if (shelf->index == NULL)
        return;
    memset(shelf->index->slots, 0, shelf->index->size * sizeof *shelf->index->slots);
    for (size_t i = 0; i < shelf->count; i++)
        index_add(shelf, i);
}

/* Place of an id, or shelf->count. A catalog that was filled by hand has no index. */
static size_t find(const Shelf *shelf, const char *id) {
    if (id == NULL)
        return shelf->count;
    if (shelf->index == NULL) {
        for (size_t i = 0; i < shelf->count; i++) {
            if (id_at(shelf, i) != NULL && strcmp(id_at(shelf, i), id) == 0)
                return i;
        }
        return shelf->count;
    }
    if (shelf->index->size == 0) /* nothing of this kind was ever added */
        return shelf->count;
    size_t mask = shelf->index->size - 1;
    for (size_t i = hash(id) & mask; shelf->index->slots[i] != 0; i = (i + 1) & mask) {
        size_t place = shelf->index->slots[i] - 1;
        if (strcmp(id_at(shelf, place), id) == 0)
            return place;
    }
    return shelf->count;
}

/* Room for one record more: the array doubles, and with it the index, at most half full. */
static bool reserve(Shelf *shelf, BlyError *err) {
    size_t had = shelf->index != NULL ? shelf->index->room : 0;
    if (shelf->count < had)
        return true;
    size_t room = had < FIRST_ROOM ? FIRST_ROOM : 2 * had;
    if (room > SIZE_MAX / 2 / shelf->stride)
        return no_memory(err);
    char *records = realloc(shelf->records, room * shelf->stride);
    if (records == NULL)
        return no_memory(err);
    shelf->records = records;
    BlyIdIndex *index = calloc(1, sizeof *index + 2 * room * sizeof index->slots[0]);
    if (index == NULL)
        return no_memory(err);
    free(shelf->index);
    index->room = room;
    index->size = 2 * room;
    shelf->index = index;
    index_rebuild(shelf);
    return true;
}

static bool id_is_good(const Shelf *shelf, const char *id, BlyError *err) {
    if (id != NULL && strcmp(id, "none") != 0 && id[0] != '\0' && id[0] != '.' && id[0] != '-' &&
        strspn(id, "abcdefghijklmnopqrstuvwxyz0123456789.-") == strlen(id))
        return true;
    if (id != NULL && strcmp(id, "none") == 0)
        return bly_fail(
            err, BLY_E_CONFLICT, "/id",
            "\"none\" is what takes a part off (swap --at belly.hook=none); no %s can be "
            "called so",
            shelf->what);
    return bly_fail(
        err, BLY_E_SYNTAX, "/id",
        "the id of a %s is made of a-z, 0-9, and within it point and hyphen, not \"%s\"",
        shelf->what, id != NULL ? id : "");
}

static bool put(Shelf *shelf, const void *record, BlyError *err) {
    union {
        BlyPart part;
        BlyMaterial material;
    } copy;
    memcpy(&copy, record, shelf->stride);
    if (!id_is_good(shelf, *text_of(&copy, shelf->texts[0]), err) || !reserve(shelf, err) ||
        !own_texts(shelf, &copy, err))
        return false;
    if (shelf->draws && !own_points(&copy.part, err)) {
        release_texts(shelf, &copy, shelf->text_count);
        return false;
    }
    size_t place = find(shelf, *text_of(&copy, shelf->texts[0]));
    char *slot = shelf->records + place * shelf->stride;
    bool is_new = place == shelf->count;
    if (!is_new)
        release_record(shelf, slot);
    memcpy(slot, &copy, shelf->stride);
    if (is_new) {
        shelf->count++;
        index_add(shelf, place);
    } /* else the id, and so the index, is as before */
    return true;
}

bool bly_catalog_put_part(BlyCatalog *catalog, const BlyPart *part, BlyError *err) {
    Shelf shelf = part_shelf(catalog);
    bool good = put(&shelf, part, err);
    keep_parts(catalog, shelf);
    return good;
}

bool bly_catalog_put_material(BlyCatalog *catalog, const BlyMaterial *material, BlyError *err) {
    Shelf shelf = material_shelf(catalog);
    bool good = put(&shelf, material, err);
    keep_materials(catalog, shelf);
    return good;
}

static void release(Shelf shelf) {
    for (size_t i = 0; i < shelf.count; i++)
        release_record(&shelf, shelf.records + i * shelf.stride);
    free(shelf.records);
    free(shelf.index);
}

void bly_catalog_release(BlyCatalog *catalog) {
    release(part_shelf(catalog));
    release(material_shelf(catalog));
    free(catalog->practice);
    *catalog = (BlyCatalog){0};
}

const BlyPart *bly_catalog_part(const BlyCatalog *catalog, const char *id) {
    Shelf shelf = part_shelf(catalog);
    size_t place = find(&shelf, id);
    return place < shelf.count ? &catalog->parts[place] : NULL;
}

const BlyMaterial *bly_catalog_material(const BlyCatalog *catalog, const char *id) {
    Shelf shelf = material_shelf(catalog);
    size_t place = find(&shelf, id);
    return place < shelf.count ? &catalog->materials[place] : NULL;
}

bool bly_catalog_has_box(const BlyCatalog *catalog) {
    for (size_t i = 0; i < catalog->part_count; i++) {
        if (!isnan(catalog->parts[i].in_box))
            return true;
    }
    return false;
}

static int compare_parts(const void *left, const void *right) {
    const BlyPart *a = left, *b = right;
    if (a->kind != b->kind)
        return a->kind < b->kind ? -1 : 1;
    return strcmp(a->id, b->id);
}

static int compare_materials(const void *left, const void *right) {
    const BlyMaterial *a = left, *b = right;
    return strcmp(a->id, b->id);
}

void bly_catalog_sort(BlyCatalog *catalog) {
    if (catalog->part_count > 1)
        qsort(catalog->parts, catalog->part_count, sizeof(BlyPart), compare_parts);
    if (catalog->material_count > 1)
        qsort(catalog->materials, catalog->material_count, sizeof(BlyMaterial), compare_materials);
    Shelf parts = part_shelf(catalog), materials = material_shelf(catalog);
    index_rebuild(&parts);
    index_rebuild(&materials);
}

const BlyPractice *bly_catalog_practice(const BlyCatalog *catalog) {
    return catalog->practice;
}

bool bly_catalog_put_practice(BlyCatalog *catalog, const BlyPractice *practice, BlyError *err) {
    if (catalog->practice == NULL)
        catalog->practice = malloc(sizeof *catalog->practice);
    if (catalog->practice == NULL)
        return no_memory(err);
    *catalog->practice = *practice;
    return true;
}
