/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ballastry/version.h"

#include <gsl/gsl_errno.h>

const char *bly_version(void) {
    return BLY_VERSION;
}

int bly_version_number(void) {
    return BLY_VERSION_NUMBER;
}

void bly_begin(void) {
    (void)gsl_set_error_handler_off();
}
