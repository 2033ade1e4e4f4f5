/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/book.h"
#include "report/lines.h"
#include "text/format.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { SAID_MAX = 320 };

static BlyDimension dimension_of(const char *unit, double *si) {
    static const struct {
        const char *unit;
        BlyDimension dim;
        double si;
    } known[] = {
        {"g/cm3", BLY_DIM_DENSITY, 1e3}, {"mm", BLY_DIM_LENGTH, 1e-3}, {"g", BLY_DIM_MASS, 1e-3}};
    for (size_t i = 0; i < sizeof known / sizeof known[0]; i++) {
        if (strcmp(known[i].unit, unit) == 0) {
            *si = known[i].si;
            return known[i].dim;
        }
    }
    *si = 1.0;
    return BLY_DIM_RATIO;
}

/* A tolerance to two digits, and the value as fine. */
static int digits_of(double give) {
    return give > 0.0 ? (int)fmin(fmax(1.0 - floor(log10(give)), 0.0), 5.0) : 3;
}

static void figure_words(const char *unit, BlyFigure figure, BlySystem system, char out[SAID_MAX]) {
    double si;
    BlyDimension dim = dimension_of(unit, &si);
    int digits = digits_of(figure.give);
    const Report report = {.system = system};
    char words[WORDS_MAX];
    if (dim == BLY_DIM_RATIO) {
        bool bare = strcmp(unit, "1") == 0;
        (void)bly_format(out, SAID_MAX, "%.*f +-%.*f%s%s", digits, figure.value, digits,
                         figure.give, bare ? "" : " ", bare ? "" : unit);
        return;
    }
    bool inch = system == BLY_INCH && dim != BLY_DIM_DENSITY;
    tolerance_words(&report, figure.value * si, figure.give * si, dim, digits + inch, words);
    (void)snprintf(out, SAID_MAX, "%s", words);
}

static void count_words(size_t lures, char out[32]) {
    static const char *const words[] = {"no",    "one",   "two",  "three", "four",   "five",  "six",
                                        "seven", "eight", "nine", "ten",   "eleven", "twelve"};
    if (lures < sizeof words / sizeof words[0])
        (void)snprintf(out, 32, "%s lure%s", words[lures], lures == 1 ? "" : "s");
    else
        (void)snprintf(out, 32, "%zu lures", lures);
}

/* "coats of epoxy-clear", "larch", "hooks treble-6", "medium round bodies draw". */
static void subject(const BookHabit *h, char out[SAID_MAX]) {
    const char *form = strcmp(h->kind, BOOK_COAT) == 0           ? "coats of %.90s"
                       : strcmp(h->kind, BOOK_COAT_DENSITY) == 0 ? "density of %.90s as a coat"
                       : strcmp(h->kind, BOOK_HOOK) == 0         ? "hooks %.90s"
                       : strcmp(h->kind, BOOK_DRAG) == 0         ? "%.90s bodies' drag factor"
                       : strcmp(h->kind, BOOK_LIP) == 0          ? "lips' force on %.90s bodies"
                       : strcmp(h->kind, BOOK_WIRE) == 0 ? "hooks' and rings' drag on %.90s bodies"
                       : strcmp(h->kind, BOOK_LIP_CENTRE) == 0
                           ? "lips' centre of force on %.90s bodies"
                           : "%.90s";
    (void)snprintf(out, SAID_MAX, form, h->key);
}

static bool mounts(const BlyBuild *build, const char *id) {
    for (size_t s = 0; s < build->seat_count; s++) {
        const BlyPart *hook = build->fitted.at[s].of[BLY_PART_HOOK].part;
        if (hook != NULL && strcmp(hook->id, id) == 0)
            return true;
    }
    return false;
}

