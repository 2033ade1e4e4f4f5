/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What every command does before and after its own work: files in, output out, errors told. */
#include "cli/cli.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "ballastry/catalog.h"
#include "files/files.h"
#include "json/json.h"

static const size_t file_limit = (size_t)64 << 20;

/* Names and texts from files may hold control characters: one line stays one line. */
static void put_plain(FILE *to, const char *text) {
    for (const unsigned char *p = (const unsigned char *)text; *p != '\0'; p++)
        (void)fputc(*p < 0x20 || *p == 0x7f ? '?' : *p, to);
}

int cli_status(BlyCode code) {
    return code == BLY_OK ? EXIT_DONE : bly_code_of_input(code) ? EXIT_BAD_INPUT : EXIT_FAULT;
}

int cli_tell(const char *file, const BlyError *err) {
    (void)fputs("ballastry: ", stderr);
    bool same = file != NULL && strcmp(file, err->where) == 0;
    if (file != NULL && err->code != BLY_E_IO) {
        put_plain(stderr, file);
        (void)fputs(": ", stderr);
    }
    if (err->where[0] != '\0' && !(same && err->code != BLY_E_IO)) {
        put_plain(stderr, err->where);
        (void)fputs(": ", stderr);
    }
    put_plain(stderr, err->text);
    (void)fputc('\n', stderr);
    return cli_status(err->code);
}

static bool read_whole(const char *file, char **text, size_t *size, BlyError *err) {
    if (strcmp(file, "-") == 0)
        return bly_descriptor_read(STDIN_FILENO, "standard input", file_limit, text, size, err);
    return bly_file_read(file, file_limit, text, size, err);
}

static bool ends_with(const char *text, const char *end) {
    size_t n = strlen(text), m = strlen(end);
    return n >= m && strcmp(text + n - m, end) == 0;
}

static bool add_catalog(BlyCatalog *catalog, const char *file, BlyError *err) {
    char *text = NULL;
    size_t size = 0;
    Cli there = {.file = file}; /* drawings that it names lie beside it */
    const BlyBuildFiles beside = cli_files(&there);
    const BlyCatalogFiles files = {beside.read, beside.context};
    bool good = read_whole(file, &text, &size, err);
    if (good && ends_with(file, ".csv"))
        good = bly_catalog_read_csv(catalog, text, size, err);
    else if (good)
        good = bly_catalog_read_json_with(catalog, text, size, &files, err);
    free(text);
    return good;
}

static bool add_box(const Cli *cli, BlyCatalog *catalog, const char *text, char path[BOX_PATH_MAX],
                    BlyError *err) {
    path[0] = '\0';
    if (cli->box == NULL)
        (void)box_find(cli->file, path);
    else if (strcmp(cli->box, "none") != 0)
        (void)snprintf(path, BOX_PATH_MAX, "%s", cli->box);
    if (text != NULL)
        return bly_catalog_read_box(catalog, text, strlen(text), err);
    return path[0] == '\0' || box_read(path, catalog, err);
}

bool cli_read_catalog(const Cli *cli, const char *box, BlyCatalog *out, char box_path[BOX_PATH_MAX],
                      const char **file, BlyError *err) {
    *file = "shipped catalog";
    if (!bly_catalog_shipped(out, err))
        return false;
    for (size_t i = 0; i < cli->catalogs.count; i++) {
        *file = cli->catalogs.at[i];
        if (!add_catalog(out, *file, err))
            return false;
    }
    *file = box_path;
    return add_box(cli, out, box, box_path, err);
}

bool cli_catalog(Cli *cli, int *status) {
    BlyError err = {0};
    const char *file;
    if (cli_read_catalog(cli, NULL, &cli->catalog, cli->box_path, &file, &err))
        return true;
    *status = cli_tell(file, &err);
    return false;
}

bool cli_read_book(const Cli *cli, BlyCatalog *catalog, char path[BOOK_PATH_MAX], bool *there,
                   Book *book, BookHabits *habits, BlyError *err) {
    path[0] = '\0';
    if (cli->no_book)
        return true;
    if (cli->book_words != NULL)
        (void)snprintf(path, BOOK_PATH_MAX, "%s", cli->book_words);
    else
        (void)book_usual_path(path);
    return path[0] == '\0' ||
           (book_load(path, book, there, err) && book_use(book, catalog, habits, err));
}

bool cli_book(Cli *cli, int *status) {
    BlyError err = {0};
    if (cli_read_book(cli, &cli->catalog, cli->book_path, &cli->book_there, &cli->book,
                      &cli->habits, &err))
        return true;
    *status = cli_tell(cli->book_path, &err);
    return false;
}

bool cli_in_water(const WaterWords *water, BlyBuild *build, BlyError *err) {
    return bly_build_in_water(build, water->temperature != NULL ? &water->read.temperature : NULL,
                              water->salt != NULL ? &water->read.salinity : NULL, err);
}

