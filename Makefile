# SPDX-License-Identifier: MIT
# One Makefile for everything; whatever is built goes under $(BUILD).

CFLAGS ?= -O3 -g
WERROR ?= -Werror
PREFIX ?= /usr/local

prefix ?= $(PREFIX)
bindir ?= $(prefix)/bin
libdir ?= $(prefix)/lib
includedir ?= $(prefix)/include
docdir ?= $(prefix)/share/doc/overwinter
moduledir = $(libdir)/overwinter
tiledir = $(prefix)/share/overwinter/tile
INSTALL ?= install

BUILD ?= build
DEMO_GARDEN ?= config-examples/rooftop.json
DEMO_WEATHER ?= config-examples/rooftop-cold-spell.csv

# Sources and tests are found by their place.
layers := physics plants garden judgement outputs people hub
core_sources := $(wildcard module/status.c $(layers:%=module/%/*.c))
host_sources := $(wildcard module/hosts/*.c module/hosts/*/*.c)
# All but the entries goes into an archive: each host, and each test of them, takes what it needs.
host_entries := module/hosts/main.c module/hosts/guard/main.c module/hosts/broker/plugin.c
shared_host_sources := $(filter-out $(host_entries),$(host_sources))
GENERATED ?= $(BUILD)/gen/taxa.c $(BUILD)/gen/tile_style.c
TESTS ?= $(wildcard tests/test_*.c tests/*/test_*.c)
SCRIPTS ?= $(wildcard tests/*/test_*.sh)
BENCHES ?= $(wildcard tests/bench/bench_*.c tests/bench/bench_*.sh)
PROGRAMS ?= $(BUILD)/overwinter.so $(BUILD)/overwinter $(BUILD)/overwinter-guard \
	$(BUILD)/overwinter-broker.so
# Sensors, devices and people for the demonstration and the tests, and a clock that jumps; never
# installed.
simulator := $(BUILD)/sim $(BUILD)/wall_clock.so

# Contraction to fused multiply-add is off so that a replay gives the same bits everywhere.
warnings := -Wall -Wextra -Wconversion -Wshadow -Wstrict-prototypes -Wmissing-prototypes $(WERROR)
compile = $(CC) -std=c17 -Imodule -Itests $(CPPFLAGS) $(CFLAGS) $(warnings) \
	-ffp-contract=off -fopenmp-simd -fno-trapping-math -fno-math-errno -fPIC -fvisibility=hidden $(own_flags)
link = $(CC) $(CFLAGS) -Wl,--as-needed $(LDFLAGS)
core_libraries := -lcjson -lm
host_libraries := $(core_libraries) -lmosquitto -ldl -pthread

# The core is built three times: as it is used, with the solver's cells in double, and under the
# sanitizers (which cannot bear functions chosen while loading, hence OW_NO_CLONES).
plain_flags :=
double_flags := -DOW_REAL=double
sanitized_flags := -O2 -fno-omit-frame-pointer -fsanitize=address,undefined \
	-fno-sanitize-recover=all -DOW_NO_CLONES
# Under the fuzzers (clang's alone), with what they steer by.
fuzzed_flags := -O2 -fno-omit-frame-pointer -fsanitize=fuzzer-no-link,address,undefined \
	-fno-sanitize-recover=all -DOW_NO_CLONES
plain_core := $(BUILD)/libcore.a
double_core := $(BUILD)/double/libcore.a
sanitized_core := $(BUILD)/sanitized/libcore.a
fuzzed_core := $(BUILD)/fuzzed/libcore.a

single_tests := $(filter-out %_double.c,$(TESTS))
built_suites := $(single_tests:%.c=$(BUILD)/plain/%) \
	$(patsubst %.c,$(BUILD)/double/%,$(filter %_double.c,$(TESTS)))
# What takes longest comes first.
suites := $(single_tests:%.c=$(BUILD)/sanitized/%) $(SCRIPTS) $(built_suites)
benches := $(patsubst %.c,$(BUILD)/plain/%,$(filter %.c,$(BENCHES)))
bench_scripts := $(filter %.sh,$(BENCHES))
bench_client := $(BUILD)/plain/tests/bench/live_round_trip
fuzzers := $(patsubst %.c,$(BUILD)/fuzzed/%,$(wildcard tests/fuzz/fuzz_*.c))
# The same plan with solver, films and leaves for any x86-64: found before those in the archive.
plain_plan := $(BUILD)/plain/tests/bench/bench_plan_sse2
sse2_lanes := $(patsubst %,$(BUILD)/sse2/module/physics/%.o,solver surface foliage)
# The solver in one lane and double, beside the integrator.
beside := $(BUILD)/plain/tests/bench/bench_beside
one_lane_sources := tests/bench/bench_beside.c \
	$(addprefix module/,status.c physics/solver.c physics/law.c physics/ow_math.c)
one_lane_flags := -DOW_REAL=double -DOW_LANES=1 -DWITHOUT_CVODE

# What scores measured winters, and the integrator that answers for the solver's pots.
winter_tools := $(BUILD)/truth/score $(BUILD)/truth/assimilate $(BUILD)/truth/score_band
risk_tools := $(BUILD)/truth/score_risk $(BUILD)/truth/score_heat
fine_pot := $(BUILD)/plain/tests/truth/fine_pot.o
sundials := -lsundials_cvode -lsundials_nvecserial -lsundials_sunmatrixband -lsundials_sunlinsolband

# The page is bundled with tools of npm; only building it and testing it needs them.
page_sources := $(wildcard module/tile/src/*.js module/tile/src/*/*.js)
# Every sentence of the garden in English, from the lists that the program is built from.
page_english := $(BUILD)/gen/sayings.js
english_lists := module/judgement/sayings.h module/judgement/chores.h module/outputs/interlock.h
npm_install = cd $(@D) && npm ci --ignore-scripts --no-audit --no-fund --loglevel=error && touch stamp

# As many jobs as processors, unless the caller said how many.
parallel = $(if $(findstring -j,$(MAKEFLAGS)),,-j$$(nproc))
again = +@$(MAKE) --no-print-directory $(parallel)

V ?= 0
ifeq ($(V),0)
quiet = @echo '  $(1) $@';
endif

.PHONY: all tile demo test test-all truth prove fuzz bench install uninstall clean help run-demo \
	run-tests run-memcheck run-truth run-prove run-fuzz run-bench FORCE
.DELETE_ON_ERROR:
.SECONDARY:

all: $(PROGRAMS) ## build the module and its hosts

tile: $(BUILD)/tile/page.js ## build the page that shows a garden live (needs node and npm)

demo: ## install what is missing, build, and play a cold spell, live; STAY=1: leave the page open
	@CC='$(CC)' tests/install-needs demo >&2
	$(if $(STAY),@CC='$(CC)' tests/install-needs page >&2)
	+@$(MAKE) --no-print-directory $(parallel) all $(simulator) $(if $(STAY),tile) >&2
	@OW_BUILD='$(BUILD)' OW_STAY='$(STAY)' tests/demo/live $(DEMO_GARDEN) $(DEMO_WEATHER)

test: ## install what is missing, build, and run every test
	@CC='$(CC)' tests/install-needs test
	$(again) run-tests

test-all: ## every test with gcc and with clang, then under memcheck
	@CC='$(CC)' tests/install-needs test-all
	$(again) run-tests CC=gcc BUILD=$(BUILD)/gcc
	$(again) run-tests CC=clang BUILD=$(BUILD)/clang
	$(again) run-memcheck CC=gcc BUILD=$(BUILD)/gcc

truth: ## run verification and validation and write docs/truth.md
	@CC='$(CC)' tests/install-needs truth
	$(again) run-truth

prove: ## prove the outputs, their contracts, and what their tests are worth
	@CC='$(CC)' tests/install-needs prove
	$(again) run-prove

fuzz: ## feed the module what nobody would write, FUZZ_S seconds (60) each way; needs clang
	@CC=clang tests/install-needs fuzz
	$(again) run-fuzz CC=clang

bench: ## build and run the benchmarks
	@CC='$(CC)' tests/install-needs bench
	$(again) run-bench

run-tests: $(PROGRAMS) $(simulator) $(winter_tools) $(suites) $(BUILD)/tile/page.js \
		$(BUILD)/npm/tests/stamp
	@CC='$(CC)' OW_BUILD='$(abspath $(BUILD))' tests/run $(suites)

run-truth: $(PROGRAMS) $(winter_tools) $(risk_tools) $(BUILD)/truth/solve_pots $(built_suites)
	@OW_BUILD='$(abspath $(BUILD))' tests/truth/page docs

run-prove: $(plain_core)
	@OW_BUILD='$(abspath $(BUILD))' tests/prove/run

run-fuzz: $(fuzzers)
	@OW_BUILD='$(abspath $(BUILD))' tests/fuzz/run

run-memcheck: $(built_suites)
	@RUN_UNDER='valgrind -q --error-exitcode=99 --leak-check=full' tests/run $(built_suites)

run-bench: $(benches) $(plain_plan) $(beside)_one_lane $(bench_client) $(PROGRAMS)
	@set -e; export OW_BUILD='$(abspath $(BUILD))'; \
		for bench in $(benches) $(bench_scripts); do "$$bench"; done

install: all ## install under DESTDIR and PREFIX
	$(INSTALL) -d $(DESTDIR)$(bindir) $(DESTDIR)$(moduledir) $(DESTDIR)$(includedir) \
		$(DESTDIR)$(docdir)/config-examples $(DESTDIR)$(docdir)/docs/service
	$(INSTALL) -m 755 $(BUILD)/overwinter $(BUILD)/overwinter-guard $(DESTDIR)$(bindir)
	$(INSTALL) -m 644 $(BUILD)/overwinter.so $(BUILD)/overwinter-broker.so $(DESTDIR)$(moduledir)
	$(INSTALL) -m 644 module/overwinter.h $(DESTDIR)$(includedir)/overwinter.h
	$(INSTALL) -m 644 README.md LICENSE $(DESTDIR)$(docdir)
	$(INSTALL) -m 644 $(wildcard config-examples/*) $(DESTDIR)$(docdir)/config-examples
	$(INSTALL) -m 644 $(wildcard docs/*.*) $(DESTDIR)$(docdir)/docs
	$(INSTALL) -m 644 $(wildcard docs/service/*) $(DESTDIR)$(docdir)/docs/service
	if [ -r $(BUILD)/tile/page.js ]; then $(INSTALL) -d $(DESTDIR)$(tiledir) && \
		$(INSTALL) -m 644 $(BUILD)/tile/* $(DESTDIR)$(tiledir); fi

uninstall: ## take away what install put there
	rm -f $(DESTDIR)$(bindir)/overwinter $(DESTDIR)$(bindir)/overwinter-guard \
		$(DESTDIR)$(includedir)/overwinter.h
	rm -rf $(DESTDIR)$(moduledir) $(DESTDIR)$(docdir) $(DESTDIR)$(tiledir)

clean: ## take away what was built
	rm -rf $(BUILD)

help: ## show these lines
	@awk -F ':.*## ' '/^[a-z-]+:.*## / { printf "make %-10s %s\n", $$1, $$2 }' Makefile
	@echo 'Variables: CC CFLAGS CPPFLAGS LDFLAGS PREFIX DESTDIR BUILD V=1'

# A stamp changes only when its text does, so that other flags rebuild what they concern.
define stamp
	@mkdir -p $(@D)
	@echo '$(1)' | cmp -s - $@ || echo '$(1)' >$@
endef

$(BUILD)/flags: FORCE
	$(call stamp,$(compile) $(link))

$(BUILD)/moduledir: FORCE
	$(call stamp,$(moduledir))

$(BUILD)/gen/taxa.c: module/plants/taxa.tsv module/plants/make-taxa
	@mkdir -p $(@D)
	$(call quiet,gen) sh module/plants/make-taxa <$< >$@

$(BUILD)/gen/tile_style.c: module/people/tile.css module/people/make-style
	@mkdir -p $(@D)
	$(call quiet,gen) sh module/people/make-style $< >$@

# Objects, archive and tests of one variant of the core.
define variant
$(1)_objects := $$(core_sources:%.c=$$(BUILD)/$(1)/%.o) \
	$$(patsubst $$(BUILD)/%.c,$$(BUILD)/$(1)/%.o,$$(GENERATED))

$$(BUILD)/$(1)/%.o: %.c $$(BUILD)/flags
	@mkdir -p $$(@D)
	$$(call quiet,cc ) $$(compile) $$($(1)_flags) -MMD -MP -c -o $$@ $$<

$$(BUILD)/$(1)/gen/%.o: $$(BUILD)/gen/%.c $$(BUILD)/flags
	@mkdir -p $$(@D)
	$$(call quiet,cc ) $$(compile) $$($(1)_flags) -MMD -MP -c -o $$@ $$<

$$($(1)_core): $$($(1)_objects)
	@mkdir -p $$(@D)
	$$(call quiet,ar ) rm -f $$@ && $$(AR) rcs $$@ $$^

$$(BUILD)/$(1)/libhosts.a: $$(shared_host_sources:%.c=$$(BUILD)/$(1)/%.o)
	$$(call quiet,ar ) rm -f $$@ && $$(AR) rcs $$@ $$^

$$(BUILD)/$(1)/tests/hosts/%: $$(BUILD)/$(1)/tests/hosts/%.o $$(BUILD)/$(1)/libhosts.a \
		$$($(1)_core)
	$$(call quiet,ld ) $$(link) $$($(1)_flags) -o $$@ $$(filter %.o,$$^) $$(filter %.a,$$^) -lcmocka \
		$$(host_libraries)

$$(BUILD)/$(1)/tests/%: $$(BUILD)/$(1)/tests/%.o $$($(1)_core)
	$$(call quiet,ld ) $$(link) $$($(1)_flags) -o $$@ $$(filter %.o,$$^) $$(filter %.a,$$^) -lcmocka \
		$$(core_libraries)
endef
variants := plain double sanitized fuzzed
$(foreach name,$(variants),$(eval $(call variant,$(name))))

# The solver is four fifths of all the work. It is looked into by the physics' own suites; under the
# others it is the plain one, so that they need not be cut short for it.
quick_solver := $(BUILD)/quick/solver.o
$(quick_solver): module/physics/solver.c $(BUILD)/flags
	@mkdir -p $(@D)
	$(call quiet,cc ) $(compile) -DOW_NO_CLONES -MMD -MP -c -o $@ $<

looked_into := $(BUILD)/sanitized/tests/physics/% $(BUILD)/sanitized/tests/truth/%
$(filter-out $(looked_into),$(filter $(BUILD)/sanitized/tests/%,$(suites))): $(quick_solver)

$(fuzzers): $(BUILD)/fuzzed/tests/fuzz/%: $(BUILD)/fuzzed/tests/fuzz/%.o $(quick_solver) \
		$(BUILD)/fuzzed/libhosts.a $(fuzzed_core)
	$(call quiet,ld ) $(link) $(fuzzed_flags) -fsanitize=fuzzer -o $@ $^ -lcmocka $(host_libraries)

$(winter_tools) $(risk_tools): $(BUILD)/truth/%: $(BUILD)/plain/tests/truth/%.o $(plain_core)
	@mkdir -p $(@D)
	$(call quiet,ld ) $(link) -o $@ $^ $(core_libraries)

$(BUILD)/truth/solve_pots: $(BUILD)/plain/tests/truth/solve_pots.o $(fine_pot)
	@mkdir -p $(@D)
	$(call quiet,ld ) $(link) -o $@ $^ $(sundials) -lm

# Where the suite says so, the module is refused memory.
refusing := $(foreach name,malloc calloc realloc aligned_alloc,-Wl,--wrap=$(name))
$(variants:%=$(BUILD)/%/tests/hub/test_short_of_memory): private LDFLAGS += $(refusing)

# Benchmarks need no test library.
$(plain_plan): $(BUILD)/plain/tests/bench/bench_plan.o $(sse2_lanes) $(plain_core)
	$(call quiet,ld ) $(link) -o $@ $^ $(core_libraries)

$(beside): $(beside).o $(fine_pot) $(plain_core)
	$(call quiet,ld ) $(link) -o $@ $^ $(sundials) $(core_libraries)

$(beside)_one_lane: $(one_lane_sources:%.c=$(BUILD)/one_lane/%.o)
	$(call quiet,ld ) $(link) -o $@ $^ -lm

$(BUILD)/one_lane/%.o: %.c $(BUILD)/flags
	@mkdir -p $(@D)
	$(call quiet,cc ) $(compile) $(one_lane_flags) -MMD -MP -c -o $@ $<

$(sse2_lanes): $(BUILD)/sse2/%.o: %.c $(BUILD)/flags
	@mkdir -p $(@D)
	$(call quiet,cc ) $(compile) -DOW_NO_CLONES -MMD -MP -c -o $@ $<

$(filter-out $(beside),$(benches)): $(BUILD)/plain/tests/bench/%: $(BUILD)/plain/tests/bench/%.o \
		$(plain_core)
	$(call quiet,ld ) $(link) -o $@ $^ $(core_libraries)

$(bench_client): $(bench_client).o $(BUILD)/plain/libhosts.a $(plain_core)
	$(call quiet,ld ) $(link) -o $@ $^ $(host_libraries)

# The module holds the whole core and shows its entry points only.
$(BUILD)/overwinter.so: $(plain_core) module/hub/exports.map
	$(call quiet,ld ) $(link) -shared -Wl,-z,defs -Wl,--version-script=module/hub/exports.map \
		-o $@ -Wl,--whole-archive $(plain_core) -Wl,--no-whole-archive $(core_libraries)

# The programs have of the core only the few helpers that their own files call.
plain_hosts := $(BUILD)/plain/libhosts.a
load_objects := $(foreach name,plain sanitized fuzzed,$(BUILD)/$(name)/module/hosts/load.o)
$(load_objects): $(BUILD)/moduledir
$(load_objects): private own_flags = -DOW_MODULE_DIR='"$(moduledir)"'

$(BUILD)/overwinter: $(BUILD)/plain/module/hosts/main.o $(plain_hosts) $(plain_core)
	$(call quiet,ld ) $(link) -o $@ $^ $(host_libraries)

$(BUILD)/overwinter-guard: $(BUILD)/plain/module/hosts/guard/main.o $(plain_hosts) $(plain_core)
	$(call quiet,ld ) $(link) -o $@ $^ $(host_libraries)

$(BUILD)/sim: $(patsubst %.c,$(BUILD)/plain/%.o,$(wildcard tests/sim/*.c)) $(plain_hosts) \
		$(plain_core)
	$(call quiet,ld ) $(link) -o $@ $^ $(host_libraries)

$(BUILD)/wall_clock.so: $(BUILD)/plain/tests/live/wall_clock.o
	$(call quiet,ld ) $(link) -shared -o $@ $^

# The plugin holds the core as well. What it calls of the broker is found in the broker; the
# client library beside that would mix two builds of the same names.
$(BUILD)/overwinter-broker.so: $(BUILD)/plain/module/hosts/broker/plugin.o $(plain_hosts) \
		$(plain_core) module/hosts/broker/exports.map
	$(call quiet,ld ) $(link) -shared -Wl,--version-script=module/hosts/broker/exports.map -o $@ \
		$(filter %.o %.a,$^) $(core_libraries) -pthread

# ---- the page: one classic script beside plain HTML and CSS ----

$(BUILD)/npm/page/stamp: module/tile/package.json module/tile/package-lock.json
$(BUILD)/npm/tests/stamp: tests/page/package.json tests/page/package-lock.json
$(BUILD)/npm/page/stamp $(BUILD)/npm/tests/stamp:
	@mkdir -p $(@D) && cp $^ $(@D)
	$(call quiet,npm) $(npm_install)

$(page_english): module/tile/make-sayings.cjs $(english_lists)
	@mkdir -p $(@D)
	$(call quiet,gen) node $^ >$@

$(BUILD)/tile/page.js: $(BUILD)/npm/page/stamp $(page_sources) $(page_english) module/tile/index.html \
		module/tile/page.css module/people/tile.css
	@mkdir -p $(@D) && cp module/tile/index.html module/tile/page.css module/people/tile.css $(@D)
	$(call quiet,js ) NODE_PATH=$(BUILD)/npm/page/node_modules:$(BUILD)/gen \
		$(BUILD)/npm/page/node_modules/.bin/esbuild module/tile/src/main.js --bundle --minify \
		--format=iife --platform=browser --target=es2020 --legal-comments=eof \
		--log-level=warning --outfile=$@

-include $(shell find $(BUILD) -name npm -prune -o -name '*.d' -print 2>/dev/null)