static bool said_of(const BlyBuild *build, size_t index, BlySystem system, char out[SAID_MAX]) {
    if (index >= build->habit_count)
        return false;
    const BuildHabit *used = &build->habits[index];
    const BookHabit *h = &build->catalog->habits->at[used->habit];
    bool hook = strcmp(h->kind, BOOK_HOOK) == 0;
    double si = book_kind(h->kind)->si;
    char who[SAID_MAX], figure[SAID_MAX], was[SAID_MAX], lures[32];
    out[0] = '\0';
    if (h->lures == 0 || (hook && !mounts(build, h->key)))
        return true;
    subject(h, who);
    count_words(h->lures, lures);
    figure_words(h->unit, hook ? h->own : h->next, system, figure);
    figure_words(h->unit, (BlyFigure){used->planned.value / si, used->planned.give / si}, system,
                 was);
    (void)snprintf(out, SAID_MAX, "your %.80s came out at %.50s over %s; %s%.50s", who, figure,
                   lures,
                   used->taken ? "in place of " : "too far from what is planned to be it: ", was);
    return true;
}

/* The next lure's words of this build's shape; NULL: no more. Those that the build has itself are
 * passed over. */
static const BookSeen *seen_of_shape(const BlyBuild *build, size_t *at) {
    const BookHabits *habits = build->catalog->habits;
    char shape[BOOK_KEY_MAX];
    build_shape_key(build, shape);
    while (habits != NULL && *at < habits->seen_count) {
        const BookSeen *seen = &habits->seen[(*at)++];
        bool own = false;
        for (size_t i = 0; i < build->seen_count; i++)
            own = own || strcmp(build->seen[i], seen->words) == 0;
        if (!own && strcmp(seen->shape, shape) == 0)
            return seen;
    }
    return NULL;
}

void text_shape_seen(const Report *r, const BlyBuild *build) {
    size_t at = 0;
    for (const BookSeen *s; (s = seen_of_shape(build, &at)) != NULL;)
        text_wrapped(
            r, 4,
            "  your book: seen of a lure of this shape, %s: %s (words, nothing is computed "
            "from them)",
            s->build, s->words);
}

bool put_shape_seen(cJSON *object, const BlyBuild *build) {
    cJSON *list = NULL;
    bool good = true;
    size_t at = 0;
    for (const BookSeen *s; good && (s = seen_of_shape(build, &at)) != NULL;) {
        if (list == NULL)
            list = cJSON_AddArrayToObject(object, "seen_of_shape");
        cJSON *o = cJSON_CreateObject();
        good = list != NULL && put_last(list, json_finished(o, o && put_text(o, "lure", s->build) &&
                                                                   put_text(o, "words", s->words)));
    }
    return good;
}

void text_book_used(const Report *r, const BlyBuild *build) {
    char said[SAID_MAX];
    for (size_t i = 0; said_of(build, i, r->system, said); i++) {
        if (said[0] != '\0')
            text_wrapped(r, 4, "  your book: %s", said);
    }
}

static cJSON *json_figure(BlyFigure figure) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(o, o != NULL && put_number(o, "value", figure.value) &&
                                put_number(o, "give", figure.give));
}

static bool put_figure(cJSON *o, const char *key, BlyFigure figure) {
    return isnan(figure.value) || put_tree(o, key, json_figure(figure));
}

static bool put_what(cJSON *o, const char *kind, const char *key, const char *unit) {
    return o != NULL && put_text(o, "kind", kind) && put_text(o, "key", key) &&
           put_text(o, "unit", unit);
}

static cJSON *json_used(const BlyBuild *build, const BuildHabit *used, const char *said) {
    const BookHabit *h = &build->catalog->habits->at[used->habit];
    double si = book_kind(h->kind)->si;
    cJSON *o = cJSON_CreateObject();
    return json_finished(
        o, put_what(o, h->kind, h->key, h->unit) && put_bool(o, "taken", used->taken) &&
               put_number(o, "lures", (double)h->lures) && put_figure(o, "next", h->next) &&
               put_figure(o, "in_place_of",
                          (BlyFigure){used->planned.value / si, used->planned.give / si}) &&
               put_text(o, "said", said));
}

bool put_book_used(cJSON *object, const BlyBuild *build) {
    char said[SAID_MAX];
    cJSON *list = NULL;
    bool good = true;
    for (size_t i = 0; good && said_of(build, i, BLY_METRIC, said); i++) {
        if (said[0] == '\0')
            continue;
        if (list == NULL)
            list = cJSON_AddArrayToObject(object, "book");
        good = list != NULL && put_last(list, json_used(build, &build->habits[i], said));
    }
    return good;
}

