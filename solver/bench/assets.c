/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The page's files, built in: solver/bench/page/ as bytes, written by the Makefile. */
#include "bench/route.h"

#include <string.h>

typedef struct Asset {
    const char *name;
    const unsigned char *bytes;
    size_t size;
} Asset;

#include "page_assets.inc"

static const char *type_of(const char *name) {
    const char *dot = strrchr(name, '.');
    if (dot != NULL && strcmp(dot, ".js") == 0)
        return "text/javascript; charset=utf-8";
    if (dot != NULL && strcmp(dot, ".css") == 0)
        return "text/css; charset=utf-8";
    if (dot != NULL && strcmp(dot, ".svg") == 0)
        return "image/svg+xml";
    return "text/html; charset=utf-8";
}

const unsigned char *page_asset(const char *path, size_t *size, const char **type) {
    const char *name = strcmp(path, "/") == 0 ? "index.html" : path + (path[0] == '/');
    for (size_t i = 0; i < sizeof assets / sizeof assets[0]; i++) {
        if (strcmp(assets[i].name, name) == 0) {
            *size = assets[i].size;
            *type = type_of(name);
            return assets[i].bytes;
        }
    }
    return NULL;
}
