/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Expat's settings stand among the compiler's options (.alone/rules.mk). */
