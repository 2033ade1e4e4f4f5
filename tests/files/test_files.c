/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Files in a folder of the test's own; failures are made by the system itself: /dev/full, a limit
 * on file size, a folder without permission. */
#include "support/check.h"
#include "files/files.h"

#include <dirent.h>
#include <fcntl.h>
#include <signal.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

static char folder[] = "/tmp/ballastry-files-XXXXXX";

static const char *in_folder(const char *name) {
    static char path[4][512];
    static int next;
    char *out = path[next++ % 4];
    (void)snprintf(out, sizeof path[0], "%s/%s", folder, name);
    return out;
}

static int make_folder(void **state) {
    (void)state;
    return mkdtemp(folder) == NULL;
}

static int remove_folder(void **state) {
    (void)state;
    char command[600];
    (void)snprintf(command, sizeof command, "rm -rf %s", folder);
    return system(command);
}

static size_t files_in(const char *path) {
    DIR *dir = opendir(path);
    assert_non_null(dir);
    size_t count = 0;
    for (const struct dirent *entry; (entry = readdir(dir)) != NULL;)
        count += entry->d_name[0] != '.';
    (void)closedir(dir);
    return count;
}

static void assert_holds(const char *path, const char *want) {
    char *bytes = NULL;
    size_t length = 0;
    BlyError err = {0};
    if (!bly_file_read(path, 1 << 20, &bytes, &length, &err))
        fail_msg("%s: %s", err.where, err.text);
    assert_int_equal(length, strlen(want));
    assert_string_equal(bytes, want);
    free(bytes);
}

static void write_text(const char *path, const char *text, BlyKeep keep) {
    BlyError err = {0};
    if (!bly_file_write(path, text, strlen(text), keep, &err))
        fail_msg("%s: %s", err.where, err.text);
}

static void assert_write_fails(const char *path, const char *text, const char *why) {
    BlyError err = {0};
    assert_false(bly_file_write(path, text, strlen(text), BLY_KEEP_NOTHING, &err));
    assert_int_equal(err.code, BLY_E_IO);
    assert_string_equal(err.where, path);
    assert_string_equal(err.text, why);
}

static void assert_read_fails(const char *path, size_t limit, const char *why) {
    char *bytes = NULL;
    size_t length = 77;
    BlyError err = {0};
    assert_false(bly_file_read(path, limit, &bytes, &length, &err));
    assert_null(bytes);
    assert_int_equal(length, 77);
    assert_int_equal(err.code, BLY_E_IO);
    assert_string_equal(err.where, path);
    assert_string_equal(err.text, why);
}

static void what_is_written_reads_back(void **state) {
    (void)state;
    const char *path = in_folder("build.json");
    write_text(path, "one", BLY_KEEP_NOTHING);
    assert_holds(path, "one");
    write_text(path, "two, longer", BLY_KEEP_NOTHING);
    assert_holds(path, "two, longer");
    write_text(path, "", BLY_KEEP_NOTHING);
    assert_holds(path, "");
    assert_int_equal(files_in(folder), 1);
    assert_int_equal(unlink(path), 0);
}

static void every_byte_survives(void **state) {
    (void)state;
    const char *path = in_folder("bytes");
    enum { SIZE = 300001 };
    char *want = malloc(SIZE), *got = NULL;
    assert_non_null(want);
    for (int i = 0; i < SIZE; i++)
        want[i] = (char)((unsigned)i * 7919U >> 3);
    size_t length = 0;
    assert_true(bly_file_write(path, want, SIZE, BLY_KEEP_NOTHING, NULL));
    assert_true(bly_file_read(path, SIZE, &got, &length, NULL));
    assert_int_equal(length, SIZE);
    assert_memory_equal(got, want, SIZE);
    assert_int_equal(got[SIZE], '\0');
    free(got);
    assert_read_fails(path, SIZE - 1, "is larger than 300000 bytes");
    assert_true(bly_file_read(path, SIZE_MAX, &got, &length, NULL));
    assert_int_equal(length, SIZE);
    free(got);
    free(want);
    assert_int_equal(unlink(path), 0);
}

