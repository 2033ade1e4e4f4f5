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
#include <unistd.h>

enum { SEEDS_REFUSED = 3 };

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

/* All but the brick with a minnow's seats and those that name too little read as builds: their
 * files are found. */
static void seeds_of_builds_read_well(void **state) {
    (void)state;
    char folder[] = "/tmp/ballastry-seeds-XXXXXX", command[128];
    assert_non_null(mkdtemp(folder));
    (void)snprintf(command, sizeof command, "tests/fuzz/seeds.bash %s", folder);
    assert_int_equal(system(command), 0);
    size_t before = fuzz_build_good, count = replay(folder, fuzz_build);
    (void)snprintf(command, sizeof command, "rm -r %s", folder);
    assert_int_equal(system(command), 0);
    assert_true(count >= 25);
    assert_int_equal(fuzz_build_good - before, count - SEEDS_REFUSED);
}

/* Parts by name, else by their ending; and the older form of an input. */
static void parts_have_bytes_of_their_own(void **state) {
    (void)state;
    static const uint8_t input[] = "{}\n--file a.csv\none\n--file b.stl\ntwo\0\n--file c";
    static const uint8_t older[] = "{}\0same";
    FuzzParts parts;
    fuzz_parts_cut(input, sizeof input - 1, &parts);
    assert_int_equal(parts.build.size, 2);
    assert_int_equal(parts.count, 3);
    assert_memory_equal(fuzz_parts_find(&parts, "a.csv")->bytes, "one", 3);
    assert_int_equal(fuzz_parts_find(&parts, "other.stl")->size, 4);
    assert_int_equal(fuzz_parts_find(&parts, "c")->size, 0);
    assert_null(fuzz_parts_find(&parts, "other.svg"));
    fuzz_parts_cut(older, sizeof older - 1, &parts);
    assert_int_equal(parts.build.size, 2);
    assert_memory_equal(fuzz_parts_find(&parts, "any")->bytes, "same", 4);
    fuzz_parts_cut(NULL, 0, &parts);
    assert_int_equal(parts.build.size, 0);
    assert_int_equal(fuzz_parts_find(&parts, "any")->size, 0);
}

static void seeds_keep_the_laws(void **state) {
    (void)state;
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
        cmocka_unit_test(seeds_of_builds_read_well),
        cmocka_unit_test(parts_have_bytes_of_their_own),
        cmocka_unit_test(seeds_keep_the_laws),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
