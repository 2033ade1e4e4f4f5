#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Many builds, one a line: every result is that of --json for the build alone, byte for byte, in the
# order of the lines, for any number of workers; what is wrong with one line stays with that line.
set -u
cd "$(dirname "$0")/../.."
prog=$(realpath "${BALLASTRY:?the program to test}")
work=$(mktemp -d); trap 'rm -rf "$work"' EXIT
passed=0 failed=0
check() { # what, command..
    local what=$1; shift
    if "$@"; then passed=$((passed + 1)); else failed=$((failed + 1)); echo "FAILED: $what"; fi
}
status() { # expected, arguments..; leaves out, err
    local want=$1; shift
    "$prog" "$@" >"$work/out" 2>"$work/err" </dev/null
    local got=$?
    [ "$got" = "$want" ] || { echo "exit $got, wanted $want: $*"; cat "$work/err"; return 1; }
}
on_one_line() { tr -d '\n' <"$1"; echo; } # a text in JSON has no newline of its own
flat() { awk -F'"' -v OFS='"' '{ for (i = 1; i <= NF; i += 2) gsub(/ /, "", $i); printf "%s", $0 } END { print "" }'; }
error_of() { grep -c "\"line\":$1,\"error\":{\"kind\":\"$2\",\"where\":\"$3\",\"text\":\"$4" "$work/out" | grep -qx 1; }
stub='"body":{"material":{"density":"1.3 g/cm3","give":"0.02 g/cm3"},"stations":[{"x":0,"diameter":0},{"x":20,"diameter":16},{"x":80,"diameter":0}]}'
stub() { printf '{"ballastry":1,"name":"%s",%s}\n' "$1" "$stub"; }

stub base >"$work/base.json"

# ---- the same as alone
examples=(board-lip light-by-design sinker-swap)
alone() { for e in "${examples[@]}"; do "$prog" "$@" --json "examples/$e.json" | flat; done >"$work/alone"; }
for e in "${examples[@]}"; do on_one_line "examples/$e.json"; done >"$work/examples"
for words in "rest" "fit --rigs 2 --time-limit 600s"; do
    alone $words
    check "$words: a result each" [ "$(wc -l <"$work/alone")" = 3 ]
    for workers in 1 3; do
        "$prog" $words --lines "$work/examples" --workers $workers >"$work/out" 2>"$work/err"
        check "$words with $workers workers" cmp "$work/out" "$work/alone"
        check "says nothing else" [ ! -s "$work/err" ]
    done
done
alone rest
"$prog" rest --waters --json "$work/base.json" | flat >"$work/window"
check "rest --waters" bash -c "'$prog' rest --waters --lines '$work/base.json' | cmp - '$work/window'"
check "from standard input" bash -c "'$prog' rest --lines - <'$work/examples' | cmp - '$work/alone'"
(cd tests/cli && for b in listed.json; do on_one_line $b; done | "$prog" rest --lines - >"$work/out")
check "files are looked for in the current folder" bash -c "'$prog' rest tests/cli/listed.json --json | tr -d ' \n' | cmp -s - <(tr -d ' \n' <'$work/out')"
on_one_line tests/cli/listed.json | (cd "$work" && "$prog" rest --lines - >"$work/out" 2>"$work/err")
check "and nowhere else" error_of 1 "file" "listed.csv" "cannot be opened"

# A mesh with a hole is mended by a process of its own, begun here by several threads at once.
python3 -c "
import sys
b = open('examples/hump-minnow.stl', 'rb').read()
n = int.from_bytes(b[80:84], 'little') - 1
open(sys.argv[1], 'wb').write(b[:80] + n.to_bytes(4, 'little') + b[84:84 + 50 * n])" "$work/holed.stl"
sed 's/hump-minnow.stl/holed.stl/' examples/mesh-minnow.json >"$work/holed.json"
"$prog" rest --json "$work/holed.json" | flat >"$work/alone"
for i in 1 2 3 4 5 6; do echo '{"set":{}}'; done >"$work/six"
# A sanitizer's own memory locks are not let go of in a process begun amid threads: one worker there.
workers=4; case $prog in */.build/san*) workers=1 ;; esac
check "six meshes" status 0 rest "$work/holed.json" --lines "$work/six" --workers $workers
check "each is mended" [ "$(grep -c 'the mesh was mended' "$work/out")" = 6 ]
check "to the same" bash -c "sort -u '$work/out' | cmp -s - '$work/alone'"

