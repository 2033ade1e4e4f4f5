# ballastry: settings first, then no need to change anything below.

CC       ?= cc
OPT      ?= -O2 -g
PREFIX   ?= /usr/local
DESTDIR  ?=
SANITIZE ?=
# T=room runs one room's tests: make test T=water
T        ?= *
V        ?= 0
# make fuzz gives each target of FUZZ so many seconds
SECS     ?= 30
FUZZ     ?= quantity build catalog csv http stl svg

VERSION  := 0.1.0

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
PKGS := gsl libcjson libmicrohttpd librsvg-2.0 cairo expat
PKG_CFLAGS := $(shell pkg-config --cflags $(PKGS) 2>/dev/null | sed 's/-I/-isystem /g')
PKG_LIBS   := $(shell pkg-config --libs $(PKGS) 2>/dev/null) -lglpk -ladmesh -lpthread -lm
CPPFLAGS := -D_POSIX_C_SOURCE=200809L -DBALLASTRY_VERSION='"$(VERSION)"' -Iinclude -Isolver \
            -I$(OUT)/gen $(PKG_CFLAGS)
CFLAGS   := $(WARN) $(OPT) -fPIC -ffp-contract=off \
            $(if $(SANITIZE),-fsanitize=$(SANITIZE) -fno-omit-frame-pointer -fno-sanitize-recover=all) \
            $(if $(COVER),--coverage -O0)
LDFLAGS  := $(if $(SANITIZE),-fsanitize=$(SANITIZE)) $(if $(COVER),--coverage)

