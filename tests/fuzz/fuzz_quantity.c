/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Quantity text. The first byte chooses the dimension ("A" is a length), the second the unit of a
 * bare number. Law: what was read is finite, and prints exactly to a text that reads back to the
 * very same double. */
#include "fuzz/fuzz.h"

#include "ballastry/units.h"

#include <math.h>
#include <string.h>

static const char *const bare_units[] = {NULL, "mm", "g", "g/cm3", "C", "deg"};
enum { BARE_UNITS = sizeof bare_units / sizeof bare_units[0], TEXT_MOST = 4096 };

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    static char text[TEXT_MOST];
    if (size < 2 || size - 2 >= sizeof text)
        return 0;
    BlyDimension dim = (BlyDimension)((data[0] + 10) % BLY_DIM_COUNT);
    memcpy(text, data + 2, size - 2);
    text[size - 2] = '\0';
    double si = 77, back = 78;
    BlyError err = {0};
    if (!bly_quantity_read(text, dim, bare_units[data[1] % BARE_UNITS], &si, &err)) {
        FUZZ_LAW(si == 77 && err.code != BLY_OK && err.text[0] != '\0');
        return 0;
    }
    FUZZ_LAW(isfinite(si));
    for (int system = 0; system < 2; system++) {
        char out[BLY_QUANTITY_MAX];
        bly_quantity_exact(si, dim, (BlySystem)system, out);
        FUZZ_LAW(bly_quantity_read(out, dim, NULL, &back, NULL) && back == si);
        bly_quantity_show(si, dim, (BlySystem)system, -1, out);
        FUZZ_LAW(strlen(out) < sizeof out && strncmp(out, "-0 ", 3) != 0);
    }
    return 0;
}
