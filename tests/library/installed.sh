#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Installs into an empty folder and uses what lies there as a stranger would: the names that the
# libraries give away, a program in C and C++, static and shared, through pkg-config; man pages,
# completion, packages.
set -u
cd "$(dirname "$0")/../.."
out=$(dirname "${BALLASTRY:?the program to test}")
case $out in *san*|*cover*) echo "library installed: skipped, strangers link no sanitizer"; exit 0 ;; esac
work=$(mktemp -d); trap 'rm -rf "$work"' EXIT
passed=0 failed=0
good() { passed=$((passed + 1)); }
bad() { failed=$((failed + 1)); echo "FAILED: $*"; }
same() { if [ "$2" = "$3" ]; then good; else bad "$1: $(diff <(echo "$2") <(echo "$3") | head -12)"; fi; }

unset MAKEFLAGS MAKELEVEL MFLAGS DESTDIR LIBDIR
make -s OUT="$out" PREFIX="$work/usr" install >"$work/log" 2>&1 || { cat "$work/log"; exit 1; }
usr=$work/usr

# ---- names: what the headers declare, as the compiler reads them, and what can be linked ----
echo '#include <ballastry.h>' >"$work/all.c"
gcc -I"$usr/include" -fsyntax-only -aux-info "$work/declared" "$work/all.c"
declared=$({ grep "^/\* $usr/include/ballastry" "$work/declared" | grep -v ' static ' | sed 's|^/\*[^*]*\*/||; s/ (.*//' | grep -o '[a-z0-9_]*$'
    sed -n 's/^extern const .*\b\(bly_[a-z_]*\)\[.*/\1/p' "$usr"/include/ballastry/*.h; } | sort -u)
given() { nm "$@" | awk 'NF == 3 && $2 != "A" {sub(/@.*/, "", $3); print $3}' | sort -u; }
[ "$(wc -w <<<"$declared")" -gt 200 ] && good || bad "the headers declare only: $declared"
same "names of the shared library" "$declared" "$(given -D --defined-only "$usr/lib/libballastry.so.2")"
same "names of the static library" "$declared" "$(given -g --defined-only "$usr/lib/libballastry.a")"
same "headers in ballastry.h" "$(cd "$usr/include" && ls ballastry/*.h)" \
    "$(sed -n 's/^#include "\(.*\)"/\1/p' "$usr/include/ballastry.h")"
wanted=$(readelf -d "$usr/lib/libballastry.so.2" | sed -n 's/.*NEEDED.*\[lib\([a-z]*\)\..*/\1/p' | sort | tr '\n' ' ')
same "libraries that the library asks for" "admesh c cjson expat glpk gsl m " "$wanted"