static const struct {
    const char *word, *text;
} kept_words[] = {
    [BOOK_NOT_ASKED] = {"no", ""},
    [BOOK_ADDED] = {"added", "kept in your book as \"%s\""},
    [BOOK_RENEWED] = {"renewed", "kept in your book: a further test of \"%s\""},
    [BOOK_REPLACED] = {"replaced", "kept in your book in place of what it had of \"%s\""},
    [BOOK_THERE] = {"there", "your book already has a lure with the very same readings, \"%s\""},
    [BOOK_UNFINISHED] = {"unfinished",
                         "not kept in your book yet: only a finished lure is, read with all that "
                         "hangs from it%s"},
    [BOOK_UNKNOWN] =
        {"unknown",
         "not kept in your book: an earlier tank test corrected this build, and the book "
         "has no \"%s\"; give all readings to the build as it was before"},
    [BOOK_OFF] = {"off",
                  "not kept: your book is switched off (ballastry book on); \"%s\" is not in it"},
};

void text_book_kept(const Report *r, BookKept kept, const char *name, const char *file) {
    (void)file;
    if (kept == BOOK_NOT_ASKED)
        return;
    (void)fprintf(r->out, "\n");
    text_wrapped(r, 2, kept_words[kept].text, name);
}

cJSON *json_book_kept(BookKept kept, const char *name, const char *file) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(o, o != NULL && put_text(o, "what", kept_words[kept].word) &&
                                put_text(o, "lure", name) && put_text(o, "book", file));
}

void text_book_offer(const Report *r) {
    (void)fprintf(r->out, "\n");
    text_wrapped(r, 2,
                 "shall what your lures come out at serve the next builds? \"ballastry book on\" "
                 "keeps a book of them from now on, \"ballastry book off\" none");
}

/* ---- the whole book ---- */

/* Several findings of one kind and key of one lure stand one behind the other. */
static void text_lure(const Report *r, const BookLure *lure) {
    (void)fprintf(r->out, "  %s, %s", lure->name, lure->date);
    if (strcmp(lure->name, lure->build) != 0)
        (void)fprintf(r->out, ", built as %s", lure->build);
    (void)fprintf(r->out, "\n");
    if (lure->readings[0] != '\0')
        text_wrapped(r, 4, "    %s", lure->readings);
    for (size_t i = 0; i < lure->count; i++) {
        char figure[SAID_MAX];
        figure_words(lure->at[i].unit, lure->at[i].value, r->system, figure);
        (void)fprintf(r->out, "    %-12s %-26s %s\n", lure->at[i].kind, lure->at[i].key, figure);
    }
}

void text_book(const Report *r, const Book *book, const BookHabits *habits) {
    (void)fprintf(r->out, "%zu lure%s%s\n", book->count, book->count == 1 ? "" : "s",
                  book->off ? "; switched off: nothing is taken from it or added" : "");
    if (habits->count > 0)
        (void)fprintf(r->out,
                      "\nwhat the next lure is taken for, in place of the usual\n"
                      "  %-12s %-18s %-19s %-19s %s\n",
                      "kind", "key", "next", "usual", "lures");
    for (size_t i = 0; i < habits->count; i++) {
        const BookHabit *h = &habits->at[i];
        char next[SAID_MAX], usual[SAID_MAX];
        figure_words(h->unit, h->next, r->system, next);
        figure_words(h->unit, h->usual, r->system, usual);
        (void)fprintf(r->out, "  %-12s %-18s %-19s %-19s %zu\n", h->kind, h->key, next, usual,
                      h->lures);
    }
    if (book->count > 0)
        (void)fprintf(r->out, "\nwhat each lure came out at\n");
    for (size_t i = 0; i < book->count; i++)
        text_lure(r, &book->lures[i]);
    if (book->seen_count > 0)
        (void)fprintf(r->out, "\nwhat was seen on the water, by shape (words, nothing is computed "
                              "from them)\n");
    for (size_t i = 0; i < book->seen_count; i++)
        text_wrapped(r, 4, "  %s, %s: %s", book->seen[i].shape, book->seen[i].build,
                     book->seen[i].words);
}