# ---- changes of one build
for wood in balsa cedar; do
    sed "s/\"larch\"/\"$wood\"/" examples/larch-minnow.json >"$work/$wood.json"
    printf '{"key":"%s","set":{"/body/material":"%s"}}\n' $wood $wood
done >"$work/woods"
for wood in balsa cedar; do printf '{"key":"%s","result":%s}\n' $wood "$("$prog" rest --json "$work/$wood.json" | flat)"; done >"$work/alone"
check "changes of a build" status 0 rest examples/larch-minnow.json --lines "$work/woods"
check "are the builds changed by hand" cmp "$work/out" "$work/alone"
check "which differ" [ "$(cut -d, -f2- "$work/out" | sort -u | wc -l)" = 2 ]
printf '{"set":{"/target":null,"/limits":null}}\n{"set":{"/body/mass":"12 g","/fitted/belly/hook":"none"}}\n{"set":{}}\n' >"$work/sets"
check "values taken away and added" status 3 rest examples/sinker-swap.json --lines "$work/sets"
check "no target, no judgement" [ "$(sed -n 1p "$work/out" | grep -c '"target":')" = 0 ]
check "what does not go" error_of 2 unknown /fitted/belly/hook 'no part \\"none\\"'
check "no change" bash -c "'$prog' rest examples/sinker-swap.json --json | tr -d ' \n' | cmp -s - <(sed -n 3p '$work/out' | tr -d ' \n')"

# ---- 1,000 lines, most of them wrong, some long in the working
awk -v stub="$stub" 'BEGIN {
    for (i = 1; i <= 1000; i++) {
        if (i % 20 == 3) printf "{\"ballastry\":1,\"name\":\"n%d\",%s}\n", i, stub
        else if (i % 10 == 7) print ""
        else printf "{\"key\":\"k%d\",\"build\":{\"ballastry\":1,\"name\":\"n%d\",\"body\":{}}}\n", i, i
    }}' >"$work/thousand"
for workers in 1 2 9; do
    check "1,000 lines" status 3 rest --lines "$work/thousand" --workers $workers
    cp "$work/out" "$work/by$workers"
done
check "the same for any number of workers" cmp "$work/by1" "$work/by2"
check "the same for many workers" cmp "$work/by1" "$work/by9"
check "blank lines have no result" [ "$(wc -l <"$work/by1")" = 900 ]
check "in order" bash -c "sed -E 's/^\{(\"ballastry_result\":1,\"command\":\"rest\",)?\"(name|key)\":\"[nk]([0-9]+)\".*/\3/' '$work/by1' | sort -nc"
check "good ones among bad ones" [ "$(grep -c '"outcome"' "$work/by1")" = 50 ]
check "one line of summary" grep -qx "ballastry: $work/thousand: 850 of 900 lines could not be worked, the first is line 1" "$work/err"
check "and no other" [ "$(wc -l <"$work/err")" = 1 ]

# ---- what is wrong with a line
{ stub one; echo '{"ballastry":1,"name":"x","body":{"mass":"3 mm"}}'; echo 'not json'; echo '{"a":1}{"b":2}'
  echo '[]'; echo '{"key":"k"}'; echo '{"key":7,"set":{}}'; echo '{"key":"k","set":{"/body/mass":"1 g"}}'; echo '{"key":"k","build":{},"set":{}}'
  printf '{"key":"k","build":{"ballastry":1,"name":"x","body":{"mass":1e999}}}\n'; printf '{"name":"\001"}\n'
  printf '%080d\n' 0 | tr 0 '['; printf '{"key":"\\u001b","set":{}}\n'; printf '{"key":"d","build":%s}\n' "$(stub x | sed 's/"diameter":16/"diameter":1e-310/')"
  printf '{"key":"e","build":%s}\n' "$(stub x | sed 's/"diameter":16/"diameter":1e308/')"; stub last; } >"$work/wrong"
