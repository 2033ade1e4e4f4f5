/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Water against published tables. Each row of the CSV files beside this file carries its source,
 * its tolerance and why that tolerance. */
#include "support/check.h"
#include "support/table.h"
#include "ballastry/water.h"

/* Tables on the older temperature scale: t90 = t68 / 1.00024. */
static double its90(const Table *table, size_t row) {
    double t = table_number(table, row, "t_C");
    return strcmp(table_text(table, row, "scale"), "IPTS-68") == 0 ? t / 1.00024 : t;
}

static void report(const Table *table, size_t row, double got) {
    double off = got - table_number(table, row, "value");
    if (!(fabs(off) <= table_number(table, row, "tolerance")))
        print_error("row %zu (%s): ", row + 2, table_text(table, row, "source"));
}

static double quantity(const char *name, double t, double salinity) {
    if (salinity == 0 && strcmp(name, "viscosity_uPa_s") == 0)
        return 1e6 * bly_water_fresh_viscosity(t); /* wider than bly_water_at */
    BlyWater water = {0};
    BlyError err = {0};
    assert_true(bly_water_at(t, salinity, &water, &err));
    if (strcmp(name, "density_kg_m3") == 0)
        return water.density;
    if (strcmp(name, "viscosity_uPa_s") == 0)
        return 1e6 * water.viscosity;
    assert_string_equal(name, "kinematic_viscosity_mm2_s");
    return 1e6 * water.viscosity / water.density;
}

static void fresh_water_meets_every_published_row(void **state) {
    (void)state;
    Table *table = table_read("tests/water/fresh.csv");
    assert_true(table_rows(table) >= 120);
    for (size_t r = 0; r < table_rows(table); r++) {
        double got = quantity(table_text(table, r, "quantity"), its90(table, r), 0);
        report(table, r, got);
        assert_close(got, table_number(table, r, "value"), table_number(table, r, "tolerance"), 0);
    }
    table_free(table);
}

static void sea_water_meets_every_published_row(void **state) {
    (void)state;
    Table *table = table_read("tests/water/sea.csv");
    assert_true(table_rows(table) >= 112);
    for (size_t r = 0; r < table_rows(table); r++) {
        double salinity = table_number(table, r, "salinity_g_kg") / 1000;
        double got =
            quantity(table_text(table, r, "quantity"), table_number(table, r, "t_C"), salinity);
        report(table, r, got);
        assert_close(got, table_number(table, r, "value"), table_number(table, r, "tolerance"), 0);
    }
    table_free(table);
}

static void eos80_meets_every_published_row(void **state) {
    (void)state;
    Table *table = table_read("tests/water/eos80.csv");
    assert_true(table_rows(table) >= 50);
    for (size_t r = 0; r < table_rows(table); r++) {
        double got = bly_water_eos80_density(table_number(table, r, "t_ipts68_C"),
                                             table_number(table, r, "practical"));
        report(table, r, got);
        assert_close(got, table_number(table, r, "value"), table_number(table, r, "tolerance"), 0);
    }
    table_free(table);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(fresh_water_meets_every_published_row),
        cmocka_unit_test(sea_water_meets_every_published_row),
        cmocka_unit_test(eos80_meets_every_published_row),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