# ---- a program in C and C++, shared and static ----
export PKG_CONFIG_PATH=$usr/lib/pkgconfig
flags="-Wall -Wextra -Wpedantic -Wno-missing-field-initializers -Werror"
shared=$(pkg-config --cflags --libs ballastry)
static="$(pkg-config --cflags ballastry) -L$usr/lib -Wl,-Bstatic -lballastry -Wl,-Bdynamic $(pkg-config --libs --static ballastry | sed 's/-lballastry//')"
use=$usr/share/doc/ballastry/examples/use.c build=examples/sinker-swap.json
field() { sed -n "s/.*\"$1\": \(-\{0,1\}[0-9.e-]*\),*\$/\1/p" | head -1; }
rest=$("$BALLASTRY" rest $build --json) fit=$("$BALLASTRY" fit $build --json)
milli() { awk -v v="$1" 'BEGIN {printf "%.4f", v / 1000}'; }
seats=$(python3 -c 'import json, sys
b = json.load(open(sys.argv[1]))
for seat in b["seats"]:
    hook = b["fitted"].get(seat, {}).get("hook", "no hook")
    print(seat + ":", hook["id"] if isinstance(hook, dict) else hook)
print("with a target" if "target" in b else "no target")
print(b["name"], end="")' $build)
expected="$seats as fitted: $(printf %.3f "$(field mass_g <<<"$rest")") g, $(printf %.3f "$(field net_weight_g <<<"$rest")") g in water, drifts $(milli "$(field drift_mm_s <<<"$rest")") m/s
$(grep -c '"parts": {' <<<"$fit") rigs; the first meets the target and drifts $(milli "$(field drift_mm_s <<<"$fit")") m/s"
try() { # NAME COMMAND ..: compiles and runs
    local name=$1; shift
    "$@" -o "$work/use" || { bad "$name does not compile"; return; }
    same "$name" "$expected" "$(LD_LIBRARY_PATH=$usr/lib "$work/use" $build)"
    # shellcheck disable=SC2144
    [ "$name" = "${name/static/}" ] && return
    LD_LIBRARY_PATH= ldd "$work/use" | grep -q libballastry && bad "$name wants libballastry.so" || good
}
# shellcheck disable=SC2086
{
    try "C, shared" gcc -std=c17 $flags "$use" $shared
    try "C, static" gcc -std=c17 $flags "$use" $static
    if command -v g++ >/dev/null; then
        try "C++, shared" g++ -std=c++11 $flags -x c++ "$use" -x none $shared
        try "C++, static" g++ -std=c++11 $flags -x c++ "$use" -x none $static
    else
        echo "C++: skipped, no g++"
    fi
}
# Builds and blanks are closed: a program that would break by a new field does not compile.
sized() { echo "#include <ballastry.h>
unsigned long size = sizeof($1);" | gcc -I"$usr/include" -fsyntax-only -x c - 2>/dev/null; }
for closed in BlyBuild BlyBlank; do sized $closed && bad "the size of a $closed is known" || good; done
sized BlyLure && good || bad "the size of a BlyLure is not known"

LD_LIBRARY_PATH=$usr/lib "$work/use" /dev/null 2>"$work/err" && bad "an empty build is taken" || good
grep -q 'the text is empty' "$work/err" && good || bad "says of an empty build: $(cat "$work/err")"

# The walk in the document compiles as it stands, in 30 lines.
sed -n '/^## Load, rest/,/^Each/s/^    //p' docs/library.md >"$work/walk"
[ "$(grep -c . "$work/walk")" -le 30 ] && good || bad "docs/library.md: more than 30 lines"
{ grep '^#include' "$work/walk"; echo 'void walk(const char *text, size_t size);'
    echo 'void walk(const char *text, size_t size) {'; grep -v '^#include' "$work/walk"; echo '}'; } >"$work/walk.c"
gcc -std=c17 -I"$usr/include" -Wall -Wno-unused-result -Werror -fsyntax-only "$work/walk.c" && good || bad "docs/library.md does not compile"

# The two versions that a program can ask for, and the number in pieces.
cat >"$work/version.c" <<'C'
#include <ballastry.h>
#include <stdio.h>
int main(void) {
    printf("%s %s %d %d %d.%d.%d\n", BLY_VERSION, bly_version(), BLY_VERSION_NUMBER, bly_version_number(), BLY_VERSION_MAJOR, BLY_VERSION_MINOR, BLY_VERSION_PATCH);
    return 0;
}
C
v=$("$BALLASTRY" --version | sed 's/ballastry //') n=$(awk -F. '{print $1 * 10000 + $2 * 100 + $3}' <<<"$v")
# shellcheck disable=SC2086
gcc "$work/version.c" $shared -o "$work/version" &&
    same version "$v $v $n $n $v" "$(LD_LIBRARY_PATH=$usr/lib "$work/version")"
same "pkg-config's version" "$v" "$(pkg-config --modversion ballastry)"

# ---- man pages: one for each command, with each of its options ----
for name in $("$BALLASTRY" --help | sed -n 's/^  \([a-z]*\)  .*/\1/p'); do
    page=$usr/share/man/man1/ballastry-$name.1
    [ -e "$page" ] && good || { bad "no man page of $name"; continue; }
    grep -q "^ballastry.-$name .- ." "$page" && good || bad "the man page of $name does not say what it is for"
    for option in $("$BALLASTRY" "$name" --help | sed -n 's/^  \(--[a-z-]*\).*/\1/p'); do
        cat "$page" "$usr/share/man/man1/ballastry.1" | sed 's/\\-/-/g' | grep -qe "$option" && good ||
            bad "the man pages of $name lack $option"
    done
done
if command -v groff >/dev/null; then
    for page in "$usr"/share/man/man*/*; do
        said=$(groff -man -ww -z -K utf8 "$page" 2>&1) && [ -z "$said" ] && good || bad "$page: $said"
    done
else
    echo "man pages as groff sees them: skipped, no groff"
fi

# ---- completion ----
PATH=$usr/bin:$PATH
# shellcheck disable=SC1091
source "$usr/share/bash-completion/completions/ballastry"
compopt() { :; }
completes() { # EXPECTED WORD ..: the last word is completed
    local expected=$1; shift
    COMP_WORDS=(ballastry "$@") COMP_CWORD=$#
    _ballastry
    same "completion of $*" "$expected" "$(printf '%s\n' "${COMPREPLY[@]}" | tr '\n' ' ')"
}
completes "swap sheet " s
completes "--rigs " fit x.json --rig
completes "a4 letter " sheet x.json --paper ""
completes "metric " rest x.json --units m
completes "treble-14-fine " swap x.json --at belly.hook = treble-14-f
completes "examples/cast-mix.json " rest examples/cast
completes "-o " sheet x.json -o -o

# ---- files where they are looked for ----
for f in share/ballastry/{build,catalog,bench}.schema.json share/doc/ballastry/README.md \
    share/doc/ballastry/docs/sweeps.md share/doc/ballastry/examples/larch-minnow.json; do
    [ -s "$usr/$f" ] && good || bad "$f is not installed"
done
grep -rlF -- "$work" "$usr/share" "$usr/include" >"$work/paths" && bad "holds the path it was installed to: $(cat "$work/paths")" || good

# ---- the packages hold the same, with what they depend on ----
if command -v dpkg-deb >/dev/null && command -v dpkg-shlibdeps >/dev/null; then
    unset PKG_CONFIG_PATH
    make -s OUT="$out" deb >"$work/log" 2>&1 || { cat "$work/log"; bad "make deb"; }
    mkdir "$work/root"
    for d in "$out"/deb/*.deb; do dpkg-deb -x "$d" "$work/root"; done
    packed() { (cd "$1" && find . \( -type f -o -type l \) | sed "s|/lib/[a-z0-9_]*-linux-gnu[a-z0-9]*/|/lib/|; s|libballastry-dev|ballastry|; s|\.gz\$||" |
        grep -vE '/(changelog|copyright)$|/lintian/' | sort -u); }
    same "files of the packages" "$(packed "$usr")" "$(packed "$work/root/usr")"
    same "the packed program" "$("$BALLASTRY" rest $build)" "$("$work/root/usr/bin/ballastry" rest $build)"
    grep -rqIF -- "$out/deb/tree" "$work/root" && bad "the packages hold the folder they were packed in" || good
    depends() { dpkg-deb -f "$out/deb/$1"_*.deb Depends; }
    for d in libgsl libglpk libcjson libexpat libadmesh libmicrohttpd librsvg2 libcairo2 libc6 fonts-dejavu-core; do
        depends ballastry | grep -q "$d" && good || bad "ballastry.deb does not depend on $d"
    done
    depends libballastry2 | grep -qE 'rsvg|cairo|microhttpd' && bad "libballastry2.deb wants pictures or a server" || good
    depends libballastry-dev | grep -q "libballastry2 (= $v)" && good || bad "libballastry-dev.deb does not depend on its own library"
    # What lintian says is mended, or explained where the packages override it. It takes machine
    # instructions for words ("any lengH").
    if command -v lintian >/dev/null; then
        said=$(lintian -I --suppress-tags spelling-error-in-binary "$out"/deb/*.deb 2>/dev/null) && [ -z "$said" ] && good || bad "lintian: $said"
    else
        echo "lintian: skipped, not installed"
    fi
else
    echo "packages: skipped, no dpkg-dev"
fi
echo "library installed: $passed passed, $failed failed"
[ "$failed" = 0 ] && [ "$passed" -gt 100 ]