check "wrong lines" status 3 rest --lines "$work/wrong"
check "each has its answer" [ "$(wc -l <"$work/out")" = 16 ]
check "the good are answered" [ "$(grep -c '^{"ballastry_result":1,"command":"rest","name":"\(one\|last\)"' "$work/out")" = 2 ]
check "a place in the build" error_of 2 "missing" "/body" "expected"
check "no JSON" error_of 3 "cannot be read" "column 1" "expected a value"
check "two values" error_of 4 "cannot be read" "column 8" "text after the end"
check "a list" error_of 5 "cannot be read" "" "expected an object"
check "a key alone" error_of 6 missing "" 'expected \\"build\\" or \\"set\\"'
check "a key of another kind" error_of 7 "cannot be read" "/key" "expected a text"
check "nothing to change" error_of 8 missing "/set" "there is nothing to change"
check "both" error_of 9 contradiction "/set" "changes the BUILD"
check "too large a number" error_of 10 "out of range" "/build/body/mass" "is too large"
check "control characters" error_of 11 "cannot be read" "column 10" ""
check "nested too deep" error_of 12 "cannot be read" "column 65" ""
check "control characters in a key" error_of 13 "out of range" "/key" "the text holds a control"
check "a denormal" [ "$(sed -n 14p "$work/out" | grep -c '"line":14,"error"')" = 1 ]
check "1e308" [ "$(sed -n 15p "$work/out" | grep -c '"line":15,"error":{"kind":"out of range","where":"/build/body/stations/1/diameter"')" = 1 ]
check "no control character comes out" bash -c "! LC_ALL=C grep -q '[[:cntrl:]]' '$work/out'"
{ stub a; head -c 10000000 /dev/zero | tr '\0' x; echo; stub b; } >"$work/long"
check "a line of 10 MB" status 3 rest --lines "$work/long"
check "is told by its length" error_of 2 "out of range" "" "a line of more than 1048576 bytes"
check "and the rest goes on" [ "$(sed 's/"ballastry_result":1,"command":"rest",//' "$work/out" | cut -c1-12 | tr '\n' ' ')" = '{"name":"a", {"line":2,"e {"name":"b", ' ]

# ---- exit status, borders
on_one_line examples/too-light.json >"$work/none"
check "no rig" status 1 fit --lines "$work/none"
cat "$work/none" "$work/wrong" >"$work/both"
check "a bad line goes before no rig" status 3 fit --lines "$work/both"
check "empty input" status 0 rest --lines /dev/null
check "gives nothing" [ ! -s "$work/out" -a ! -s "$work/err" ]
printf '\n  \r\n\n' >"$work/blank"
check "blank lines" status 0 rest --lines "$work/blank"
printf %s "$(stub end)" >"$work/cut"
check "a last line without its end" status 0 rest --lines "$work/cut"
check "is answered" [ "$(grep -c '"name":"end"' "$work/out")" = 1 ]
check "no such file" status 3 rest --lines "$work/nowhere"
check "a folder" status 3 rest --lines "$work"
check "says so" grep -q 'cannot be read' "$work/err"
check "a base that cannot be read stops all" status 3 rest tests/cli/wrong-unit.json --lines "$work/woods"
check "before anything is out" [ ! -s "$work/out" ]
check "no lines and no build" status 2 rest
check "workers without lines" status 2 rest examples/cedar-floater.json --workers 2
check "no worker" status 2 rest --lines "$work/blank" --workers 0
check "too many" status 2 rest --lines "$work/blank" --workers 257
check "standard input twice" status 2 rest - --lines -
check "nothing to write to" status 2 fit --lines "$work/none" --write "$work/x"