LIB_SRC  := $(filter-out solver/cli/main.c,$(wildcard solver/*/*.c))
LIB_OBJ  := $(LIB_SRC:%.c=$(OUT)/%.o)
LIB      := $(OUT)/libballastry.a
SHLIB    := $(OUT)/libballastry.so.0
PROG     := $(OUT)/ballastry
TEST_SRC := $(wildcard tests/$(T)/test_*.c)
TEST_SH  := $(wildcard tests/$(T)/*.sh)
TEST_BIN := $(TEST_SRC:%.c=$(OUT)/%)
TEST_SUP := $(patsubst %.c,$(OUT)/%.o,$(wildcard tests/support/*.c))

.PHONY: all demo check test bench faults fuzz fuzzers analyze reproduce golden setup purity headers cover valgrind format format-check install clean
all: $(LIB) $(SHLIB) $(PROG)

$(OUT)/%.o: %.c
	@mkdir -p $(@D)
	$(if $(Q),@echo "  cc   $<")
	$(Q)$(CC) $(CPPFLAGS) $(CFLAGS) -MMD -MP -c $< -o $@

$(OUT)/tests/%.o: tests/%.c
	@mkdir -p $(@D)
	$(if $(Q),@echo "  cc   $<")
	$(Q)$(CC) $(CPPFLAGS) -Itests $(CFLAGS) -MMD -MP -c $< -o $@

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

$(SHLIB): $(LIB_OBJ)
	$(Q)$(CC) $(LDFLAGS) -shared -Wl,-soname,libballastry.so.0 $^ -o $@ $(PKG_LIBS)

$(PROG): $(OUT)/solver/cli/main.o $(LIB)
	$(Q)$(CC) $(LDFLAGS) $^ -o $@ $(PKG_LIBS)

$(OUT)/tests/%: $(OUT)/tests/%.o $(TEST_SUP) $(LIB)
	$(Q)$(CC) $(LDFLAGS) $^ -o $@ -lcmocka $(PKG_LIBS)
.SECONDARY:

# Scripts are told which program to test.
export BALLASTRY := $(PROG)
export TSAN_OPTIONS := suppressions=$(CURDIR)/tests/support/tsan.supp:halt_on_error=0:exitcode=66
export LSAN_OPTIONS := suppressions=$(CURDIR)/tests/support/lsan.supp:print_suppressions=0

# Each test program runs from the top folder, so that tables are found by their path.
test: $(TEST_BIN) $(PROG)
	@tests/support/run.bash $(OUT) $(TEST_SH) $(TEST_BIN)

# The first of the README's two commands: installs what is missing, builds, balances an example.
demo:
	@.ci/setup
	$(Q)$(MAKE) --no-print-directory -s -j2 $(PROG)
	$(PROG) fit examples/larch-minnow.json --rigs 3

# The second: installs what the tests need too, builds everything, runs every check there is.
check:
	@.ci/setup test
	$(Q)$(MAKE) --no-print-directory -s -j2 all
	$(Q)$(MAKE) --no-print-directory -s headers purity format-check
	$(Q)$(MAKE) --no-print-directory -s -j2 test
	$(Q)$(MAKE) --no-print-directory -s -j2 all test SANITIZE=address,undefined

# Measures as ratios and writes docs/speed.md by itself; two or three minutes.
bench: $(PROG) $(addprefix $(OUT)/tests/bench/bench_,programme lure middle page mesh)
	$(Q)tests/bench/run.bash $(OUT)/tests/bench

# Memory denied at every request of every command; some hours. `make test T=faults` tries a few.
faults: $(PROG)
	FAULT_TRIES=0 FAULT_FOREIGN_TRIES=100 tests/faults/denied.sh

# Made-up input for SECS seconds a target, with clang's libFuzzer; what fails stays below .build/.
fuzz:
	$(Q)$(MAKE) --no-print-directory -s -j2 fuzzers CC=clang OUT=.build/fuzz SANITIZE=fuzzer-no-link,address,undefined
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
	    $(MAKE) --no-print-directory -s -j2 OUT=.build/$$1 CC=$$2 OPT=$$3 .build/$$1/ballastry || exit 1; done
	$(Q)tests/reproduce/run.bash .build/O3/ballastry .build/O0/ballastry .build/clang-O3/ballastry

golden:
	$(Q)$(MAKE) --no-print-directory -s $(PROG)
	GOLDEN=1 tests/cli/run.sh $(PROG)
	$(Q)GOLDEN=1 $(MAKE) --no-print-directory -s test T=sheet

setup:
	@.ci/setup

# The core rooms may not print, open files, read the environment or know JSON; only fit may know
# GLPK. Looked up in what their objects ask the linker for. Texts are made by text/format.h, which
# keeps points in numbers whatever the locale; units/decimal.c has a way of its own.
CORE := error text units water shape outline parts lure balance sink rest fit spread tank pour sheet
purity: $(LIB)
	$(Q)for room in $(filter $(notdir $(wildcard solver/*)),$(CORE)); do \
	    nm -u $(OUT)/solver/$$room/*.o | awk '$$1 == "U" {print $$2}' | sort -u | \
	    grep -E '^(printf|fprintf|puts|fputs|putchar|perror|fopen|open|read|write|getenv|system|cJSON_.*|stdout|stderr|abort|exit)$$' | \
	    sed "s|^|purity: $$room wants |" ; \
	    if [ $$room != fit ]; then nm -u $(OUT)/solver/$$room/*.o | grep -E ' glp_' | sed "s|^|purity: $$room wants|"; fi; \
	done | { ! grep . ; }
	$(Q)for room in $(filter-out text units cli,$(sort $(notdir $(patsubst %/,%,$(dir $(LIB_SRC)))))); do \
	    nm -u $(OUT)/solver/$$room/*.o | grep -owE 'vsnprintf|strtod|strtof|atof|isspace' | \
	    sed "s|^|purity: $$room wants |; s|$$|: text/format.h has one with a point in every locale|"; \
	    grep -nE '\bsnprintf\(.*%[-+#0-9*]*(\.[1-9*][0-9]*)?[efgEG]' solver/$$room/*.c; \
	done | { ! grep . ; }

# Line coverage of the core rooms, below .build/; needs gcovr.
cover:
	@command -v gcovr >/dev/null || { echo "make cover needs gcovr: apt-get install gcovr"; exit 1; }
	$(Q)$(MAKE) --no-print-directory -s -j2 COVER=1 OPT=-g test >/dev/null
	$(Q)gcovr -r . --object-directory .build/opt-cover --filter 'solver/($(shell echo $(CORE) | tr ' ' '|'))/' \
	    --exclude-unreachable-branches --print-summary 2>/dev/null

# Every test program under valgrind; any leak is fatal.
valgrind: $(TEST_BIN)
	$(Q)fail=0; for t in $(TEST_BIN); do \
	    valgrind -q --suppressions=tests/support/foreign_leaks.valgrind --leak-check=full --errors-for-leak-kinds=all --error-exitcode=9 $$t >$$t.vg 2>&1 || \
	    { fail=1; echo "FAILED $$t"; tail -40 $$t.vg; }; done; exit $$fail

install: all
	install -d $(DESTDIR)$(PREFIX)/bin $(DESTDIR)$(PREFIX)/lib/pkgconfig \
	    $(DESTDIR)$(PREFIX)/include/ballastry
	install -m 755 $(PROG) $(DESTDIR)$(PREFIX)/bin/
	install -m 644 $(LIB) $(DESTDIR)$(PREFIX)/lib/
	install -m 755 $(SHLIB) $(DESTDIR)$(PREFIX)/lib/
	ln -sf $(notdir $(SHLIB)) $(DESTDIR)$(PREFIX)/lib/libballastry.so
	install -m 644 include/ballastry/*.h $(DESTDIR)$(PREFIX)/include/ballastry/
	printf '%s\n' 'prefix=$(PREFIX)' 'libdir=$${prefix}/lib' 'includedir=$${prefix}/include' '' \
	    'Name: ballastry' 'Description: balances hard fishing lures with their hardware' \
	    'Version: $(VERSION)' 'Libs: -L$${libdir} -lballastry' \
	    'Libs.private: $(PKG_LIBS)' 'Requires.private: $(PKGS)' 'Cflags: -I$${includedir}' \
	    >$(DESTDIR)$(PREFIX)/lib/pkgconfig/ballastry.pc

# Every public header compiles alone.
headers:
	$(Q)for h in include/ballastry/*.h; do \
	    echo "#include \"$$h\"" | $(CC) $(CPPFLAGS) -I. $(WARN) -x c -fsyntax-only - || exit 1; done

format:
	$(Q)clang-format -i $(shell find solver include tests -name '*.[ch]')
format-check:
	$(Q)clang-format --dry-run --Werror $(shell find solver include tests -name '*.[ch]')

clean:
	rm -rf .build

-include $(shell find .build -name '*.d' 2>/dev/null)
