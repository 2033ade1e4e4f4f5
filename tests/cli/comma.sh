#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# A locale with decimal commas changes no byte of any output or file: once with the locale merely in the
# environment, as the program meets it, and once asked for before its first line, as a program does
# that links the library (tests/cli/comma.c). The locale is made here, in a temporary folder.
set -u
cd "$(dirname "$0")/../.."
prog=$(realpath "${BALLASTRY:?the program to test}")
command -v localedef >/dev/null || { echo "skipped: a locale with decimal commas: no localedef"; exit 0; }
work=$(mktemp -d); trap 'rm -rf "$work"' EXIT
mkdir "$work/locales"
localedef -i de_DE -f UTF-8 "$work/locales/de_DE.UTF-8" >"$work/said" 2>&1 ||
    { echo "FAILED: no comma locale can be made (Debian package locales):"; cat "$work/said"; exit 1; }
comma=(env LC_ALL=de_DE.UTF-8 LOCPATH="$work/locales")
[ "$("${comma[@]}" /usr/bin/printf %.1f 0,5)" = 0,5 ] || { echo "FAILED: the locale has no comma"; exit 1; }
asked=("${comma[@]}" LD_PRELOAD="$work/shim.so") ways=(asked) # in the environment it is there too
[ -z "${FULL:-}" ] || ways=(comma asked)
case $prog in
    */.build/san*) ways=(comma); echo "skipped: the locale asked for by the program: the sanitizer comes before any other library" ;;
    *) ${CC:-cc} -std=c17 -O2 -fPIC -shared tests/cli/comma.c -o "$work/shim.so" || exit 1 ;;
esac

mkdir "$work/in"
cp examples/* tests/cli/listed.* tests/cli/weighed.csv tests/cli/wrong-unit.json tests/cli/traced-bad-path.* "$work/in/"
printf '{"key":"a","set":{"/body/mass":"6.5 g"}}\n{"key":"b","set":{"/body/mass":"0.5 km"}}\n' >"$work/in/lines"
printf 'Position (mm);Width;Height\n0;0;0\n30,5;13,5;17,5\n88,5;2,5;3\n' >"$work/in/commas.csv"
passed=0 failed=0
run() { # folder, how..: the words there, with what they write
    local folder=$1; shift
    rm -rf "$folder"; cp -r "$work/in" "$folder"
    (cd "$folder" && "$@" "$prog" "${words[@]}" >OUT 2>ERR </dev/null; echo $? >STATUS)
}
while read -ra words; do
    run "$work/point" env LC_ALL=C
    [ -s "$work/point/OUT" ] || [ -s "$work/point/ERR" ] || { failed=$((failed + 1)); echo "FAILED: ${words[*]} says nothing"; }
    for way in "${ways[@]}"; do
        declare -n how=$way
        run "$work/$way" "${how[@]}"
        if said=$(diff -r "$work/point" "$work/$way"); then passed=$((passed + 1))
        else failed=$((failed + 1)); echo "FAILED: $way: ${words[*]}"; echo "$said" | head -8; fi
    done
done <<'COMMANDS'
rest larch-minnow.json
rest larch-minnow.json --json
rest larch-minnow.json --waters --units inch
rest cedar-floater.json --waters
rest caliper-stick.json
rest traced-minnow.json --json
rest mesh-minnow.json
rest traced-bad-path.json
rest wrong-unit.json
rest larch-minnow.json --lines lines --workers 2
fit larch-minnow.json --rigs 2 --write out.json
fit board-lip.json --rigs 1 --json --finished
fit too-light.json
fit sinker-swap.json --rigs 1 --surest
fit board-lip.json --lines lines
swap sinker-swap.json --at belly.hook=treble-8-fine --write out.json
tank larch-minnow.json --scale 7.2g --write out.json
tank larch-minnow.json --scale 7.2g --json
pour --mould 240ml --filler 0.2g/cm3 --packed granulate --by-weight 100.5:90.5 --cured 1.05g/cm3
pour cast-mix.json --filler 0.2g/cm3 --target 0.75g/cm3 --stirred --by-weight 2:1 --cured 1.05g/cm3 --json
catalog list --kind hook --catalog weighed.csv
catalog check --catalog weighed.csv --json
catalog materials
sheet larch-minnow.json -o out.svg
sheet larch-minnow.json -o out.svg --view chance --units inch
sheet cast-mix.json -o out.svg
sheet cedar-floater.json -o out.pdf --view side
sheet cedar-floater.json -o out.png --view curves
sheet board-lip.json -o out.stl --slot-gap 1.5mm --chord 0.05mm
new lure
new lure --from commas.csv --scale 6.5g
new lure --from traced-minnow.svg
new lure --from hump-minnow.stl
new lure --displaced 10.1g --water 18.5C --length 88mm --width 14mm --height 17.5mm --scale 5.6g
COMMANDS
echo "comma: $passed passed, $failed failed"
[ "$failed" = 0 ] && [ "$passed" -ge 30 ]
