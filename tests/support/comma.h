/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A locale with decimal commas for the running test, made in a temporary folder: neither root nor
 * the machine's own locales take part. Needs localedef and its sources (Debian package locales). */
#ifndef BALLASTRY_TESTS_COMMA_H
#define BALLASTRY_TESTS_COMMA_H

#include "support/check.h"

#include <locale.h>
#include <unistd.h>

/* False where localedef is missing. Else the locale is asked for as programs do that link the
 * library, setlocale(LC_ALL, ""), until comma_end. */
static inline bool comma_begin(void) {
    char folder[] = "/tmp/ballastry-locale-XXXXXX", command[256], text[8];
    if (system("command -v localedef >/dev/null") != 0) {
        print_message("left out, localedef is not installed\n");
        return false;
    }
    assert_non_null(mkdtemp(folder));
    (void)snprintf(command, sizeof command, "localedef -i de_DE -f UTF-8 %s/de_DE.UTF-8", folder);
    int built = system(command);
    assert_int_equal(setenv("LOCPATH", folder, 1), 0);
    assert_int_equal(setenv("LC_ALL", "de_DE.UTF-8", 1), 0);
    const char *got = built == 0 ? setlocale(LC_ALL, "") : NULL;
    (void)snprintf(command, sizeof command, "rm -r %s", folder);
    assert_int_equal(system(command), 0); /* the locale is in memory by now */
    if (got == NULL)
        fail_msg("no comma locale can be made: is the Debian package locales installed?");
    (void)snprintf(text, sizeof text, "%.1f", 0.5);
    assert_string_equal(text, "0,5");
    return true;
}

static inline void comma_end(void) {
    assert_non_null(setlocale(LC_ALL, "C"));
    assert_int_equal(unsetenv("LC_ALL"), 0);
    assert_int_equal(unsetenv("LOCPATH"), 0);
}

#endif
