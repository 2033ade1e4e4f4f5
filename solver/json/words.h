/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BALLASTRY_JSON_WORDS_H
#define BALLASTRY_JSON_WORDS_H

#include "json/json.h"

/* Refuses a word that is not among `words`, with the nearest of them, or all. `what` is what it
 * should have been: "key", "choice". Returns false. */
bool json_unknown_word(const BlyJson *at, const char *what, const char *word,
                       const char *const *words, size_t count, BlyError *err);

#endif
