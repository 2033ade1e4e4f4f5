/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Caliper lists. The body is a spheroid or an ellipsoid, which three stations give exactly
 * (docs/shape.md), so every way of writing it down must give the closed form: V = pi/6 L W H, the
 * centroid at L/2. 1 in = 25.4 mm (NIST SP 811, 2008, appendix B.8). */
#include "build/build.h"
#include "build/files.h"
#include "build/shelf.h"

#include <string.h>

static const double pi = 3.14159265358979323846;

typedef struct Disk {
    const char *text;
    size_t size; /* 0: as far as the text goes */
    int asked;
} Disk;

static bool give_text(void *context, const char *name, char **text, size_t *size, BlyError *err) {
    Disk *disk = context;
    disk->asked++;
    if (strcmp(name, "list.csv") != 0)
        return bly_fail(err, BLY_E_IO, name, "cannot be opened");
    *size = disk->size > 0 ? disk->size : strlen(disk->text);
    *text = calloc(*size + 1, 1);
    assert_non_null(*text);
    memcpy(*text, disk->text, *size);
    return true;
}

static bool read_body(const BlyCatalog *shelf, Disk *disk, const char *stations, BlyBuild **build,
                      BlyError *err) {
    char text[512];
    (void)snprintf(text, sizeof text,
                   "{\"ballastry\": 1, \"name\": \"a\", \"body\": {\"stations\": %s, "
                   "\"material\": \"larch\"}}",
                   stations);
    const BlyBuildFiles files = {.read = give_text, .context = disk};
    return bly_build_read_with(text, strlen(text), shelf, &files, build, err);
}

static void assert_ellipsoid(const BlyBuild *b, double length, double width, double height) {
    const BlySolid *solid = bly_body_solid(b->shape);
    assert_close(solid->volume, pi / 6.0 * length * width * height, 0.0, 1e-9);
    assert_close(solid->centroid.x, length / 2.0, 1e-9, 0.0);
}

static void every_way_of_writing_gives_the_closed_form(void **state) {
    static const struct {
        const char *text;
        double width, height, centre; /* m */
    } lists[] = {
        {"position,diameter\n0,0\n40,20\n80,0\n", 0.02, 0.02, 0.0},
        {"\xef\xbb\xbfPosition (mm), Diameter (mm)\r\n0,0\r\n40,20\r\n80,0\r\n", 0.02, 0.02, 0.0},
        {"# turned on the lathe; two of them\n\nx;diameter\n0;0\n# middle\n40,0;20,0\n80;0\n", 0.02,
         0.02, 0.0},
        {"position [cm];diameter (in)\n0;0\n4,0;0,7874015748031496\n8;0\n", 0.02, 0.02, 0.0},
        {"position,diameter\n0,0\n\"40,0\",\"20,0\"\n80 mm,0", 0.02, 0.02, 0.0},
        {"diameter,from nose\n0,0\n2 cm,4 cm\n0,8 cm\n", 0.02, 0.02, 0.0},
        {"position,width,height\n0,0,0\n40,16,22\n80,0,0\n", 0.016, 0.022, 0.0},
        {"position\tdiameter\n0\t0\n40\t20,0\n80\t0\n", 0.02, 0.02, 0.0},
        {"centre\tposition in cm\twidth mm\theight\n\t0\t0\t0\n\t4,0\t16\t22\n\t8\t0\t0\n", 0.016,
         0.022, 0.0},
        {"distance in mm,dia. (cm)\n0,0\n40,2\n80,0\n", 0.02, 0.02, 0.0},
        {"from the nose;Breadth in inches;Depth in cm;Centre line (mm)\n0;0;0;1\n"
         "40;0,6299212598425197;2,2;1\n80;0;0;1\n",
         0.016, 0.022, 0.001},
        {"diameter every 40 mm\n0\n20\n0\n", 0.02, 0.02, 0.0},
        {"diameter (in) every 4 cm\n0\n0.7874015748031496\n0\n", 0.02, 0.02, 0.0},
        {"height;width;position;centre;section\n0;0;0;1,5;\n22;16;40;1,5;2\n0;0;80;1,5;2,0\n",
         0.016, 0.022, 0.0015},
    };
    for (size_t i = 0; i < sizeof lists / sizeof lists[0]; i++) {
        Disk disk = {lists[i].text, 0, 0};
        BlyBuild *b = NULL;
        BlyError err = {0};
        if (!read_body(*state, &disk, "\"list.csv\"", &b, &err))
            fail_msg("list %zu: %s: %s", i, err.where, err.text);
        assert_int_equal(disk.asked, 1);
        assert_ellipsoid(b, 0.08, lists[i].width, lists[i].height);
        assert_close(bly_body_solid(b->shape)->centroid.z, lists[i].centre, 1e-12, 0.0);
        bly_build_free(b);
    }
}