static void text_own(const Report *r, const BookLure *lure, const BookFinding *f) {
    char value[SAID_MAX], before[SAID_MAX];
    figure_words(f->unit, f->value, r->system, value);
    bool weighed = isnan(f->before.value);
    if (!weighed)
        figure_words(f->unit, f->before, r->system, before);
    text_wrapped(r, 6, "    %s, %s: %s, %s%s%s", lure->name, lure->date, value,
                 weighed ? "weighed" : "taken for ", weighed ? "" : before,
                 weighed ? "" : " before");
}

void text_book_figure(const Report *r, const Book *book, const BookHabit *h) {
    char usual[SAID_MAX], own[SAID_MAX], next[SAID_MAX], one[SAID_MAX];
    figure_words(h->unit, h->usual, r->system, usual);
    figure_words(h->unit, h->own, r->system, own);
    figure_words(h->unit, h->next, r->system, next);
    (void)fprintf(r->out, "%s %s\n  usual: %s\n  your own lures:\n", h->kind, h->key, usual);
    for (size_t l = 0; l < book->count; l++) {
        for (size_t i = 0; i < book->lures[l].count; i++) {
            const BookFinding *f = &book->lures[l].at[i];
            if (strcmp(f->kind, h->kind) == 0 && strcmp(f->key, h->key) == 0)
                text_own(r, &book->lures[l], f);
        }
    }
    figure_words(h->unit, (BlyFigure){h->own.value, BLY_SIGMAS_95 * h->scatter}, r->system, one);
    const char *each = strstr(one, "+-");
    (void)fprintf(r->out, "  yours lie about %s; from one lure to the next %s\n", own,
                  each != NULL ? each : one);
    (void)fprintf(r->out, "  the next lure is taken for %s in place of the usual\n", next);
    report_print(r->out, "  your lures took %.0f %% of the doubt about your middle away\n",
                 100.0 * fmax(h->learnt, 0.0));
}

static cJSON *json_habit(const BookHabit *h) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(o, put_what(o, h->kind, h->key, h->unit) &&
                                put_number(o, "lures", (double)h->lures) &&
                                put_figure(o, "usual", h->usual) && put_figure(o, "own", h->own) &&
                                put_number(o, "from_lure_to_lure", BLY_SIGMAS_95 * h->scatter) &&
                                put_figure(o, "next", h->next) &&
                                put_number(o, "share_learnt", fmax(h->learnt, 0.0)));
}

static cJSON *json_finding(const BookFinding *f) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(
        o, put_what(o, f->kind, f->key, f->unit) && put_number(o, "value", f->value.value) &&
               put_number(o, "give", f->value.give) && put_figure(o, "before", f->before));
}

static cJSON *json_lure(const BookLure *lure) {
    cJSON *o = cJSON_CreateObject();
    bool good = o != NULL && put_text(o, "lure", lure->name) && put_text(o, "build", lure->build) &&
                put_text(o, "date", lure->date) && put_text(o, "readings", lure->readings);
    cJSON *list = good ? cJSON_AddArrayToObject(o, "findings") : NULL;
    good = list != NULL;
    for (size_t i = 0; good && i < lure->count; i++)
        good = put_last(list, json_finding(&lure->at[i]));
    return json_finished(o, good);
}

cJSON *json_book(const Book *book, const BookHabits *habits) {
    cJSON *o = cJSON_CreateObject();
    bool good = o != NULL && put_bool(o, "off", book->off);
    cJSON *figures = good ? cJSON_AddArrayToObject(o, "figures") : NULL;
    good = figures != NULL;
    for (size_t i = 0; good && i < habits->count; i++)
        good = put_last(figures, json_habit(&habits->at[i]));
    cJSON *lures = good ? cJSON_AddArrayToObject(o, "lures") : NULL;
    good = good && lures != NULL;
    for (size_t i = 0; good && i < book->count; i++)
        good = put_last(lures, json_lure(&book->lures[i]));
    cJSON *seen = good ? cJSON_AddArrayToObject(o, "seen") : NULL;
    good = good && seen != NULL;
    for (size_t i = 0; good && i < book->seen_count; i++) {
        cJSON *one = cJSON_CreateObject();
        good =
            put_last(seen, json_finished(one, one && put_text(one, "shape", book->seen[i].shape) &&
                                                  put_text(one, "build", book->seen[i].build) &&
                                                  put_text(one, "words", book->seen[i].words)));
    }
    return json_finished(o, good);
}
