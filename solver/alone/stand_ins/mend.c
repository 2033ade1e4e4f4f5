/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Broken meshes are mended by a library that is only run in a process of its own. */
#include "stl/soup.h"

bool soup_mend(const Soup *soup, Mending *out, BlyError *lack) {
    (void)soup, (void)out;
    return bly_fail(lack, BLY_E_CONFLICT, NULL,
                    "it is not closed; mend it where it was drawn, or with the program, which "
                    "mends small gaps");
}
