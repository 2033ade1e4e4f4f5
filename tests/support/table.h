/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reads a table of published values (CSV with a header row, fields may be quoted) for a test.
 * Any fault in the file fails the test that asked for it. */
#ifndef BALLASTRY_TESTS_TABLE_H
#define BALLASTRY_TESTS_TABLE_H

#include <stddef.h>

typedef struct Table Table;

Table *table_read(const char *path); /* free with table_free */
void table_free(Table *table);
size_t table_rows(const Table *table); /* without the header */
const char *table_text(const Table *table, size_t row, const char *column);
double table_number(const Table *table, size_t row, const char *column);

#endif