static void size_limits_are_exact(void **state) {
    (void)state;
    const char *path = in_folder("five");
    write_text(path, "12345", BLY_KEEP_NOTHING);
    char *bytes = NULL;
    size_t length = 0;
    assert_true(bly_file_read(path, 5, &bytes, &length, NULL));
    assert_int_equal(length, 5);
    free(bytes);
    assert_read_fails(path, 4, "is larger than 4 bytes");
    assert_read_fails(path, 0, "is larger than 0 bytes");
    assert_int_equal(unlink(path), 0);
}

static void unreadable_files_are_named(void **state) {
    (void)state;
    assert_read_fails(in_folder("nowhere"), 100, "cannot be opened: No such file or directory");
    assert_read_fails(folder, 100, "cannot be read: Is a directory");
    assert_read_fails(in_folder("nowhere/deeper"), 100,
                      "cannot be opened: No such file or directory");
}

static void descriptors_are_read_and_left_open(void **state) {
    (void)state;
    int ends[2];
    assert_int_equal(pipe(ends), 0);
    assert_int_equal(write(ends[1], "piped", 5), 5);
    assert_int_equal(close(ends[1]), 0);
    char *bytes = NULL;
    size_t length = 0;
    assert_true(bly_descriptor_read(ends[0], "standard input", 100, &bytes, &length, NULL));
    assert_string_equal(bytes, "piped");
    free(bytes);
    assert_int_equal(close(ends[0]), 0); /* it was still open */
    BlyError err = {0};
    assert_false(bly_descriptor_read(ends[0], "standard input", 100, &bytes, &length, &err));
    assert_string_equal(err.where, "standard input");
    assert_string_equal(err.text, "cannot be read: Bad file descriptor");
}

static void an_earlier_version_is_kept_on_request(void **state) {
    (void)state;
    const char *path = in_folder("lure.json"), *earlier = in_folder("lure.json~");
    write_text(path, "first", BLY_KEEP_EARLIER); /* nothing to keep yet */
    assert_int_equal(files_in(folder), 1);
    write_text(path, "second", BLY_KEEP_EARLIER);
    assert_holds(path, "second");
    assert_holds(earlier, "first");
    write_text(path, "third", BLY_KEEP_EARLIER);
    assert_holds(path, "third");
    assert_holds(earlier, "second");
    write_text(path, "fourth", BLY_KEEP_NOTHING);
    assert_holds(earlier, "second");
    assert_int_equal(files_in(folder), 2);
    assert_int_equal(unlink(earlier), 0);
    assert_int_equal(link(path, earlier), 0); /* both names one file, as after a crash */
    write_text(path, "fifth", BLY_KEEP_EARLIER);
    assert_holds(path, "fifth");
    assert_holds(earlier, "fourth");
    assert_int_equal(files_in(folder), 2);
    assert_int_equal(unlink(path) + unlink(earlier), 0);
}

static void an_earlier_version_that_cannot_be_kept_stops_the_write(void **state) {
    (void)state;
    const char *path = in_folder("lure.json"), *earlier = in_folder("lure.json~");
    write_text(path, "first", BLY_KEEP_NOTHING);
    assert_int_equal(mkdir(earlier, 0777), 0);
    BlyError err = {0};
    assert_false(bly_file_write(path, "second", 6, BLY_KEEP_EARLIER, &err));
    assert_string_equal(err.text, "the earlier version cannot be kept: Is a directory");
    assert_holds(path, "first");
    assert_int_equal(files_in(folder), 2);
    assert_int_equal(unlink(path) + rmdir(earlier), 0);
}

