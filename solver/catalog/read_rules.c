/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The rules of the craft as a catalog's file names them. A rule that a file gives takes the place
 * of the one of that name whole. */
#include "catalog/read.h"

#include <math.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

/* A density may be left out: 0. */
typedef enum FieldKind { NUMBER, LENGTH, MASS, ANGLE, SALINITY, DENSITY, ANGLES, TABLE } FieldKind;

/* Columns of a table: L length, S a hook's size, R a ring's, T a word, N a number. One column: a
 * list without inner lists. */
typedef struct RuleField {
    BlyRuleId rule;
    const char *key;
    FieldKind kind;
    size_t offset;
    const char *columns;
} RuleField;

#define AT(member) offsetof(BlyPractice, member)
static const RuleField fields[] = {
    {BLY_RULE_HOOK_SIZE, "slender_height", NUMBER, AT(slender_height), NULL},
    {BLY_RULE_HOOK_SIZE, "deep_height", NUMBER, AT(deep_height), NULL},
    {BLY_RULE_HOOK_SIZE, "slender", TABLE, AT(slender), "LSS"},
    {BLY_RULE_HOOK_SIZE, "deep", TABLE, AT(deep), "LSS"},
    {BLY_RULE_HOOK_SIZE, "three_smaller", NUMBER, AT(three_smaller), NULL},
    {BLY_RULE_HOOK_SIZE, "beyond", NUMBER, AT(size_beyond), NULL},
    {BLY_RULE_HOOK_SIZE, "singles", TABLE, AT(singles), "SS"},
    {BLY_RULE_HOOK_SIZE, "sold", TABLE, AT(sold), "S"},
    {BLY_RULE_HOOK_GRADE, "grades", TABLE, AT(grades), "T"},
    {BLY_RULE_HOOK_GRADE, "salt_grades", TABLE, AT(salt_grades), "T"},
    {BLY_RULE_HOOK_GRADE, "salt_from", SALINITY, AT(salt_from), NULL},
    {BLY_RULE_HOOK_ORDER, "smaller_most", NUMBER, AT(smaller_most), NULL},
    {BLY_RULE_HOOK_ORDER, "tail_down", ANGLE, AT(tail_down), NULL},
    {BLY_RULE_HOOK_ALIKE, "apart", NUMBER, AT(grades_apart), NULL},
    {BLY_RULE_RING_SIZE, "rings", TABLE, AT(rings), "SRR"},
    {BLY_RULE_RING_SIZE, "lighter", NUMBER, AT(ring_lighter), NULL},
    {BLY_RULE_EYE_WIRE, "screw", TABLE, AT(screw_wire), "LL"},
    {BLY_RULE_EYE_WIRE, "screw_heavy", MASS, AT(screw_heavy), NULL},
    {BLY_RULE_EYE_WIRE, "twisted", TABLE, AT(twisted_wire), "LL"},
    {BLY_RULE_EYE_WIRE, "twisted_heavy", MASS, AT(twisted_heavy), NULL},
    {BLY_RULE_EYE_WIRE, "heavy_border", NUMBER, AT(heavy_border), NULL},
    {BLY_RULE_EYE_WOOD, "screw_share", NUMBER, AT(screw_share), NULL},
    {BLY_RULE_EYE_WOOD, "twisted_share", NUMBER, AT(twisted_share), NULL},
    {BLY_RULE_EYE_WOOD, "screw_density", DENSITY, AT(screw_density), NULL},
    {BLY_RULE_EYE_WOOD, "skin", LENGTH, AT(skin), NULL},
    {BLY_RULE_EYE_WOOD, "far_skin", LENGTH, AT(far_skin), NULL},
    {BLY_RULE_LIP_WIDTH, "least", NUMBER, AT(lip_least), NULL},
    {BLY_RULE_LIP_WIDTH, "most", NUMBER, AT(lip_most), NULL},
    {BLY_RULE_LIP_WIDTH, "flat_most", NUMBER, AT(lip_flat_most), NULL},
    {BLY_RULE_LIP_WIDTH, "flat_from", NUMBER, AT(flat_from), NULL},
    {BLY_RULE_LIP_FREE, "least", NUMBER, AT(free_least), NULL},
    {BLY_RULE_LIP_FREE, "most", NUMBER, AT(free_most), NULL},
    {BLY_RULE_LIP_GAUGE, "gauges", TABLE, AT(gauges), "TLLL"},
    {BLY_RULE_LIP_BENDING, "force_n", NUMBER, AT(bend_force), NULL},
    {BLY_RULE_LIP_BENDING, "force_n_per_g", NUMBER, AT(bend_per_g), NULL},
    {BLY_RULE_SURFACE, "width_share", NUMBER, AT(strip_share), NULL},
    {BLY_RULE_SURFACE, "layers", NUMBER, AT(layers_most), NULL},
    {BLY_RULE_SURFACE, "stack", LENGTH, AT(stack_most), NULL},
    {BLY_RULE_SURFACE, "clear", LENGTH, AT(clear), NULL},
    {BLY_RULE_HOOK_SHARE, "least", NUMBER, AT(share_least), NULL},
    {BLY_RULE_HOOK_SHARE, "most", NUMBER, AT(share_most), NULL},
    {BLY_RULE_HOOK_SHARE, "cost", NUMBER, AT(share_cost), NULL},
    {BLY_RULE_HOOK_SHARE, "chance", NUMBER, AT(share_chance), NULL},
    {BLY_RULE_KINDS, "cost", NUMBER, AT(kind_cost), NULL},
    {BLY_RULE_KINDS, "grade", NUMBER, AT(grade_cost), NULL},
    {BLY_RULE_KINDS, "number", NUMBER, AT(number_cost), NULL},
    {BLY_RULE_KINDS, "metal_chance", NUMBER, AT(metal_chance), NULL},
    {BLY_RULE_KINDS, "single", NUMBER, AT(single_cost), NULL},
    {BLY_RULE_KINDS, "short", NUMBER, AT(short_cost), NULL},
    {BLY_RULE_KINDS, "short_below", NUMBER, AT(short_below), NULL},
    {BLY_RULE_KINDS, "metal", NUMBER, AT(metal_cost), NULL},
    {BLY_RULE_KINDS, "eye_metals", TABLE, AT(eye_metals), "T"},
    {BLY_RULE_KINDS, "rare_lips", TABLE, AT(rare_lips), "T"},
    {BLY_RULE_ATTITUDE, "suspend", ANGLES, AT(suspend_low), NULL},
    {BLY_RULE_ATTITUDE, "sink", ANGLES, AT(sink_low), NULL},
    {BLY_RULE_ATTITUDE, "float", ANGLES, AT(float_low), NULL},
    {BLY_RULE_MENDING, "order", TABLE, AT(mend_order), "TN"},
    {BLY_RULE_MENDING, "edge_step", LENGTH, AT(edge_step), NULL},
    {BLY_RULE_MENDING, "back_step", LENGTH, AT(back_step), NULL},
    {BLY_RULE_MENDING, "back_give", LENGTH, AT(back_give), NULL},
    {BLY_RULE_MENDING, "at_once", NUMBER, AT(mends_most), NULL},
    {BLY_RULE_MENDING, "gain", NUMBER, AT(mend_gain), NULL},
    {BLY_RULE_MENDING, "alike", NUMBER, AT(mend_alike), NULL},
    {BLY_RULE_MENDING, "worth", NUMBER, AT(mend_worth), NULL},
};
enum { FIELDS = sizeof fields / sizeof fields[0], KEYS_MOST = 16 };

