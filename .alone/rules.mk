# The page as one file: what a browser runs, compiled by emscripten. Called by .alone/build, which has made the
# libraries below LIBS; everything it makes lies below OUT.
#   make -f .alone/rules.mk OUT=.build/alone LIBS=.build/alone/libraries GEN=.build/opt/gen
.DELETE_ON_ERROR:
.SUFFIXES:

# What a browser has none of: a terminal, sockets, a process apart, the libraries behind PDF, PNG and mending; and the
# page's own files, which lie in the file already. solver/alone/stand_ins has what takes their place.
LEFT_OUT := $(wildcard solver/cli/*.c solver/fence/*.c solver/picture/*.c) solver/stl/mend.c solver/bench/server.c \
            solver/bench/watch.c solver/bench/assets.c
SRC  := $(filter-out $(LEFT_OUT),$(wildcard solver/*/*.c solver/alone/stand_ins/*.c)) \
        $(addprefix $(LIBS)/,cjson/cJSON.c expat/xmlparse.c expat/xmltok.c expat/xmlrole.c)
OBJ  := $(SRC:%.c=$(OUT)/obj/%.o)
WARN := -std=gnu17 -Wall -Wextra
# No -msimd128: with it clang 14 makes other draws of a lure on its line, and nothing gets faster.
CFLAGS := -O3 -ffp-contract=off -D_POSIX_C_SOURCE=200809L -Iinclude -Isolver -I.alone/include -I$(GEN) \
          $(addprefix -isystem ,$(LIBS)/include $(LIBS) $(LIBS)/expat)

$(OUT)/obj/%.o: %.c .alone/rules.mk
	@mkdir -p $(@D)
	@echo "  wasm $<"
	@emcc $(WARN) $(CFLAGS) -MMD -MP -c $< -o $@

# Of others' code the warnings are theirs.
$(OUT)/obj/$(LIBS)/%.o: WARN := -w
$(OUT)/obj/$(LIBS)/expat/%.o: CFLAGS := -O3 -DXML_NS -DXML_DTD -DXML_CONTEXT_BYTES=1024 -DXML_DEV_URANDOM \
    -DBYTEORDER=1234 -DHAVE_MEMMOVE -I.alone/include -I$(LIBS)/expat

# A search lets its worker hear what it is told wherever it tells how far it is: those functions are unwound
# (ASYNCIFY) that lead from alone_run to fit_tell by direct calls, and THROUGH, where a call through a pointer lies
# in between: alone_run to the search, problem_every_rig to what works a rig through, a search by stages to what ranks. wasm-opt may have put one into
# those that call it, so these stand here too, and it warns of those that went that way. One that lacks ends the
# program: tests/alone searches every example.
THROUGH := alone_run work_listed problem_every_rig prove fit_search bly_fit bly_fit_surest bly_fit_finished choose \
           fit_work run rank fit_staged beyond_the_first rank_surest fit_by_chance
comma := ,
empty :=
list   = $(subst $(empty) $(empty),$(comma),$(strip $(1)))
CALLED := malloc free alone_open alone_why alone_ask alone_type alone_bytes alone_size alone_pages alone_free alone_run
LINK := -O3 -s MODULARIZE=1 -s EXPORT_NAME=ballastry -s ENVIRONMENT=worker,node -s ALLOW_MEMORY_GROWTH=1 \
        -s INITIAL_MEMORY=33554432 -s MAXIMUM_MEMORY=1073741824 -s TOTAL_STACK=1048576 -s FORCE_FILESYSTEM=1 \
        -s DYNAMIC_EXECUTION=0 -s INVOKE_RUN=0 -s EXIT_RUNTIME=0 -s SUPPORT_LONGJMP=emscripten --no-entry \
        -s EXPORTED_FUNCTIONS=$(call list,$(CALLED:%=_%)) \
        -s EXPORTED_RUNTIME_METHODS=FS,ENV,ccall,UTF8ToString,stringToUTF8,lengthBytesUTF8 \
        -s ASYNCIFY=1 -s ASYNCIFY_IGNORE_INDIRECT=1 -s ASYNCIFY_ADD=$(call list,$(THROUGH)) -s ASYNCIFY_STACK_SIZE=65536 \
        $(addprefix -Wl$(comma)--wrap=,pthread_create pthread_join pthread_cond_timedwait fit_tell link)

$(OUT)/ballastry.js: $(OBJ) .alone/rules.mk
	@emcc $(LINK) $(OBJ) $(LIBS)/libglpk.a $(LIBS)/libgsl.a -o $@ 2>$@.log || { cat $@.log >&2; exit 1; }
	@grep -v 'Asyncify addlist contained' $@.log >&2 || true

-include $(OBJ:.o=.d)
