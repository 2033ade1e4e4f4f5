/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What every public header puts around its declarations: C linkage for C++, and the visibility that
 * makes them the library's. Everything else is compiled hidden and cannot be linked against. */
#ifndef BALLASTRY_API_H
#define BALLASTRY_API_H

#ifdef __cplusplus
#define BLY_C_BEGIN extern "C" {
#define BLY_C_END }
#else
#define BLY_C_BEGIN
#define BLY_C_END
#endif

#if defined(__GNUC__)
#define BLY_API_BEGIN BLY_C_BEGIN _Pragma("GCC visibility push(default)")
#define BLY_API_END _Pragma("GCC visibility pop") BLY_C_END
#else
#define BLY_API_BEGIN BLY_C_BEGIN
#define BLY_API_END BLY_C_END
#endif

#endif
