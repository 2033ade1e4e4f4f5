# ballastry: settings first, then no need to change anything below.

CC       ?= cc
OPT      ?= -O2 -g
PREFIX   ?= /usr/local
DESTDIR  ?=
SANITIZE ?=
# T=room runs one room's tests: make test T=water
T        ?= *
V        ?= 0

VERSION  := 0.1.0

# ---------------------------------------------------------------------------------------------
.DELETE_ON_ERROR:
.SUFFIXES:
Q := $(if $(filter 1,$(V)),,@)

variant := $(if $(SANITIZE),san,opt)$(if $(COVER),-cover,)$(if $(filter clang%,$(notdir $(CC))),-clang,)
OUT     := .build/$(variant)

WARN := -std=c17 -Wall -Wextra -Wpedantic -Wconversion -Wshadow -Wstrict-prototypes \
        -Wmissing-prototypes -Wvla -Werror
PKGS := gsl libcjson libmicrohttpd librsvg-2.0
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

.PHONY: all test check setup clean format format-check install headers
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

$(LIB): $(LIB_OBJ)
	$(Q)rm -f $@ && ar rcs $@ $^

$(SHLIB): $(LIB_OBJ)
	$(Q)$(CC) $(LDFLAGS) -shared -Wl,-soname,libballastry.so.0 $^ -o $@ $(PKG_LIBS)

$(PROG): $(OUT)/solver/cli/main.o $(LIB)
	$(Q)$(CC) $(LDFLAGS) $^ -o $@ $(PKG_LIBS)

$(OUT)/tests/%: $(OUT)/tests/%.o $(TEST_SUP) $(LIB)
	$(Q)$(CC) $(LDFLAGS) $^ -o $@ -lcmocka $(PKG_LIBS)
.SECONDARY:

# Each test program runs from the top folder, so that tables are found by their path.
test: $(TEST_BIN)
	@fail=0; for t in $(TEST_BIN); do \
	    $$t >$$t.log 2>&1 || { fail=1; echo "FAILED $$t"; cat $$t.log; }; \
	    grep -hE '^\[  PASSED  \]' $$t.log | sed "s|^|$$t: |" ; done; \
	for t in $(TEST_SH); do $$t || { fail=1; echo "FAILED $$t"; }; done; exit $$fail

setup:
	@.ci/setup

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