/* The list and the same stations written into the build are one body to the last bit. */
static void a_list_is_its_stations(void **state) {
    Disk disk = {"position,width,height,centre,section\n1,4,5,0.5,2.5\n20,14,18,0,3\n"
                 "51,9,12,-0.7,2\n75,0,0,0,2\n",
                 0, 0};
    BlyBuild *listed = NULL, *written = NULL;
    assert_true(read_body(*state, &disk, "\"list.csv\"", &listed, NULL));
    assert_true(
        read_body(*state, &disk,
                  "[{\"x\":1,\"width\":4,\"height\":5,\"centre\":0.5,\"section\":2.5},"
                  "{\"x\":20,\"width\":14,\"height\":18,\"section\":3},"
                  "{\"x\":51,\"width\":9,\"height\":12,\"centre\":-0.7},{\"x\":75,\"diameter\":0}]",
                  &written, NULL));
    assert_int_equal(disk.asked, 1); /* stations written out ask for no file */
    const BlySolid *a = bly_body_solid(listed->shape), *b = bly_body_solid(written->shape);
    assert_close(a->volume, b->volume, 0.0, 0.0);
    assert_close(a->centroid.x, b->centroid.x, 0.0, 0.0);
    assert_close(a->centroid.z, b->centroid.z, 0.0, 0.0);
    assert_true(a->volume > 5e-6); /* it is a body: above half of its box's 80 x 14 x 18 mm / 2 */
    bly_build_free(listed);
    bly_build_free(written);
}

static void each_broken_list_gets_its_error(void **state) {
    static const struct {
        const char *text;
        BlyCode code;
        const char *place, *word;
    } lists[] = {
        {"\n", BLY_E_MISSING, "list.csv: ", "empty"},
        {"# nothing\n", BLY_E_MISSING, "list.csv: ", "empty"},
        {"diameter\n1\n2\n", BLY_E_MISSING, "line 1", "position"},
        {"position\n1\n2\n", BLY_E_MISSING, "line 1", "diameter"},
        {"position,width\n1,2\n", BLY_E_MISSING, "line 1", "height"},
        {"position,diameter,width\n1,2,3\n", BLY_E_CONFLICT, "line 1, column 2", "width"},
        {"position,x,diameter\n1,2,3\n", BLY_E_CONFLICT, "line 1, column 2", "two columns"},
        {"position,diametre\n", BLY_E_UNKNOWN, "line 1, column 2", "diameter"},
        {"position,colour of paint\n", BLY_E_UNKNOWN, "line 1, column 2", "colour"},
        {"position (g),diameter\n", BLY_E_UNIT, "line 1, column 1", "length"},
        {"position (mm,diameter\n", BLY_E_SYNTAX, "line 1, column 1", "brackets"},
        {"position,diameter\n", BLY_E_RANGE, "list.csv: ", "at least 2"},
        {"position,diameter\n0,3\n", BLY_E_RANGE, "list.csv: ", "at least 2"},
        {"position,diameter\n0,0\n4,0,2,0\n", BLY_E_SYNTAX, "line 3", "decimal commas"},
        {"position,diameter\n0,0\n40\n", BLY_E_SYNTAX, "line 3", "1 cells"},
        {"position,diameter\n0,0\n40,\n80,0\n", BLY_E_MISSING, "line 3, column 2", "empty"},
        {"position,diameter\n0,0\n40,thick\n", BLY_E_SYNTAX, "line 3, column 2", "thick"},
        {"position,diameter\n0,0\n40,20 g\n", BLY_E_UNIT, "line 3, column 2", "length"},
        {"position;diameter\n0;0\n40;1.234,5\n", BLY_E_SYNTAX, "line 3, column 2", "1.234"},
        {"position,diameter\n0,0\n40,-1\n", BLY_E_RANGE, "line 3, column 2", "-1"},
        {"position,diameter\n0,0\n40,6000\n", BLY_E_RANGE, "line 3, column 2", "5000"},
        {"position,diameter\n0,0\n40,nan\n", BLY_E_RANGE, "line 3, column 2", "finite"},
        {"position,diameter,section\n0,0,2\n40,9,1\n", BLY_E_RANGE, "line 3, column 3", "1.2"},
        {"position,diameter\n0,0\n# late\n40,20\n30,0\n", BLY_E_RANGE, "line 5", ""},
        {"position,diameter\n0,0\n40,0\n", BLY_E_RANGE, "list.csv", ""},
        {"position,diameter\n0,\"0\n", BLY_E_SYNTAX, "line 2, column 2", "quote"},
        {"position,diameter every 5 mm\n0,0\n", BLY_E_CONFLICT, "line 1, column 1", "every"},
        {"diameter every 5 g\n0\n1\n", BLY_E_UNIT, "line 1, column 1", "length"},
        {"diameter every 0 mm\n0\n1\n", BLY_E_RANGE, "line 1, column 1", "above 0"},
        {"position\tdiameter\n\t3\n4\t5\n", BLY_E_MISSING, "line 2, column 1", "empty"},
        {"position in pounds;diameter\n0;0\n", BLY_E_UNKNOWN, "line 1, column 1", "pounds"},
    };
    int faults = 0;
    for (size_t i = 0; i < sizeof lists / sizeof lists[0]; i++) {
        Disk disk = {lists[i].text, 0, 0};
        BlyBuild *b = NULL;
        BlyError err = {0};
        bool good = read_body(*state, &disk, "\"list.csv\"", &b, &err);
        if (good || err.code != lists[i].code || strcmp(err.where, "/body/stations") != 0 ||
            strstr(err.text, lists[i].place) == NULL || strstr(err.text, lists[i].word) == NULL) {
            print_error("list %zu: got %s, %s, \"%s\"\n", i, bly_code_words(err.code), err.where,
                        err.text);
            faults++;
        }
        bly_build_free(b);
        assert_false(read_body(*state, &disk, "\"list.csv\"", &b, NULL));
    }
    assert_int_equal(faults, 0);
}

