#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The PDF at true size and well-formed SVG, with general-purpose tools: pdfinfo, pdftotext and
# pdftoppm (poppler), xmllint (libxml2) and python3 for the arithmetic.
#
# Pages drawn at 600 dots an inch are measured: the check bar must be 50 mm long (its line has a
# width of 0.4 mm, its end strokes 0.25 mm in all), the blank 90 mm as its build says, the lip's
# template 24 by 14 mm, and the ruler's numbers must stand 10 mm apart.
set -u
cd "$(dirname "$0")/../.."
prog=${BALLASTRY:?the program to test}
for tool in pdftoppm pdfinfo pdftotext xmllint python3; do
    command -v "$tool" >/dev/null || { echo "sheet life size: $tool is missing; .ci/setup test"; exit 1; }
done
work=$(mktemp -d); trap 'rm -rf "$work"' EXIT
passed=0 failed=0
good() { passed=$((passed + 1)); }
bad() { failed=$((failed + 1)); echo "FAILED: $*"; }
sheet() { "$prog" sheet "$@" --catalog tests/sheet/parts.json >/dev/null; }

for paper in a4 letter; do
    sheet tests/sheet/builds/bare.json -o "$work/bare-$paper.pdf" --paper $paper || bad "bare, $paper"
    sheet tests/sheet/builds/full.json -o "$work/full-$paper.pdf" --paper $paper || bad "full, $paper"
    sheet tests/sheet/builds/long.json -o "$work/long-$paper.pdf" --paper $paper || bad "long, $paper"