static void permissions_and_links_stay(void **state) {
    (void)state;
    const char *path = in_folder("real.json"), *by_link = in_folder("link.json");
    struct stat is;
    mode_t mask = umask(027);
    write_text(path, "first", BLY_KEEP_NOTHING);
    (void)umask(mask);
    assert_int_equal(stat(path, &is), 0);
    assert_int_equal(is.st_mode & 07777, 0640);
    assert_int_equal(chmod(path, 0604), 0);
    assert_int_equal(symlink("real.json", by_link), 0);
    write_text(by_link, "second", BLY_KEEP_NOTHING);
    assert_holds(path, "second");
    assert_int_equal(lstat(by_link, &is), 0);
    assert_true(S_ISLNK(is.st_mode));
    assert_int_equal(stat(path, &is), 0);
    assert_int_equal(is.st_mode & 07777, 0604);
    assert_int_equal(unlink(path) + unlink(by_link), 0);
}

/* Neither replaced by a file of its own nor followed to a place that nobody named. */
static void a_link_to_nowhere_is_refused(void **state) {
    (void)state;
    const char *path = in_folder("gone.json"), *by_link = in_folder("link.json");
    struct stat is;
    assert_int_equal(symlink("gone.json", by_link), 0);
    assert_write_fails(by_link, "new",
                       "is a link to gone.json, where there is nothing; take the link away, or "
                       "name that file");
    assert_int_equal(lstat(by_link, &is), 0);
    assert_true(S_ISLNK(is.st_mode));
    assert_int_not_equal(lstat(path, &is), 0);
    assert_int_equal(files_in(folder), 1);
    assert_int_equal(unlink(by_link), 0);
}

static void no_name_is_no_file(void **state) {
    (void)state;
    BlyError err = {0};
    char *bytes = NULL;
    size_t length;
    assert_false(bly_file_write("", "new", 3, BLY_KEEP_NOTHING, &err));
    assert_int_equal(err.code, BLY_E_IO);
    assert_string_equal(err.where, "\"\"");
    assert_string_equal(err.text, "is not a file name; expected one to write to");
    assert_false(bly_file_read("", 100, &bytes, &length, &err));
    assert_string_equal(err.text, "is not a file name; expected one to read");
}

static void a_full_disk_is_told(void **state) {
    (void)state;
    assert_write_fails("/dev/full", "anything", "cannot be written: No space left on device");
    write_text("/dev/null", "anything", BLY_KEEP_EARLIER);
}

/* With a limit on file size the system takes the first bytes (a short write), then refuses: the
 * same course as a disk that fills up half way. The old file must be whole and alone afterwards. */
static void a_write_that_stops_half_way_leaves_the_old_file(void **state) {
    (void)state;
    const char *path = in_folder("old.json"), *fresh = in_folder("fresh.json");
    static char large[10000];
    memset(large, 'x', sizeof large - 1);
    write_text(path, "old and whole", BLY_KEEP_NOTHING);
    struct rlimit before, small;
    assert_int_equal(getrlimit(RLIMIT_FSIZE, &before), 0);
    small = before;
    small.rlim_cur = 1000;
    void (*handler)(int) = signal(SIGXFSZ, SIG_IGN);
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &small), 0);
    BlyError err = {0}, fresh_err = {0};
    bool good = bly_file_write(path, large, sizeof large - 1, BLY_KEEP_EARLIER, &err);
    bool fresh_good = bly_file_write(fresh, large, sizeof large - 1, BLY_KEEP_NOTHING, &fresh_err);
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &before), 0);
    (void)signal(SIGXFSZ, handler);
    assert_false(good || fresh_good);
    assert_string_equal(err.text, "cannot be written: File too large");
    assert_string_equal(err.where, path);
    assert_string_equal(fresh_err.text, "cannot be written: File too large");
    assert_holds(path, "old and whole");
    assert_int_equal(files_in(folder), 1);
    assert_int_equal(unlink(path), 0);
}

