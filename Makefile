# ballastry: settings first, then no need to change anything below.

CC       ?= cc
OPT      ?= -O2 -g1
# Besides, for test_*.c alone: they call much and work little out by themselves
TEST_OPT ?= -O1 -g1
PREFIX   ?= /usr/local
# where libraries go: a distribution may want /usr/lib/x86_64-linux-gnu
LIBDIR   ?= $(PREFIX)/lib
DESTDIR  ?=
SANITIZE ?=
# T=room runs one room's tests: make test T=water
T        ?= *
# LEAVE: tests that are not run, but named as skipped: scripts, and programs by their source
LEAVE    ?=
# What `make check` leaves to `make later` and .ci/run: what takes long, so that it stays within five minutes
LATER    := tests/catalog/many.sh $(addprefix tests/cli/,book.sh chance.sh comma.sh faults.sh lines.sh listed.sh new.sh \
            round.sh screen.sh sweeps.sh walk.sh) tests/docs/keys.sh tests/docs/pages.sh $(addprefix tests/faults/,denied.sh \
            disk.sh killed.sh) tests/library/installed.sh $(addprefix tests/practice/,floaters.sh glued.sh judge.sh) \
            tests/sheet/life_size.sh tests/slip/said.sh tests/book/test_makers.c \
            $(addprefix tests/fit/,test_box.c test_finished.c test_fit_stopped.c test_fit_true.c test_rank.c) \
            tests/makers/test_makers.c tests/mesh/test_cross.c tests/page/test_answers.c tests/page/test_jobs.c \
            tests/properties/test_rigs.c $(addprefix tests/tank/,test_battery.c test_cover_afloat.c test_cover_all.c \
            test_cover_drift.c) tests/worth/test_brute.c tests/worth/test_worth.c
# and what it samples and `make later` runs whole
WHOLE    := tests/page/page.sh tests/cli/run.sh tests/trade/facts.sh tests/fit/test_fit_brute.c
V        ?= 0
# FULL=1: sweeps and repeats that make check samples run whole, as make full has them
FULL     ?=
JOBS     := $(shell nproc 2>/dev/null || echo 2)
# make fuzz gives each target of FUZZ so many seconds
SECS     ?= 30
FUZZ     ?= quantity build catalog csv http stl svg

VERSION  := $(shell sed -n 's/^\#define BLY_VERSION "\(.*\)"/\1/p' include/ballastry/version.h)

# ---------------------------------------------------------------------------------------------
.DELETE_ON_ERROR:
.SUFFIXES:
Q := $(if $(filter 1,$(V)),,@)

# Each set of sanitizers has a folder of its own: objects of two sets do not link.
comma   := ,
sanset  := san$(if $(filter-out address$(comma)undefined,$(SANITIZE)),-$(subst $(comma),-,$(SANITIZE)))
variant := $(if $(SANITIZE),$(sanset),opt)$(if $(COVER),-cover,)$(if $(filter clang%,$(notdir $(CC))),-clang,)
OUT     := .build/$(variant)

WARN := -std=c17 -Wall -Wextra -Wpedantic -Wconversion -Wshadow -Wstrict-prototypes \
        -Wmissing-prototypes -Wvla -Werror
# What the library needs, and what the program needs besides for its page and pictures.
LIB_PKGS := gsl libcjson expat
PKGS     := $(LIB_PKGS) libmicrohttpd librsvg-2.0 cairo
NO_PKGS  := -lglpk -ladmesh
PKG_CFLAGS := $(shell pkg-config --cflags $(PKGS) 2>/dev/null | sed 's/-I/-isystem /g')
PKG_LIBS   := $(shell pkg-config --libs $(PKGS) 2>/dev/null) $(NO_PKGS) -lpthread -lm
CPPFLAGS := -D_POSIX_C_SOURCE=200809L -Iinclude -Isolver -I$(OUT)/gen $(PKG_CFLAGS)
CFLAGS   := $(WARN) $(OPT) -fPIC -fvisibility=hidden -ffp-contract=off \
            $(if $(SANITIZE),-fsanitize=$(SANITIZE) -fno-omit-frame-pointer -fno-sanitize-recover=all) \
            $(if $(COVER),--coverage -O0)