static const struct {
    BlyDimension dimension;
    const char *bare;
} quantities[] = {[LENGTH] = {BLY_DIM_LENGTH, "mm"},
                  [MASS] = {BLY_DIM_MASS, "g"},
                  [ANGLE] = {BLY_DIM_ANGLE, "deg"},
                  [SALINITY] = {BLY_DIM_SALINITY, "g/kg"},
                  [DENSITY] = {BLY_DIM_DENSITY, "g/cm3"}};

static bool read_word(const BlyJson *at, char out[BLY_RULE_WORD_MAX], BlyError *err) {
    if (!cJSON_IsString(at->node) || strlen(at->node->valuestring) >= BLY_RULE_WORD_MAX)
        return bly_json_refuse(at, BLY_E_SYNTAX, err, "expected a word of up to %d letters",
                               BLY_RULE_WORD_MAX - 1);
    memcpy(out, at->node->valuestring, strlen(at->node->valuestring) + 1);
    return true;
}

static bool read_hook(const BlyJson *at, double *out, BlyError *err) {
    int rank = cJSON_IsString(at->node) ? bly_hook_rank(at->node->valuestring) : 0;
    if (rank == 0)
        return bly_json_refuse(at, BLY_E_UNKNOWN, err,
                               "expected a hook size, \"24\" to \"1\", \"1/0\" to \"10/0\"");
    *out = rank;
    return true;
}

