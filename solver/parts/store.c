/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A catalog's records: copies in two arrays, and a table of places by id (open addressing), so that
 * look-ups and replacements cost the same in a catalog of any size, sorted or not. */
#include "ballastry/parts.h"

#include <math.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

static const size_t part_texts[] = {
    offsetof(BlyPart, id),    offsetof(BlyPart, name),  offsetof(BlyPart, material),
    offsetof(BlyPart, size),  offsetof(BlyPart, style), offsetof(BlyPart, source),
    offsetof(BlyPart, grade),
};
static const size_t material_texts[] = {
    offsetof(BlyMaterial, id),
    offsetof(BlyMaterial, name),
    offsetof(BlyMaterial, source),
    offsetof(BlyMaterial, expansion_source),
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
                     .shank_mass = NAN,
                     .shank_volume = NAN};
}

BlyMaterial bly_material_blank(void) {
    BlyFigure unknown = {NAN, NAN};
    return (BlyMaterial){.density = unknown,
                         .expansion = unknown,
                         .origin = BLY_FROM_MEMORY,
                         .expansion_origin = BLY_FROM_MEMORY};
}

/* One of the two arrays of a catalog: records are copied, found and released alike, whichever kind
 * they are. A shelf is taken from the catalog, worked on, and put back by the keep_ functions. */
typedef struct Shelf {
    const char *what;
    char *records;
    size_t count, room, stride;
    const size_t *texts; /* offsets of the texts a record owns, the id first */
    size_t text_count;
    BlyIdIndex index;
} Shelf;

static Shelf part_shelf(const BlyCatalog *c) {
    return (Shelf){"part",          (char *)c->parts, c->part_count, c->part_room,
                   sizeof(BlyPart), part_texts,       PART_TEXTS,    c->part_index};
}

static Shelf material_shelf(const BlyCatalog *c) {
    return (Shelf){"material",          (char *)c->materials, c->material_count, c->material_room,
                   sizeof(BlyMaterial), material_texts,       MATERIAL_TEXTS,    c->material_index};
}

static void keep_parts(BlyCatalog *c, Shelf shelf) {
    c->parts = (BlyPart *)(void *)shelf.records;
    c->part_count = shelf.count;
    c->part_room = shelf.room;
    c->part_index = shelf.index;
}

static void keep_materials(BlyCatalog *c, Shelf shelf) {
    c->materials = (BlyMaterial *)(void *)shelf.records;
    c->material_count = shelf.count;
    c->material_room = shelf.room;
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

/* Gives a shallow copy its own texts; on failure it owns none. */
static bool own_texts(const Shelf *shelf, void *record, BlyError *err) {
    for (size_t i = 0; i < shelf->text_count; i++) {
        char **text = text_of(record, shelf->texts[i]);
        const char *from = *text != NULL ? *text : "";
        size_t size = strlen(from) + 1;
        *text = malloc(size);
        if (*text == NULL) {
            release_texts(shelf, record, i);
            return no_memory(err);
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

/* Slots hold place + 1; 0 is free. */
static void index_add(Shelf *shelf, size_t place) {
    size_t mask = shelf->index.size - 1;
    size_t i = hash(id_at(shelf, place)) & mask;
    while (shelf->index.slots[i] != 0)
        i = (i + 1) & mask;
    shelf->index.slots[i] = place + 1;
}

static void index_rebuild(Shelf *shelf) {
    if (shelf->index.size == 0)
        return;
    memset(shelf->index.slots, 0, shelf->index.size * sizeof *shelf->index.slots);
    for (size_t i = 0; i < shelf->count; i++)
        index_add(shelf, i);
}

/* Place of an id, or shelf->count. A catalog that was filled by hand has no index. */
static size_t find(const Shelf *shelf, const char *id) {
    if (id == NULL)
        return shelf->count;
    if (shelf->index.size == 0) {
        for (size_t i = 0; i < shelf->count; i++) {
            if (id_at(shelf, i) != NULL && strcmp(id_at(shelf, i), id) == 0)
                return i;
        }
        return shelf->count;
    }
    size_t mask = shelf->index.size - 1;
    for (size_t i = hash(id) & mask; shelf->index.slots[i] != 0; i = (i + 1) & mask) {
        size_t place = shelf->index.slots[i] - 1;
        if (strcmp(id_at(shelf, place), id) == 0)
            return place;
    }
    return shelf->count;
}

/* Room for one record more: the array doubles, the index stays at most half full. */
static bool reserve(Shelf *shelf, BlyError *err) {
    if (shelf->count == shelf->room) {
        size_t room = shelf->room < FIRST_ROOM ? FIRST_ROOM : 2 * shelf->room;
        if (room > SIZE_MAX / 2 / shelf->stride)
            return no_memory(err);
        char *records = realloc(shelf->records, room * shelf->stride);
        if (records == NULL)
            return no_memory(err);
        shelf->records = records;
        shelf->room = room;
    }
    if (shelf->index.size < 2 * shelf->room) {
        size_t *slots = calloc(2 * shelf->room, sizeof *slots);
        if (slots == NULL)
            return no_memory(err);
        free(shelf->index.slots);
        shelf->index = (BlyIdIndex){slots, 2 * shelf->room};
        index_rebuild(shelf);
    }
    return true;
}

static bool id_is_good(const Shelf *shelf, const char *id, BlyError *err) {
    if (id != NULL && id[0] != '\0' && id[0] != '.' && id[0] != '-' &&
        strspn(id, "abcdefghijklmnopqrstuvwxyz0123456789.-") == strlen(id))
        return true;
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
    size_t place = find(shelf, *text_of(&copy, shelf->texts[0]));
    char *slot = shelf->records + place * shelf->stride;
    bool is_new = place == shelf->count;
    if (!is_new)
        release_texts(shelf, slot, shelf->text_count);
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
        release_texts(&shelf, shelf.records + i * shelf.stride, shelf.text_count);
    free(shelf.records);
    free(shelf.index.slots);
}

void bly_catalog_release(BlyCatalog *catalog) {
    release(part_shelf(catalog));
    release(material_shelf(catalog));
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
