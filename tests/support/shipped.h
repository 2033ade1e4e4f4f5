/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The shipped catalog, loaded once for all tests of a program:
 * cmocka_run_group_tests(tests, load_shipped, drop_shipped). */
#ifndef BALLASTRY_TESTS_SHIPPED_H
#define BALLASTRY_TESTS_SHIPPED_H

#include "ballastry/catalog.h"
#include "support/check.h"

#include <gsl/gsl_errno.h>
#include <stdlib.h>

static BlyCatalog catalog;

static inline int load_shipped(void **state) {
    BlyError err = {0};
    (void)state;
    (void)gsl_set_error_handler_off();
    if (!bly_catalog_shipped(&catalog, &err))
        fail_msg("%s: %s", err.where, err.text);
    return 0;
}

/* The same without the rules of the craft, for what is none of their business: rigs that nobody
 * would build show limits, rows and bounds as well as any. */
static inline int load_without_practice(void **state) {
    int failed = load_shipped(state);
    free(catalog.practice);
    catalog.practice = NULL;
    return failed;
}

static inline int drop_shipped(void **state) {
    (void)state;
    bly_catalog_release(&catalog);
    return 0;
}

#endif
