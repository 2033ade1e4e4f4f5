/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The looks of every drawing. Nothing is told by colour alone: what differs, differs in lightness,
 * in the kind of line and in its label too, so that a grey print says the same. */
#include "sheet/canvas.h"

const char bly_looks[] =
    "text{font-family:'DejaVu Sans',Verdana,sans-serif;fill:#111}"
    ".s{font-size:2.3px}.p{font-size:2.7px}.b{font-size:2.7px;font-weight:bold}"
    ".h{font-size:3.4px;font-weight:bold}.t{font-size:5.2px;font-weight:bold}"
    ".m{text-anchor:middle}.e{text-anchor:end}"
    /* the lure */
    ".body{fill:#f0e4c8;stroke:#1a1a1a;stroke-width:.35;stroke-linejoin:round}"
    ".slice{fill:#f0e4c8;stroke:#8a7f68;stroke-width:.15}"
    ".lip{fill:#8fb3c4;fill-opacity:.7;stroke:#1a1a1a;stroke-width:.25;stroke-linejoin:round}"
    ".hidden{fill:none;stroke:#1a1a1a;stroke-width:.2;stroke-dasharray:1 .6}"
    ".metal{fill:#6b6f73;stroke:#1a1a1a;stroke-width:.2}"
    ".wire{fill:none;stroke:#3d4348;stroke-linejoin:round}"
    ".turns{fill:none;stroke:#9a5b2c;stroke-dasharray:.5 .25}"
    ".before .body,.before .lip,.before .metal,.before .wire,.before .turns,.before "
    ".hidden"
    "{fill:none;stroke:#555;stroke-width:.35!important;stroke-dasharray:1.4 .9}"
    /* water and forces */
    ".water{fill:#e6f1f7}.surface{fill:none;stroke:#1c5f8a;stroke-width:.5}"
    ".axis{fill:none;stroke:#555;stroke-width:.2;stroke-dasharray:4 .8 .8 .8}"
    ".level{fill:none;stroke:#555;stroke-width:.2}"
    ".down{fill:#111;stroke:#111;stroke-width:.45}"
    ".up{fill:#fff;stroke:#111;stroke-width:.45}"
    ".head{fill:#111;stroke:none}.hollow{fill:#fff;stroke:#111;stroke-width:.25}"
    ".weak{fill:none;stroke:#111;stroke-width:.35;stroke-dasharray:.9 .6}"
    ".arm{fill:none;stroke:#111;stroke-width:.3}"
    ".lead{fill:none;stroke:#333;stroke-width:.15;stroke-dasharray:.4 .5}"
    ".seat{fill:#fff;stroke:#111;stroke-width:.3}"
    /* paper work */
    ".paper{fill:#fff}.frame{fill:none;stroke:#777;stroke-width:.2}"
    ".rule{fill:none;stroke:#111;stroke-width:.25}.fine{fill:none;stroke:#999;stroke-width:.12}"
    ".ink{fill:#111}.tint{fill:#ececec}"
    ".cut{fill:none;stroke:#111;stroke-width:.3;stroke-linejoin:round}"
    ".curve{fill:none;stroke:#111;stroke-width:.5;stroke-linejoin:round}"
    ".band{fill:#d5dde2;stroke:#5d6a72;stroke-width:.15;stroke-dasharray:.8 .6}"
    ".mark{fill:#111;stroke:#fff;stroke-width:.25}.join{fill:none;stroke:#111;stroke-width:.25;"
    "stroke-dasharray:3 1.2 .6 1.2}";
