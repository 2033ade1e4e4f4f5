/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "svg/scan.h"

#include "text/quote.h"
#include "decimal/decimal.h"

#include <math.h>
#include <stdio.h>

static const double number_most = 1e9;

bool scan_refuse(const Scan *scan, BlyCode code, const char *expected) {
    char piece[16], quoted[BLY_QUOTE_MAX], where[40];
    (void)snprintf(piece, sizeof piece, "%.12s", scan->at);
    bly_quote(piece, quoted);
    (void)snprintf(where, sizeof where, "offset %td", scan->at - scan->text);
    if (*scan->at == '\0')
        return bly_fail(scan->err, code, where, "ends where %s was expected", expected);
    return bly_fail(scan->err, code, where, "\"%s\" stands where %s was expected", quoted,
                    expected);
}

static bool blank(char c) {
    return c == ' ' || c == '\t' || c == '\n' || c == '\f' || c == '\r';
}

void scan_blanks(Scan *scan) {
    while (blank(*scan->at))
        scan->at++;
}

bool scan_comma(Scan *scan) {
    scan_blanks(scan);
    if (*scan->at != ',')
        return false;
    scan->at++;
    scan_blanks(scan);
    return true;
}

static size_t sign_length(const Scan *scan) {
    return *scan->at == '+' || *scan->at == '-' ? 1 : 0;
}

bool scan_number_begins(const Scan *scan) {
    const char *at = scan->at + sign_length(scan);
    if (*at == '.')
        at++;
    return *at >= '0' && *at <= '9';
}

bool scan_number(Scan *scan, double *out) {
    BlyDecimal number;
    bool whole;
    if (!scan_number_begins(scan))
        return scan_refuse(scan, BLY_E_SYNTAX, "a number");
    bool minus = *scan->at == '-';
    size_t sign = sign_length(scan), length = bly_decimal_scan(scan->at + sign, &number, &whole);
    double value = bly_decimal_value(&number);
    if (!(value <= number_most))
        return scan_refuse(scan, BLY_E_RANGE, "a number up to 1e9");
    scan->at += sign + length;
    *out = minus ? -value : value;
    return true;
}

bool scan_flag(Scan *scan, bool *out) {
    if (*scan->at != '0' && *scan->at != '1')
        return scan_refuse(scan, BLY_E_SYNTAX, "a flag, 0 or 1,");
    *out = *scan->at++ == '1';
    return true;
}
