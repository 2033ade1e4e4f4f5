/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The inputs that once broke a law of a fuzz target (tests/fuzz/kept/), and the seeds, through the
 * same functions without libFuzzer. A broken law aborts the program, and so fails the test. */
#include "support/check.h"

#define LLVMFuzzerTestOneInput fuzz_quantity
#include "fuzz/fuzz_quantity.c"
#undef LLVMFuzzerTestOneInput
#define LLVMFuzzerTestOneInput fuzz_build
int fuzz_build(const uint8_t *data, size_t size);
#include "fuzz/fuzz_build.c"
#undef LLVMFuzzerTestOneInput
#define LLVMFuzzerTestOneInput fuzz_catalog
int fuzz_catalog(const uint8_t *data, size_t size);
#include "fuzz/fuzz_catalog.c"
#undef LLVMFuzzerTestOneInput
#define LLVMFuzzerTestOneInput fuzz_csv
int fuzz_csv(const uint8_t *data, size_t size);
#include "fuzz/fuzz_csv.c"
#undef LLVMFuzzerTestOneInput
#define LLVMFuzzerTestOneInput fuzz_http
int fuzz_http(const uint8_t *data, size_t size);
#include "fuzz/fuzz_http.c"
#undef LLVMFuzzerTestOneInput
#define LLVMFuzzerTestOneInput fuzz_stl
int fuzz_stl(const uint8_t *data, size_t size);
#include "fuzz/fuzz_stl.c"
#undef LLVMFuzzerTestOneInput

#define LLVMFuzzerTestOneInput fuzz_svg
int fuzz_svg(const uint8_t *data, size_t size);
#include "fuzz/fuzz_svg.c"
#undef LLVMFuzzerTestOneInput

#include "build/files.h"

#include <dirent.h>

typedef int (*Target)(const uint8_t *data, size_t size);

static size_t replay(const char *folder, Target target) {
    DIR *dir = opendir(folder);
    if (dir == NULL)
        return 0; /* nothing kept for this target */
    size_t count = 0;
    for (const struct dirent *entry; (entry = readdir(dir)) != NULL;) {
        char path[512];
        size_t size;
        if (entry->d_name[0] == '.')
            continue;
        (void)snprintf(path, sizeof path, "%s/%s", folder, entry->d_name);
        char *bytes = file_bytes(path, &size);
        (void)target((const uint8_t *)bytes, size);
        free(bytes);
        count++;
    }
    (void)closedir(dir);
    return count;
}

static size_t replay_lines(const char *file, Target target) {
    size_t size, lines = 0;
    char *text = file_bytes(file, &size);
    for (char *line = text; *line != '\0'; lines++) {
        size_t length = strcspn(line, "\n");
        (void)target((const uint8_t *)line, length);
        line += length + (line[length] == '\n');
    }
    free(text);
    return lines;
}

static void kept_inputs_keep_the_laws(void **state) {
    (void)state;
    (void)replay("tests/fuzz/kept/quantity", fuzz_quantity);
    (void)replay("tests/fuzz/kept/build", fuzz_build);
    (void)replay("tests/fuzz/kept/catalog", fuzz_catalog);
    (void)replay("tests/fuzz/kept/csv", fuzz_csv);
    assert_true(replay("tests/fuzz/kept/svg", fuzz_svg) >= 3);
    (void)replay("tests/fuzz/kept/http", fuzz_http);
    assert_true(replay("tests/fuzz/kept/stl", fuzz_stl) >= 2);
}

static void seeds_keep_the_laws(void **state) {
    (void)state;
    assert_true(replay("examples", fuzz_build) >= 8);
    assert_true(replay("tests/build/good", fuzz_build) >= 5);
    assert_true(replay("catalog", fuzz_catalog) >= 5);
    assert_true(replay("tests/fuzz/requests", fuzz_http) >= 20);
    assert_true(replay("tests/fuzz/stl", fuzz_stl) >= 10);
    assert_true(replay("tests/svg/bad", fuzz_svg) >= 30);
    assert_true(replay_lines("tests/fuzz/quantities.txt", fuzz_quantity) >= 20);
    assert_true(replay_lines("tests/fuzz/paths.txt", fuzz_svg) >= 10);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(kept_inputs_keep_the_laws),
        cmocka_unit_test(seeds_keep_the_laws),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