static void other_bytes_and_other_files_are_refused(void **state) {
    Disk zero = {"position,diameter\n0,0\n\0,1\n", 25, 0};
    BlyBuild *b = NULL;
    BlyError err = {0};
    assert_false(read_body(*state, &zero, "\"list.csv\"", &b, &err));
    assert_int_equal(err.code, BLY_E_SYNTAX);
    assert_non_null(strstr(err.text, "zero byte"));
    assert_false(read_body(*state, &zero, "\"other.csv\"", &b, &err));
    assert_int_equal(err.code, BLY_E_IO); /* the hook's own words and place */
    assert_string_equal(err.where, "other.csv");
    assert_false(read_body(*state, &zero, "\"\"", &b, &err));
    assert_string_equal(err.where, "/body/stations");
}

/* More than 500 stations are refused before any place for them is missing. */
static void too_many_stations_are_refused(void **state) {
    char *text = calloc(1, 16384);
    assert_non_null(text);
    size_t used = (size_t)snprintf(text, 16384, "position,diameter\n");
    for (int i = 0; i < 501; i++)
        used += (size_t)snprintf(text + used, 16384 - used, "%d,9\n", i);
    Disk disk = {text, 0, 0};
    BlyBuild *b = NULL;
    BlyError err = {0};
    assert_false(read_body(*state, &disk, "\"list.csv\"", &b, &err));
    assert_int_equal(err.code, BLY_E_RANGE);
    assert_non_null(strstr(err.text, "line 502"));
    *strrchr(text, '\n') = '\0';
    *(strrchr(text, '\n') + 1) = '\0'; /* 500 are allowed */
    assert_true(read_body(*state, &disk, "\"list.csv\"", &b, NULL));
    bly_build_free(b);
    free(text);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_way_of_writing_gives_the_closed_form),
        cmocka_unit_test(a_list_is_its_stations),
        cmocka_unit_test(each_broken_list_gets_its_error),
        cmocka_unit_test(other_bytes_and_other_files_are_refused),
        cmocka_unit_test(too_many_stations_are_refused),
    };
    return cmocka_run_group_tests(tests, shelf_stock, shelf_clear);
}