bool cli_build(Cli *cli, int *status) {
    cli->file = cli->arguments[0];
    if (!cli_catalog(cli, status) || !cli_book(cli, status))
        return false;
    cli->files = cli_files(cli);
    BlyError err = {0};
    char *text = NULL;
    size_t size = 0;
    bool good = read_whole(cli->file, &text, &size, &err) &&
                bly_build_read_with(text, size, &cli->catalog, &cli->files, &cli->build, &err) &&
                cli_in_water(&cli->water, cli->build, &err);
    free(text);
    if (!good)
        *status = cli_tell(cli->file, &err);
    return good;
}

bool cli_write_rig(const Cli *cli, const BlyRig *rig, const char *file, BlyError *err) {
    char *text = NULL;
    if (!bly_build_text_with_rig(cli->build, rig, &text, err))
        return false;
    bool good = bly_file_write(file, text, strlen(text), BLY_KEEP_EARLIER, err);
    free(text);
    return good;
}

bool cli_swap(const Cli *cli, const char *option, const char *words, BlyRig *rig, BlyError *err) {
    char seat[64], kind[32];
    const char *dot = strchr(words, '.'), *equals = strchr(words, '=');
    if (dot == NULL || equals == NULL || dot > equals || dot == words || equals == dot + 1 ||
        equals[1] == '\0' || (size_t)(dot - words) >= sizeof seat ||
        (size_t)(equals - dot) > sizeof kind)
        return bly_fail(err, BLY_E_SYNTAX, option, "'%s' should look like belly.hook=ID", words);
    memcpy(seat, words, (size_t)(dot - words));
    seat[dot - words] = '\0';
    memcpy(kind, dot + 1, (size_t)(equals - dot - 1));
    kind[equals - dot - 1] = '\0';
    return bly_build_swap(cli->build, &cli->catalog, rig, seat, kind, equals + 1, err);
}

bool cli_is_new(const char *file, BlyError *err) {
    return access(file, F_OK) != 0 ||
           bly_fail(err, BLY_E_IO, file, "is there already; choose another name");
}

bool cli_write_new(const char *file, const char *text, BlyError *err) {
    return cli_is_new(file, err) && bly_file_write(file, text, strlen(text), BLY_KEEP_NOTHING, err);
}

int cli_no_memory(void) {
    (void)fputs("ballastry: out of memory\n", stderr);
    return EXIT_FAULT;
}

static int print_tree(cJSON *tree, FILE *to) {
    BlyText text;
    BlyError err = {0};
    bly_text_init(&text);
    if (!bly_json_print(tree, &text, &err)) {
        bly_text_release(&text);
        return cli_tell(NULL, &err);
    }
    (void)fputs(bly_text_string(&text), to);
    bly_text_release(&text);
    return EXIT_DONE;
}

int cli_flush(void) {
    if (fflush(stdout) == 0 && !ferror(stdout))
        return EXIT_DONE;
    BlyError err = {0};
    bly_fail(&err, BLY_E_IO, "standard output", "cannot be written to");
    return cli_tell(NULL, &err);
}

enum { RESULT_VERSION = 1 }; /* of the keys: docs/output.md */

cJSON *cli_result(const char *command, cJSON *tree) {
    if (tree == NULL)
        return NULL;
    cJSON *o = cJSON_CreateObject();
    bool good = o != NULL && put_number(o, "ballastry_result", RESULT_VERSION) &&
                put_text(o, "command", command);
    while (good && tree->child != NULL) {
        cJSON *member = cJSON_DetachItemViaPointer(tree, tree->child);
        good = put_tree(o, member->string, member);
    }
    cJSON_Delete(tree);
    return json_finished(o, good);
}

int cli_end(Cli *cli, cJSON *tree, int status) {
    tree = cli_result(cli->command, tree);
    bool collected = cli->report.out != NULL && fclose(cli->report.out) == 0;
    collected = collected && !cli->output.failed;
    bool failed = status == EXIT_USAGE || status == EXIT_BAD_INPUT || status == EXIT_FAULT;
    if (!failed) {
        int printed = EXIT_DONE;
        if (tree != NULL)
            printed = print_tree(tree, stdout);
        else if (cli->json || !collected)
            printed = cli_no_memory();
        else
            (void)fwrite(bly_text_string(&cli->output), 1, cli->output.length, stdout);
        int flushed = cli_flush();
        if (printed != EXIT_DONE)
            status = printed;
        else if (flushed != EXIT_DONE)
            status = flushed;
    }
    if (status == EXIT_DONE && cli->found_fault)
        status = EXIT_BAD_INPUT;
    cJSON_Delete(tree);
    bly_build_free(cli->build);
    bly_catalog_release(&cli->catalog);
    book_habits_release(&cli->habits);
    book_release(&cli->book);
    bly_text_release(&cli->output);
    return status;
}