static bool read_ring(const BlyJson *at, double *out, BlyError *err) {
    int number;
    if (!cJSON_IsString(at->node) || !bly_ring_number(at->node->valuestring, &number))
        return bly_json_refuse(at, BLY_E_UNKNOWN, err, "expected the number of a ring, \"00\"");
    *out = number;
    return true;
}

/* Puts what one cell says into the row; *numbers and *words count what the row has so far. */
static bool read_cell(const BlyJson *at, char column, BlyRuleTable *table, size_t *numbers,
                      size_t *words, BlyError *err) {
    double *number = &table->at[table->rows][*numbers < BLY_RULE_COLUMNS_MAX ? *numbers : 0];
    switch (column) {
    case 'L':
        ++*numbers;
        return bly_json_quantity(at, BLY_DIM_LENGTH, "mm", number, err);
    case 'S':
        ++*numbers;
        return read_hook(at, number, err);
    case 'R':
        ++*numbers;
        return read_ring(at, number, err);
    case 'N':
        ++*numbers;
        return bly_json_number(at, 0, 1e6, number, err);
    default:
        return read_word(at, table->word[table->rows][(*words)++], err);
    }
}

static bool read_row(const BlyJson *row, const char *columns, BlyRuleTable *table, BlyError *err) {
    size_t numbers = 0, words = 0, count = strlen(columns);
    if (count == 1)
        return read_cell(row, columns[0], table, &numbers, &words, err);
    if (!bly_json_array(row, count, count, err))
        return false;
    for (BlyJson cell = bly_json_first(row); cell.node != NULL; bly_json_next(&cell)) {
        if (!read_cell(&cell, columns[cell.index], table, &numbers, &words, err))
            return false;
    }
    return true;
}

/* Lengths of one table, or of one word's rows, must rise: they are interpolated. */
static bool rises(const BlyRuleTable *table, const char *columns) {
    size_t now = table->rows;
    bool same = now > 0 && strcmp(table->word[now][0], table->word[now - 1][0]) == 0;
    bool ranked = columns[0] == 'L' || columns[0] == 'S' || columns[1] == 'L';
    return !same || !ranked || table->at[now][0] > table->at[now - 1][0];
}

static bool read_table(const BlyJson *list, const char *columns, BlyRuleTable *out, BlyError *err) {
    if (!bly_json_array(list, 1, BLY_RULE_ROWS_MAX, err))
        return false;
    memset(out, 0, sizeof *out);
    for (BlyJson row = bly_json_first(list); row.node != NULL; bly_json_next(&row)) {
        if (!read_row(&row, columns, out, err))
            return false;
        if (!rises(out, columns))
            return bly_json_refuse(&row, BLY_E_RANGE, err, "rows must rise");
        out->rows++;
    }
    return true;
}

static bool read_field(const BlyJson *rule, const RuleField *field, BlyPractice *out,
                       BlyError *err) {
    void *to = (char *)out + field->offset;
    double *number = to;
    BlyJson at;
    if (field->kind == DENSITY) {
        at = bly_json_member(rule, field->key);
        *number = 0;
        return at.node == NULL ||
               bly_json_quantity(&at, BLY_DIM_DENSITY, quantities[DENSITY].bare, number, err);
    }
    if (!bly_json_require(rule, field->key, &at, err))
        return false;
    switch (field->kind) {
    case TABLE:
        return read_table(&at, field->columns, to, err);
    case NUMBER:
        return bly_json_number(&at, 0, 1e6, number, err);
    case ANGLES:
        return bly_json_pair(&at, BLY_DIM_ANGLE, "deg", number, err);
    case LENGTH:
    case MASS:
    case ANGLE:
    case SALINITY:
    case DENSITY:
        break;
    }
    return bly_json_quantity(&at, quantities[field->kind].dimension, quantities[field->kind].bare,
                             number, err);
}

