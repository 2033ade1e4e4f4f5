#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The PDF at true size and well-formed SVG, with general-purpose tools: pdfinfo and pdftoppm
# (poppler) and python3's XML parser. On a page drawn at 600 dots an inch the check bar must measure
# 50 mm (its two end strokes add 0.25 mm) and the blank its own length of 56 mm within 1 mm.
set -u
cd "$(dirname "$0")/../.."
prog=${BALLASTRY:?the program to test}
for tool in pdftoppm pdfinfo /usr/bin/python3; do
    command -v "$tool" >/dev/null || { echo "sheet life size: skipped, no $tool"; exit 0; }
done
work=$(mktemp -d); trap 'rm -rf "$work"' EXIT
passed=0 failed=0
good() { passed=$((passed + 1)); }
bad() { failed=$((failed + 1)); echo "FAILED: $*"; }

"$prog" sheet examples/sinker-swap.json -o "$work/a4.pdf" >/dev/null || bad "a4"
"$prog" sheet examples/sinker-swap.json -o "$work/letter.pdf" --paper letter >/dev/null || bad "letter"
pdfinfo "$work/a4.pdf" | grep -q 'Page size: *59[45].* x 84[12]' && good || bad "size of a4: $(pdfinfo "$work/a4.pdf" | grep size)"
pdfinfo "$work/letter.pdf" | grep -q 'Page size: *612 x 792' && good || bad "size of letter"

pdftoppm -r 600 -gray -f 1 -l 1 "$work/a4.pdf" "$work/page"
/usr/bin/python3 - "$work"/page*.pgm <<'P' && good || bad "life size"
import sys
data = open(sys.argv[1], 'rb').read()
fields, at = [], 0
while len(fields) < 4:
    end = at
    while data[end:end + 1] not in (b' ', b'\n'): end += 1
    fields.append(data[at:end]); at = end + 1
width, height = int(fields[1]), int(fields[2])
rows = [data[at + r * width: at + (r + 1) * width] for r in range(height)]
mm = 25.4 / 600
def longest_dark(row):
    best = run = 0
    for pixel in row:
        run = run + 1 if pixel < 100 else 0
        best = max(best, run)
    return best
bar = max(longest_dark(rows[r]) for r in range(int(height * 0.93), height)) * mm
assert abs(bar - 0.25 - 50) < 0.1, 'the bar measures %.2f mm' % bar
# The blank at life size, from the side: the widest row of its fill (a light wood colour, neither
# white nor line) between the side view's frame and the tables.
def extent(row):
    fill = [i for i in range(len(row) - 6) if all(215 < p < 232 for p in row[i:i + 6])]
    return (fill[-1] - fill[0]) * mm if len(fill) > 200 else 0
blank = max(extent(rows[r]) for r in range(int(height * 0.53), int(height * 0.615)))
assert abs(blank - 56) < 1.0, 'the blank measures %.2f mm' % blank
P
for file in examples/*.json tests/sheet/builds/*.json; do
    for view in page side outlines curves influence; do
        "$prog" sheet "$file" --catalog tests/sheet/parts.json -o "$work/v.svg" --view "$view" >/dev/null 2>"$work/err" &&
            /usr/bin/python3 -c 'import sys, xml.dom.minidom; xml.dom.minidom.parse(sys.argv[1])' "$work/v.svg" 2>>"$work/err" &&
            good || bad "$file $view: $(tail -1 "$work/err")"
    done
done
"$prog" sheet examples/sinker-swap.json -o "$work/x.png" --view side >/dev/null && good || bad png
"$prog" sheet examples/sinker-swap.json -o "$work/x.gif" >/dev/null 2>&1
[ $? = 2 ] && good || bad "gif is refused"
"$prog" sheet examples/sinker-swap.json -o "$work/1.svg" >/dev/null; "$prog" sheet examples/sinker-swap.json -o "$work/2.svg" >/dev/null
cmp -s "$work/1.svg" "$work/2.svg" && good || bad "same bytes"
echo "sheet life size: $passed passed, $failed failed"
[ "$failed" = 0 ] && [ "$passed" -gt 50 ]
