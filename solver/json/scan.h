/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whether a text is one JSON value of RFC 8259 and nothing more, before cJSON sees it: cJSON takes
 * much that is no JSON, and says only roughly where it stopped. */
#ifndef BALLASTRY_JSON_SCAN_H
#define BALLASTRY_JSON_SCAN_H

#include "ballastry/error.h"

/* text[length] must be NUL. On failure BLY_E_SYNTAX with "line N, column N" (in characters). */
bool json_scan(const char *text, size_t length, BlyError *err) BLY_MUST_CHECK;

#endif