# Test programs are some two hundred: by a linker that is quicker than the usual one, if there is any
TEST_LD  := $(patsubst ld.%,-fuse-ld=%,$(firstword $(notdir $(wildcard $(addsuffix /ld.lld,$(subst :, ,$(PATH))) $(addsuffix /ld.gold,$(subst :, ,$(PATH)))))))
LDFLAGS  := -Wl,-z,relro,-z,now $(if $(SANITIZE),-fsanitize=$(SANITIZE)) $(if $(COVER),--coverage)

# The core: rooms that do no input or output. The library is these and what reads builds and
# catalogs out of texts; commands, page, reports and drawings are the program's own.
CORE    := error text decimal units numeric oval water shape loft mesh facets outline parts book lure moments slip balance sink tow rest programme practice fit uncertain spread trim worth window tank pour
LIBRARY := $(CORE) version json csv catalog build stl svg fence
# Faces for other rooms beside include/ballastry/*.h and solver/ROOM/ROOM.h; any other header is private to
# its room, and `make purity` says who includes one.
FACES   := numeric/roots.h text/format.h text/near.h text/quote.h lure/blank.h practice/craft.h tank/found.h

# Every room, private names and all, in one archive: the program and the tests are linked with it.
LIB_SRC  := $(filter-out solver/cli/main.c,$(wildcard solver/*/*.c))
LIB_OBJ  := $(LIB_SRC:%.c=$(OUT)/%.o)
LIB      := $(OUT)/rooms.a
# The library for others, static and shared: the public headers' names alone.
CORE_OBJ := $(filter $(LIBRARY:%=$(OUT)/solver/%/%),$(LIB_OBJ))
STLIB    := $(OUT)/libballastry.a
SHLIB    := $(OUT)/libballastry.so.2
PROG     := $(OUT)/ballastry
TEST_SRC := $(filter-out $(LEAVE),$(wildcard tests/$(T)/test_*.c))
TEST_SH  := $(filter-out $(LEAVE),$(wildcard tests/$(T)/*.sh))
TEST_LEFT := $(filter $(LEAVE),$(wildcard tests/$(T)/*.sh tests/$(T)/test_*.c))
TEST_BIN := $(TEST_SRC:%.c=$(OUT)/%)
TEST_SUP := $(patsubst %.c,$(OUT)/%.o,$(wildcard tests/support/*.c))

.PHONY: alone words all demo check later full test bench makers faults mutants fuzz fuzzers analyze reproduce golden docs setup purity headers cover valgrind format format-check man install deb help force clean
all: $(LIB) $(STLIB) $(SHLIB) $(PROG)

# Nothing is compiled before all packages are there; other settings compile everything anew.
SETTINGS := $(OUT)/gen/settings
$(SETTINGS): force
	@mkdir -p $(@D)
	@echo '$(CC) $(CPPFLAGS) $(CFLAGS) $(TEST_OPT)' | cmp -s - $@ || \
	    { .package/needed "$(CC)" $(PKGS) && echo '$(CC) $(CPPFLAGS) $(CFLAGS) $(TEST_OPT)' >$@; }

# Plans for the tank are half of what rest and fit take, and work on threes: unrolled it is a sixth less.
$(OUT)/solver/trim/%.o: HOT := $(if $(filter -O2,$(OPT)),-O3)

$(OUT)/%.o: %.c $(SETTINGS)
	@mkdir -p $(@D)
	$(if $(Q),@echo "  cc   $<")
	$(Q)$(CC) $(CPPFLAGS) $(CFLAGS) $(HOT) -MMD -MP -c $< -o $@

$(OUT)/tests/%.o: tests/%.c $(SETTINGS)
	@mkdir -p $(@D)
	$(if $(Q),@echo "  cc   $<")
	$(Q)$(CC) $(CPPFLAGS) -Itests $(CFLAGS) $(if $(findstring /test_,$@),$(TEST_OPT)) -MMD -MP -c $< -o $@

# The shipped catalog goes into the library as bytes, materials first: parts refer to them.
SHIPPED     := catalog/materials.json $(filter-out catalog/materials.json,$(sort $(wildcard catalog/*.json)))
SHIPPED_INC := $(OUT)/gen/shipped_catalog.inc
$(SHIPPED_INC): $(SHIPPED) Makefile
	@mkdir -p $(@D)
	$(Q){ for f in $(SHIPPED); do \
	    n=$$(basename $$f .json); echo "static const unsigned char $$n[] = {"; \
	    od -An -v -tu1 $$f | sed 's/\([0-9][0-9]*\)/\1,/g'; echo "};"; done; \
	  echo "static const Shipped shipped[] = {"; \
	  for f in $(SHIPPED); do n=$$(basename $$f .json); echo "{\"$$f\", $$n, sizeof $$n},"; done; \
	  echo "};"; } >$@
$(OUT)/solver/catalog/shipped.o: $(SHIPPED_INC)

# So do the bench page's files.
PAGE     := $(sort $(wildcard solver/bench/page/*))
PAGE_INC := $(OUT)/gen/page_assets.inc
$(PAGE_INC): $(PAGE) Makefile
	@mkdir -p $(@D)
	$(Q){ for f in $(PAGE); do \
	    n=page_$$(basename $$f | tr '.-' '__'); echo "static const unsigned char $$n[] = {"; \
	    od -An -v -tu1 $$f | sed 's/\([0-9][0-9]*\)/\1,/g'; echo "};"; done; \
	  echo "static const Asset assets[] = {"; \
	  for f in $(PAGE); do n=$$(basename $$f); \
	    echo "{\"$$n\", page_$$(echo $$n | tr '.-' '__'), sizeof page_$$(echo $$n | tr '.-' '__')},"; done; \
	  echo "};"; } >$@
$(OUT)/solver/bench/assets.o: $(PAGE_INC)

$(LIB): $(LIB_OBJ)
	$(Q)rm -f $@ && ar rcs $@ $^

# One object, in which the rooms find each other's hidden names and nobody else does.
$(STLIB): $(CORE_OBJ)
	$(Q)$(LD) -r $^ -o $@.o && objcopy --localize-hidden $@.o
	$(Q)rm -f $@ && ar rcs $@ $@.o && rm $@.o

$(SHLIB): $(CORE_OBJ) solver/libballastry.map
	$(Q)$(CC) $(LDFLAGS) -shared -Wl,-soname,$(@F),--version-script=solver/libballastry.map,--as-needed \
	    $(if $(SANITIZE),,-Wl$(comma)-z$(comma)defs) $(CORE_OBJ) -o $@ \
	    $(shell pkg-config --libs $(LIB_PKGS) 2>/dev/null) $(NO_PKGS) -lm

$(PROG): $(OUT)/solver/cli/main.o $(LIB)
	$(Q)$(CC) $(LDFLAGS) $^ -o $@ $(PKG_LIBS)

$(OUT)/tests/%: $(OUT)/tests/%.o $(TEST_SUP) $(LIB)
	$(Q)$(CC) $(LDFLAGS) $(TEST_LD) $^ -o $@ -lcmocka $(PKG_LIBS)
.SECONDARY:

# Scripts are told which program to test.
export BALLASTRY := $(PROG)
# A maker's own box is none of the tests'.
export XDG_CONFIG_HOME := $(CURDIR)/.build/no-config
# and so is the book.
export XDG_DATA_HOME := $(CURDIR)/.build/no-data
export FULL
export TSAN_OPTIONS := suppressions=$(CURDIR)/tests/support/tsan.supp:halt_on_error=0:exitcode=66
export LSAN_OPTIONS := suppressions=$(CURDIR)/tests/support/lsan.supp:print_suppressions=0

# Each test program runs from the top folder, so that tables are found by their path.
test: $(TEST_BIN) $(PROG)
	@LEFT="$(TEST_LEFT)" tests/support/run.bash $(OUT) $(TEST_SH) $(TEST_BIN)

# The first of the README's two commands: installs what is missing, builds, balances an example.
demo:
	@.ci/setup
	$(Q)$(MAKE) --no-print-directory -s -j$(JOBS) $(PROG)
	$(PROG) fit examples/larch-minnow.json --rigs 3

# The second: installs what the tests need too, builds everything, runs every test but the long ones of
# `make later`. The last line says how many passed, failed and were skipped.
check:
	@.ci/setup test
	$(Q)$(MAKE) --no-print-directory -s -j$(JOBS) all
	$(Q)$(MAKE) --no-print-directory -s -j$(JOBS) headers purity format-check
	$(Q)$(MAKE) --no-print-directory -s -j$(JOBS) test LEAVE="$(LATER)"

# What `make check` leaves; and, whole, what it samples: the page in the browser, cases of commands, facts.
programs = $(patsubst %.c,$(OUT)/%,$1)
later: all $(filter $(OUT)/%,$(call programs,$(LATER) $(WHOLE)))
	@WHOLE="$(call programs,$(WHOLE))" tests/support/run.bash $(OUT) $(call programs,$(WHOLE) $(LATER))

# Every test again with no sweep sampled, and every problem of test_fit_true; by hand before much lands.
full: all
	$(Q)$(MAKE) --no-print-directory -s test FULL=1
	FIT_TRUE=all $(OUT)/tests/fit/test_fit_true

# Measures as ratios and writes docs/speed.md by itself; two or three minutes.
bench: $(PROG) $(addprefix $(OUT)/tests/bench/bench_,programme lure middle page mesh battery)
	$(Q)tests/bench/run.bash $(OUT)/tests/bench

# Makers in the loop: 200 lures a build drawn, tested, mended as the program says; docs/spread.md keeps the
# table. Some ten minutes; MAKERS="--makers 20 examples/board-lip.json" for less.
makers: $(OUT)/tests/makers/makers
	$(Q)$(OUT)/tests/makers/makers $(MAKERS)

# Memory denied at every request of every command; some hours. `make test T=faults` tries a few.
faults: $(PROG)
	FAULT_TRIES=0 FAULT_FOREIGN_TRIES=100 tests/faults/denied.sh

# Each constant and row of tests/mutants/list.txt changed in turn, in a copy; what no test notices is told.
# ONLY="water film" chooses lines by regular expressions.
mutants:
	$(Q)tests/mutants/run.bash .build/mutants $(ONLY)

# Made-up input for SECS seconds a target, with clang's libFuzzer; what fails stays below .build/.
fuzz:
	$(Q)$(MAKE) --no-print-directory -s -j$(JOBS) fuzzers CC=clang OUT=.build/fuzz SANITIZE=fuzzer-no-link,address,undefined
	$(Q)tests/fuzz/run.bash .build/fuzz/tests/fuzz $(SECS) $(FUZZ)
fuzzers: $(FUZZ:%=$(OUT)/tests/fuzz/fuzz_%)
$(OUT)/tests/fuzz/fuzz_%: $(OUT)/tests/fuzz/fuzz_%.o $(LIB)
	$(Q)$(CC) -fsanitize=fuzzer,address,undefined $^ -o $@ $(PKG_LIBS)

# cppcheck and gcc's analyser; what they say wrongly is listed with the reason in tests/analyze.
analyze: $(SHIPPED_INC)
	$(Q)tests/analyze/run.bash $(OUT)/gen $(filter-out -Werror,$(CPPFLAGS))

# Same input, same bytes: every example through every command, again, at -O0 and by clang.
reproduce:
	$(Q)for how in "O3 gcc -O3" "O0 gcc -O0" "clang-O3 clang -O3"; do set -- $$how; \
	    $(MAKE) --no-print-directory -s -j$(JOBS) OUT=.build/$$1 CC=$$2 OPT=$$3 .build/$$1/ballastry || exit 1; done
	$(Q)tests/reproduce/run.bash .build/O3/ballastry .build/O0/ballastry .build/clang-O3/ballastry

# The whole page, solver included, as one HTML file, and its source beside it, below .build/alone; skipped by
# name where emscripten or the pinned sources cannot be had (docs/alone.md).
alone: $(SHIPPED_INC)
	$(Q).alone/build "$(OUT)/gen" "$(VERSION)" || [ $$? = 3 ]

golden:
	$(Q)$(MAKE) --no-print-directory -s $(PROG)
	GOLDEN=1 tests/cli/run.sh $(PROG)
	$(Q)GOLDEN=1 $(MAKE) --no-print-directory -s test T=sheet
	$(Q)$(MAKE) --no-print-directory -s docs

# What the documents' commands print, and the drawings that they show, written anew from real runs.
# Every word the program prints for people, with its count; looked through by hand.
words:
	@tests/words/list.py

docs: $(PROG)
	$(Q)tests/docs/pages.py --write

setup:
	@.ci/setup

# The core rooms may not print, open files, read the environment or know JSON; only programme may know
# GLPK. Looked up in what their objects ask the linker for. Texts are made by text/format.h, which
# keeps points in numbers whatever the locale; decimal/decimal.c has a way of its own.
purity: $(LIB)
	$(Q)for room in $(CORE) words figure sheet; do \
	    nm -u $(OUT)/solver/$$room/*.o | awk '$$1 == "U" {print $$2}' | sort -u | \
	    grep -E '^(printf|fprintf|puts|fputs|putchar|perror|fopen|open|read|write|getenv|system|cJSON_.*|stdout|stderr|abort|exit)$$' | \
	    sed "s|^|purity: $$room wants |" ; \
	    if [ $$room != programme ]; then nm -u $(OUT)/solver/$$room/*.o | grep -E ' glp_' | sed "s|^|purity: $$room wants|"; fi; \
	done | { ! grep . ; }
	$(Q)for room in $(filter-out text decimal cli,$(sort $(notdir $(patsubst %/,%,$(dir $(LIB_SRC)))))); do \
	    nm -u $(OUT)/solver/$$room/*.o | grep -owE 'vsnprintf|strtod|strtof|atof|isspace' | \
	    sed "s|^|purity: $$room wants |; s|$$|: text/format.h has one with a point in every locale|"; \
	    grep -nE '\bsnprintf\(.*%[-+#0-9*]*(\.[1-9*][0-9]*)?[efgEG]' solver/$$room/*.c; \
	done | { ! grep . ; }
	$(Q)tests/walls/walls.bash "$(FACES)" "alone:stl/soup.h alone:bench/route.h"

# Line coverage of the core rooms, below .build/; needs gcovr.
cover:
	@command -v gcovr >/dev/null || { echo "make cover needs gcovr: apt-get install gcovr"; exit 1; }
	$(Q)$(MAKE) --no-print-directory -s -j$(JOBS) COVER=1 OPT=-g test >/dev/null
	$(Q)gcovr -r . --object-directory .build/opt-cover --filter 'solver/($(shell echo $(CORE) words figure sheet | tr ' ' '|'))/' \
	    --exclude-unreachable-branches --print-summary 2>/dev/null

# Every test program under valgrind; any leak is fatal.
valgrind: $(TEST_BIN)
	$(Q)fail=0; for t in $(TEST_BIN); do \
	    valgrind -q --suppressions=tests/support/foreign_leaks.valgrind --leak-check=full --errors-for-leak-kinds=all --error-exitcode=9 $$t >$$t.vg 2>&1 || \
	    { fail=1; echo "FAILED $$t"; tail -40 $$t.vg; }; done; exit $$fail

# Man pages are made of the commands' own pages, and of those for the files and the library.
MAN1 := $(patsubst docs/commands/%.md,$(OUT)/man/ballastry-%.1,$(wildcard docs/commands/*.md))
MAN5 := $(OUT)/man/ballastry-format.5 $(OUT)/man/ballastry-catalog.5
MAN  := $(MAN1) $(MAN5) $(OUT)/man/ballastry.1 $(OUT)/man/libballastry.3
man: $(MAN)
$(MAN1): $(OUT)/man/ballastry-%.1: docs/commands/%.md
$(MAN5): $(OUT)/man/ballastry-%.5: docs/%.md
$(OUT)/man/ballastry.1: docs/commands.md
$(OUT)/man/libballastry.3: docs/library.md
$(OUT)/man/%: .package/man.awk README.md docs/README.md include/ballastry/version.h
	@mkdir -p $(@D)
	$(Q)awk -v page=$* -v version=$(VERSION) -f $< README.md docs/README.md $(filter docs/%.md,$(filter-out docs/README.md,$^)) >$@

# DESTDIR is put before every path and stands in no file.
install: all $(MAN)
	$(Q).package/install "$(OUT)" "$(DESTDIR)" "$(PREFIX)" "$(LIBDIR)" "$(VERSION)" "$(LIB_PKGS)" "$(NO_PKGS) -lm"

# What the tests of the library install.
$(if $(filter * library,$(T)),test: $(STLIB) $(SHLIB) $(MAN))
later: $(MAN)

# The installed tree as Debian packages, below .build/: program, library, and what is linked against.
deb: all $(MAN)
	$(Q).package/deb "$(OUT)" "$(VERSION)" "$(DEB_BY)"

# Every public header compiles alone.
headers:
	$(Q)for h in include/*.h include/ballastry/*.h; do \
	    printf '#include "%s"\nextern int alone;\n' $$h | $(CC) $(CPPFLAGS) -I. $(WARN) -x c -fsyntax-only - || exit 1; done

format:
	$(Q)clang-format -i $(shell find solver include tests -name '*.[ch]') examples/use.c
format-check:
	$(Q)clang-format --dry-run --Werror $(shell find solver include tests -name '*.[ch]') examples/use.c

help:
	@.package/help

clean:
	rm -rf .build

-include $(shell find .build -name '*.d' 2>/dev/null)
