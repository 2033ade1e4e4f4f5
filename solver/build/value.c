/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "build/value.h"
#include "text/quote.h"
#include "decimal/decimal.h"
#include "text/format.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

const Quantity bly_any_length = {BLY_DIM_LENGTH, "mm", -5.0, 5.0, false};
const Quantity bly_some_length = {BLY_DIM_LENGTH, "mm", 0.0, 5.0, false};
const Quantity bly_solid_length = {BLY_DIM_LENGTH, "mm", 0.0, 5.0, true};
const Quantity bly_some_mass = {BLY_DIM_MASS, "g", 0.0, 50.0, true};

/* A limit as a person reads it: "5000 mm" to six digits, not the last bit of a conversion. */
static void show_limit(double si, const Quantity *what, char out[BLY_QUANTITY_MAX]) {
    if (what->dim == BLY_DIM_RATIO && what->high > 1.0)
        (void)bly_format(out, BLY_QUANTITY_MAX, "%.6g", si); /* a factor, not a share */
    else
        bly_quantity_show(si, what->dim, BLY_METRIC, -1, out);
}

static bool check_range(const BlyJson *field, const Quantity *what, double si, BlyError *err) {
    if (si >= what->low && si <= what->high && !(what->above && si == what->low))
        return true;
    char got[BLY_QUANTITY_MAX], low[BLY_QUANTITY_MAX], high[BLY_QUANTITY_MAX];
    show_limit(si, what, got);
    show_limit(what->low, what, low);
    show_limit(what->high, what, high);
    return bly_json_refuse(field, BLY_E_RANGE, err, "is %s; expected %s%s to %s", got,
                           what->above ? "above " : "", low, high);
}

bool build_quantity(const BlyJson *field, const Quantity *what, double *si, BlyError *err) {
    double value;
    if (!bly_json_quantity(field, what->dim, what->bare, &value, err) ||
        !check_range(field, what, value, err))
        return false;
    *si = value;
    return true;
}

bool build_in_percent(const BlyJson *field) {
    const char *text = cJSON_IsString(field->node) ? field->node->valuestring : "";
    size_t length = strlen(text);
    while (length > 0 && text[length - 1] == ' ')
        length--;
    return length > 0 && text[length - 1] == '%';
}

/* Shares and factors take "5 %" as five hundredths, not as a share of themselves; of a temperature
 * in Celsius a share means nothing. */
static bool takes_share(BlyDimension dim) {
    return dim != BLY_DIM_RATIO && dim != BLY_DIM_TEMPERATURE && dim != BLY_DIM_SALINITY;
}

bool build_give(const BlyJson *field, const Quantity *what, double value, double *give,
                BlyError *err) {
    if (takes_share(what->dim) && build_in_percent(field)) {
        const Quantity share = {BLY_DIM_RATIO, NULL, 0.0, 1.0, false};
        if (!build_quantity(field, &share, give, err))
            return false;
        *give *= fabs(value);
        return true;
    }
    Quantity same = {what->dim, what->bare, 0.0, fmax(fabs(what->low), fabs(what->high)), false};
    if (what->dim == BLY_DIM_TEMPERATURE)
        same.dim = BLY_DIM_TEMPERATURE_STEP;
    return build_quantity(field, &same, give, err);
}

double build_as_written(const BlyJson *field, const Quantity *what) {
    char number[BLY_NUMBER_MAX];
    if (what->dim != BLY_DIM_MASS)
        return 0.0;
    if (cJSON_IsString(field->node))
        return bly_mass_give_least(field->node->valuestring);
    bly_number_shortest(field->node->valuedouble, number);
    return fmin(bly_mass_give_least(number), 0.05e-3);
}

bool build_figure(const BlyJson *field, const Quantity *what, Give silent, BlyFigure *out,
                  BlyError *err) {
    static const char *const keys[] = {"value", "give"};
    BlyJson value = *field, give;
    bool wide = cJSON_IsObject(field->node);
    if (wide &&
        (!bly_json_object(field, keys, 2, err) || !bly_json_require(field, "value", &value, err)))
        return false;
    BlyFigure figure;
    if (!build_quantity(&value, what, &figure.value, err))
        return false;
    figure.give =
        fmax(silent.fixed + silent.share * fabs(figure.value), build_as_written(&value, what));
    if (wide && build_member(field, "give", &give) &&
        !build_give(&give, what, figure.value, &figure.give, err))
        return false;
    *out = figure;
    return true;
}

static bool is_pair(const BlyJson *field) {
    return cJSON_IsArray(field->node) && bly_json_count(field) == 2;
}

bool build_band(const BlyJson *field, const Quantity *what, double *low, double *high,
                BlyError *err) {
    double ends[2];
    if (!bly_json_pair(field, what->dim, what->bare, ends, err))
        return false;
    for (BlyJson end = bly_json_first(field); end.node != NULL; bly_json_next(&end)) {
        if (isfinite(ends[end.index]) && !check_range(&end, what, ends[end.index], err))
            return false;
    }
    *low = ends[0];
    *high = ends[1];
    return true;
}

bool build_reach(const BlyJson *field, const Quantity *what, double *low, double *high,
                 BlyError *err) {
    if (!cJSON_IsArray(field->node)) {
        if (!build_quantity(field, what, low, err))
            return false;
        *high = *low;
        return true;
    }
    if (!is_pair(field))
        return bly_json_refuse(field, BLY_E_SYNTAX, err, "expected one length, or [from, to]");
    double ends[2];
    for (BlyJson end = bly_json_first(field); end.node != NULL; bly_json_next(&end)) {
        if (!build_quantity(&end, what, &ends[end.index], err))
            return false;
    }
    if (ends[0] > ends[1])
        return bly_json_refuse(field, BLY_E_RANGE, err, "the first is greater than the second");
    *low = ends[0];
    *high = ends[1];
    return true;
}

bool build_unknown(const BlyJson *field, const char *what, const char *name, const char *near,
                   BlyError *err) {
    char quoted[BLY_QUOTE_MAX];
    bly_quote(name, quoted);
    if (near != NULL)
        return bly_json_refuse(field, BLY_E_UNKNOWN, err, "no %s \"%s\"; did you mean \"%s\"?",
                               what, quoted, near);
    return bly_json_refuse(field, BLY_E_UNKNOWN, err, "no %s \"%s\", nor one like it", what,
                           quoted);
}

bool build_opt_quantity(const BlyJson *object, const char *key, const Quantity *what, double *si,
                        BlyError *err) {
    BlyJson field;
    return !build_member(object, key, &field) || build_quantity(&field, what, si, err);
}

bool build_opt_figure(const BlyJson *object, const char *key, const Quantity *what, Give silent,
                      BlyFigure *out, BlyError *err) {
    BlyJson field;
    return !build_member(object, key, &field) || build_figure(&field, what, silent, out, err);
}