static bool read_line(const BlyJson *rule, const char *key, char out[BLY_RULE_TEXT_MAX],
                      BlyError *err) {
    BlyJson at;
    const char *text;
    if (!bly_json_require(rule, key, &at, err) ||
        !bly_json_string(&at, BLY_RULE_TEXT_MAX - 1, &text, err))
        return false;
    memcpy(out, text, strlen(text) + 1);
    return true;
}

static bool read_head(const BlyJson *at, BlyRuleId id, BlyRule *rule, BlyError *err) {
    const char *words[BLY_RULE_STRENGTHS];
    for (int i = 0; i < BLY_RULE_STRENGTHS; i++)
        words[i] = bly_rule_strength_name((BlyRuleStrength)i);
    const char *known[KEYS_MOST + 6] = {"id", "strength", "limit", "words", "origin", "source"};
    size_t count = 6, index;
    for (size_t i = 0; i < FIELDS; i++) {
        if (fields[i].rule == id)
            known[count++] = fields[i].key;
    }
    BlyJson strength, limit;
    if (!bly_json_object(at, known, count, err) ||
        !bly_json_require(at, "strength", &strength, err) ||
        !bly_json_word(&strength, words, BLY_RULE_STRENGTHS, &index, err))
        return false;
    rule->strength = (BlyRuleStrength)index;
    return bly_json_require(at, "limit", &limit, err) && read_word(&limit, rule->limit, err) &&
           read_line(at, "words", rule->words, err) && read_line(at, "source", rule->source, err) &&
           catalog_read_origin(at, "origin", &rule->origin, err);
}

static bool read_id(const BlyJson *at, BlyRuleId *id, BlyError *err) {
    const char *words[BLY_RULES];
    for (int i = 0; i < BLY_RULES; i++)
        words[i] = bly_rule_id((BlyRuleId)i);
    BlyJson name;
    size_t index;
    if (!bly_json_require(at, "id", &name, err) ||
        !bly_json_word(&name, words, BLY_RULES, &index, err))
        return false;
    *id = (BlyRuleId)index;
    return true;
}

static bool read_rule(const BlyJson *at, unsigned *seen, BlyPractice *out, BlyError *err) {
    BlyRuleId id;
    if (!bly_json_object(at, NULL, 0, err) || !read_id(at, &id, err))
        return false;
    if (*seen & (1u << id))
        return bly_json_refuse(at, BLY_E_CONFLICT, err, "\"%s\" appears twice", bly_rule_id(id));
    *seen |= 1u << id;
    if (!read_head(at, id, &out->rule[id], err))
        return false;
    for (size_t i = 0; i < FIELDS; i++) {
        if (fields[i].rule == id && !read_field(at, &fields[i], out, err))
            return false;
    }
    return true;
}

bool catalog_read_rules(const BlyJson *root, const BlyCatalog *base, BlyCatalog *into,
                        BlyError *err) {
    enum { RULES_MOST = 100 };
    BlyJson list = bly_json_member(root, "practice");
    unsigned seen = 0;
    if (list.node == NULL)
        return true;
    const BlyPractice *before = bly_catalog_practice(into);
    if (before == NULL && base != NULL)
        before = bly_catalog_practice(base);
    BlyPractice *read = calloc(1, sizeof *read);
    if (read == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the rules");
    if (before != NULL)
        *read = *before;
    bool good = bly_json_array(&list, 0, RULES_MOST, err);
    if (good) {
        for (BlyJson at = bly_json_first(&list); good && at.node != NULL; bly_json_next(&at))
            good = read_rule(&at, &seen, read, err);
    }
    good = good && bly_catalog_put_practice(into, read, err);
    free(read);
    return good;
}