/* Root may write anywhere, so the test steps down to nobody for the while. */
static void places_without_permission_are_refused(void **state) {
    (void)state;
    const char *closed = in_folder("closed"), *path = in_folder("closed/a.json");
    const char *locked = in_folder("locked.json");
    assert_int_equal(mkdir(closed, 0755), 0);
    write_text(path, "old", BLY_KEEP_NOTHING);
    write_text(locked, "old", BLY_KEEP_NOTHING);
    assert_int_equal(chmod(path, 0666) + chmod(locked, 0444) + chmod(closed, 0555), 0);
    assert_int_equal(chmod(folder, 0777), 0);
    bool root = geteuid() == 0;
    if (root)
        assert_int_equal(seteuid(65534), 0);
    assert_write_fails(path, "new", "cannot be created: Permission denied");
    assert_write_fails(in_folder("closed/b.json"), "new", "cannot be created: Permission denied");
    assert_write_fails(locked, "new", "cannot be written: Permission denied");
    if (root)
        assert_int_equal(seteuid(0), 0);
    assert_int_equal(chmod(closed, 0755), 0);
    assert_holds(path, "old");
    assert_holds(locked, "old");
    assert_int_equal(files_in(closed), 1);
    assert_int_equal(unlink(path) + rmdir(closed) + unlink(locked), 0);
}

static void wrong_places_are_refused(void **state) {
    (void)state;
    assert_write_fails(folder, "x", "is a folder");
    assert_write_fails(in_folder("nowhere/a.json"), "x",
                       "cannot be created: No such file or directory");
    write_text(in_folder("file"), "x", BLY_KEEP_NOTHING);
    assert_write_fails(in_folder("file/a.json"), "x", "cannot be written: Not a directory");
    assert_int_equal(unlink(in_folder("file")), 0);
    static char longer[5000];
    memset(longer, 'a', sizeof longer - 1);
    BlyError err = {0};
    assert_false(bly_file_write(longer, "x", 1, BLY_KEEP_NOTHING, &err));
    assert_string_equal(err.text, "cannot be written: File name too long");
}

/* Leftovers of a crashed run under the temporary name do not stand in the way. */
static void leftover_temporary_files_are_passed_by(void **state) {
    (void)state;
    char name[64];
    (void)snprintf(name, sizeof name, "t.json.new-%ld-0", (long)getpid());
    const char *leftover = in_folder(name), *path = in_folder("t.json");
    write_text(leftover, "leftover", BLY_KEEP_NOTHING);
    write_text(path, "whole", BLY_KEEP_NOTHING);
    assert_holds(path, "whole");
    assert_holds(leftover, "leftover");
    assert_int_equal(unlink(path) + unlink(leftover), 0);
}

static void a_bare_name_is_written_here(void **state) {
    (void)state;
    char here[512];
    assert_non_null(getcwd(here, sizeof here));
    assert_int_equal(chdir(folder), 0);
    write_text("bare.json", "here", BLY_KEEP_NOTHING);
    assert_holds("bare.json", "here");
    assert_int_equal(unlink("bare.json"), 0);
    assert_int_equal(chdir(here), 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_written_reads_back),
        cmocka_unit_test(every_byte_survives),
        cmocka_unit_test(size_limits_are_exact),
        cmocka_unit_test(unreadable_files_are_named),
        cmocka_unit_test(descriptors_are_read_and_left_open),
        cmocka_unit_test(an_earlier_version_is_kept_on_request),
        cmocka_unit_test(an_earlier_version_that_cannot_be_kept_stops_the_write),
        cmocka_unit_test(permissions_and_links_stay),
        cmocka_unit_test(a_link_to_nowhere_is_refused),
        cmocka_unit_test(no_name_is_no_file),
        cmocka_unit_test(a_full_disk_is_told),
        cmocka_unit_test(a_write_that_stops_half_way_leaves_the_old_file),
        cmocka_unit_test(places_without_permission_are_refused),
        cmocka_unit_test(wrong_places_are_refused),
        cmocka_unit_test(leftover_temporary_files_are_passed_by),
        cmocka_unit_test(a_bare_name_is_written_here),
    };
    return cmocka_run_group_tests(tests, make_folder, remove_folder);
}