# ---- an output that ends, an end from outside
seq 1 20000 | sed "s/.*/{\"key\":\"&\",\"set\":{}}/" >"$work/endless"
check "a full disk" bash -c "'$prog' rest --lines '$work/endless' >/dev/full 2>'$work/err'; [ \$? = 3 ]"
check "one line says so" [ "$(cat "$work/err")" = "ballastry: standard output: cannot be written to" ]
check "a closed output" bash -c "'$prog' rest --lines '$work/endless' >&- 2>'$work/err'; [ \$? = 3 ]"
check "a reader that has enough" bash -c "'$prog' rest --lines '$work/endless' | head -3 | wc -l | grep -qx 3; [ \${PIPESTATUS[0]} = 141 ]"
# Both pipes stay open at our end; only the reader of the output goes, while no line comes in.
gone() { # how SIGPIPE stands; leaves the exit status in $got
    rm -f "$work/to" "$work/from"; mkfifo "$work/to" "$work/from"
    env "--$1-signal=PIPE" "$prog" rest --lines - --workers 2 <"$work/to" >"$work/from" 2>"$work/err" & pid=$!
    exec 8>"$work/to" 9<"$work/from"
    stub one >&8; read -r answer <&9
    exec 9<&-
    for ((i = 0; i < 400; i++)); do kill -0 $pid 2>/dev/null || break; sleep 0.05; done
    kill -KILL $pid 2>/dev/null && echo "still there"
    wait $pid 2>/dev/null; got=$?
    exec 8>&-
}
gone default
check "an output that is gone while the input is idle" [ "$got" = 141 ]
check "after its answer" [ -n "$answer" ]
gone ignore
check "likewise where SIGPIPE is ignored" [ "$got" = 3 ]
check "one line says that too" [ "$(cat "$work/err")" = "ballastry: standard output: cannot be written to" ]
for name in INT TERM HUP; do
    ended=$work/ended-by-$name # a name of its own: no line is there before the program runs
    env --default-signal=$name "$prog" rest "$work/base.json" --lines "$work/endless" >"$ended" 2>"$work/err" & pid=$!
    for ((i = 0; i < 200; i++)); do [ -s "$ended" ] && [ "$(wc -l <"$ended")" -ge 5 ] && break; sleep 0.05; done
    kill -$name $pid; wait $pid 2>/dev/null; got=$?
    check "ended by $name" [ $got = $((128 + $(kill -l $name))) ]
    check "after whole lines ($name)" [ "$(tail -c 1 "$ended" | od -An -c | tr -d ' ')" = '\n' ]
    check "in order ($name)" bash -c "sed -E 's/^\{\"key\":\"([0-9]+)\".*\}\}?$/\1/' '$ended' | cmp -s - <(seq 1 \$(wc -l <'$ended'))"
done

# ---- memory, and how far it is
peak() { python3 -c "
import resource, subprocess, sys
subprocess.run(sys.argv[1:], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)" "$prog" rest "$work/base.json" --workers 2 --lines "$1"; }
awk '{ print; for (i = 0; i < 9; i++) print "{\"key\":\"" NR "\",\"set\":{\"/bod\":1}}" }' "$work/endless" >"$work/quick"
head -100 "$work/quick" >"$work/few"; head -1000 "$work/quick" >"$work/more"
case $prog in
*/.build/san*) echo "skipped: the memory of many lines: a sanitizer keeps what was freed" ;;
*)
    few=$(peak "$work/few"); more=$(peak "$work/more")
    check "ten times the lines, no more memory ($few and $more kB)" [ "$more" -lt $((few + few / 4)) ]
    check "which is little" [ "$more" -lt 60000 ] ;;
esac
shown() { python3 -c "
import os, pty, subprocess, sys
main, side = pty.openpty()
p = subprocess.Popen(sys.argv[2:], stdout=open(sys.argv[1], 'w'), stderr=side)
os.close(side)
seen = b''
try:
    while True: seen += os.read(main, 4096)
except OSError: pass
p.wait(); sys.stdout.buffer.write(seen)" "$work/out" "$prog" rest "$work/base.json" --lines "$1"; }
head -80 "$work/endless" >"$work/some"
shown "$work/some" >"$work/shown"
check "progress on a terminal" grep -qE $'\r[0-9]+ lines, [0-9.]+ a second, 0 bad' "$work/shown"
check "on one line that is cleared" bash -c "[ \$(wc -l <'$work/shown') = 0 ] && tail -c 1 '$work/shown' | grep -q $'\r'"
check "the results are elsewhere" [ "$(wc -l <"$work/out")" = 80 ]

echo "cli lines: $passed passed, $failed failed"
[ "$failed" = 0 ] && [ "$passed" -gt 80 ]