done
# ISO 216: 210 x 297 mm; ANSI/ASME Y14.1: 8.5 x 11 in. Points of 1/72 in.
size() { pdfinfo "$1" | sed -n 's/^Page size: *\([0-9.]*\) x \([0-9.]*\) pts.*/\1 \2/p'; }
near() { python3 -c 'import sys; a, b = map(float, sys.argv[1].split()), map(float, sys.argv[2].split())
sys.exit(not all(abs(x - y) < 0.05 for x, y in zip(a, b)))' "$1" "$2"; }
near "$(size "$work/bare-a4.pdf")" "595.276 841.89" && good || bad "size of a4: $(size "$work/bare-a4.pdf")"
near "$(size "$work/bare-letter.pdf")" "612 792" && good || bad "size of letter: $(size "$work/bare-letter.pdf")"

cat >"$work/measure.py" <<'P'
import re, subprocess, sys

def gray(pdf, number):
    """One page at 600 dots an inch, as rows of bytes."""
    data = subprocess.run(['pdftoppm', '-r', '600', '-gray', '-f', str(number), '-l', str(number), pdf],
                          capture_output=True, check=True).stdout
    head = re.match(rb'P5\s+(\d+)\s+(\d+)\s+255\s', data)
    width, height = int(head[1]), int(head[2])
    return [data[head.end() + r * width: head.end() + (r + 1) * width] for r in range(height)]

def words(pdf):
    """(page, text, xMin, yMin, xMax, yMax) of every word, mm."""
    out, page = [], 0
    text = subprocess.run(['pdftotext', '-bbox', pdf, '-'], capture_output=True, text=True, check=True).stdout
    for line in text.splitlines():
        page += '<page ' in line
        found = re.search(r'xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.*)</word>', line)
        if found:
            out.append((page, found[5]) + tuple(float(found[i]) * 25.4 / 72 for i in range(1, 5)))
    return out

mm = 25.4 / 600
dark = re.compile(rb'[\x00-\x5f]+')
def longest(row):
    return max((len(m.group()) for m in dark.finditer(row)), default=0) * mm
def extent(row):
    runs = list(dark.finditer(row))
    return (runs[-1].end() - runs[0].start()) * mm if runs else 0
def near(what, got, want, by):
    print('%s: %.3f mm, wanted %.3f' % (what, got, want))
    if not abs(got - want) <= by:
        sys.exit('%s: %.3f mm, wanted %.3f within %.2f' % (what, got, want, by))

bare, full, long = sys.argv[1:4]
rows = gray(bare, 1)
near('bar', max(longest(r) for r in rows[int(0.93 * len(rows)):]) - 0.25, 50, 0.1)

# The numbers below the ruler of the bare body: 0, 10 .. 90, in the middle of their ticks.
found = [w for w in words(bare) if w[0] == 1]
heading = next(w for w in found if w[1] == 'Life')
ruler = {}
for w in found:
    if w[1].isdigit() and w[3] > heading[5] and int(w[1]) % 10 == 0 and abs(w[3] - found[-1][3]) > 1:
        ruler.setdefault(round(w[3], 1), {})[int(w[1])] = 0.5 * (w[2] + w[4])
ruler = max(ruler.values(), key=len)
assert sorted(ruler) == list(range(0, 100, 10)), ruler
for k in range(0, 90, 10):
    near('ruler %d to %d' % (k, k + 10), ruler[k + 10] - ruler[k], 10, 0.12)
near('ruler 0 to 90', ruler[90] - ruler[0], 90, 0.12)

# The blank's side view lies between the sentence below the heading and the ruler: the widest of its
# rows, without the stroke of 0.35 mm.
above = [w for w in found if w[1] == 'nose.'][0][5] + 0.5
below = min(w[3] for w in found if w[1] == '90' and abs(0.5 * (w[2] + w[4]) - ruler[90]) < 0.1) - 4
band = rows[int(above / mm): int(below / mm)]
near('blank', max(extent(r) for r in band) - 0.35, 90, 0.15)
tall = [i for i, r in enumerate(band) if dark.search(r)]
near('blank, height', (tall[-1] - tall[0] + 1) * mm - 0.35, 17.5, 0.15)

# The lip's template: below its words; the fold line reaches 2 mm beyond both ends.
lip = next(w for w in words(full) if w[1] == 'slot\'s' or w[1] == 'slot&apos;s' or w[1] == 'slot&#39;s')
rows = gray(full, lip[0])
keel = [w for w in words(full) if w[0] == lip[0] and w[1].startswith('strip-6') and w[3] > lip[5]][0]
band = rows[int((lip[5] + 0.6) / mm): int((keel[3] - 0.5) / mm)]
near('lip with its fold line', max(extent(r) for r in band), 24 + 4, 0.2)
tall = [i for i, r in enumerate(band) if dark.search(r)]
near('lip, width', (tall[-1] - tall[0] + 1) * mm - 0.3, 14, 0.15)

# A lure too long for the paper: three pieces, each join told on both of its sides.
joins = [w for w in words(long) if w[1] == 'join']
assert len(joins) == 4, joins
P
papers=(a4); [ -z "${FULL:-}" ] || papers=(a4 letter)
for paper in "${papers[@]}"; do
    python3 "$work/measure.py" "$work/bare-$paper.pdf" "$work/full-$paper.pdf" "$work/long-$paper.pdf" >"$work/out" 2>&1 &&
        good || bad "life size on $paper: $(tail -1 "$work/out")"
done

# Every view of every build with FULL=1; else each build in two views and each view of many.
views=(page side outlines curves chance influence) turn=0
for file in examples/*.json tests/sheet/builds/*.json; do
    some=("${views[turn % 6]}" "${views[(turn + 1 + turn / 6) % 6]}") turn=$((turn + 1))
    [ -z "${FULL:-}" ] || some=("${views[@]}")
    for view in "${some[@]}"; do
        rm -f "$work"/v*.svg
        sheet "$file" -o "$work/v.svg" --view "$view" 2>"$work/err" &&
            xmllint --nonet --noout "$work"/v*.svg 2>>"$work/err" && good || bad "$file $view: $(tail -1 "$work/err")"
    done
done
# As many SVG files as the PDF has pages, the first as named.
sheet tests/sheet/builds/long.json -o "$work/long.svg"
pages=$(pdfinfo "$work/long-a4.pdf" | sed -n 's/^Pages: *//p')
[ "$(ls "$work"/long.svg "$work"/long-[0-9].svg | wc -l)" = "$pages" ] && [ -s "$work/long-$pages.svg" ] && good || bad "numbered pages"
sheet examples/sinker-swap.json -o "$work/x.png" --view side && good || bad png
"$prog" sheet examples/sinker-swap.json -o "$work/x.gif" >/dev/null 2>&1
[ $? = 2 ] && good || bad "gif is refused"
sheet examples/sinker-swap.json -o "$work/1.pdf"; sheet examples/sinker-swap.json -o "$work/2.pdf"
cmp -s "$work/1.pdf" "$work/2.pdf" && good || bad "same bytes"
echo "sheet life size: $passed passed, $failed failed"
[ "$failed" = 0 ] && [ "$passed" -gt 40 ]
