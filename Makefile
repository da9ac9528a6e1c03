# rotortab: build, tests and installation. Plain GNU make; `make help` lists the targets.
#
# Sources are found by wildcard. Everything built goes below build/, and each variant has a folder of
# its own there: SANITIZE=1 (AddressSanitizer and UndefinedBehaviorSanitizer), THREADS=1
# (ThreadSanitizer), COVERAGE=1 (gcov), CC=clang, and a compiler for another processor. `make test
# SANITIZE=1` therefore tests the program that was built with the sanitizers.

# No rule of make's own is used, and to look for one for each included file takes most of a start.
MAKEFLAGS += --no-builtin-rules

VERSION := 0.1.0
NAME    := rotortab-$(VERSION)

# The address where the program's pages are, its man pages as `mandoc -T html` writes them among them.
# Reports for platforms point there; without it they point nowhere.
HOME_PAGE ?=

# Where to install. The names are GNU's; many packagers write them in capitals.
either = $(if $(filter undefined,$(origin $(1))),$(2),$($(1)))
prefix      ?= $(call either,PREFIX,/usr/local)
exec_prefix ?= $(call either,EXEC_PREFIX,$(prefix))
bindir      ?= $(call either,BINDIR,$(exec_prefix)/bin)
libdir      ?= $(call either,LIBDIR,$(exec_prefix)/lib)
includedir  ?= $(call either,INCLUDEDIR,$(prefix)/include)
datarootdir ?= $(call either,DATAROOTDIR,$(prefix)/share)
datadir     ?= $(call either,DATADIR,$(datarootdir))
mandir      ?= $(call either,MANDIR,$(datarootdir)/man)
docdir      ?= $(call either,DOCDIR,$(datarootdir)/doc/rotortab)

INSTALL         ?= install
INSTALL_PROGRAM ?= $(INSTALL) -m 755
INSTALL_DATA    ?= $(INSTALL) -m 644
STRIP           ?= strip
PKG_CONFIG      ?= pkg-config

# The tests use Debian's own Python packages, so the interpreter is Debian's too.
PYTHON ?= /usr/bin/python3

# How much the tests try: so many random definitions, and so many of 20000 of each large set of cases.
# .ci/run asks for all; tests/share.py works out the share.
PROPERTY_COUNT ?= 500
export PROPERTY_COUNT

# ---- Debian packages, each named once -----------------------------------------------------------

DEPS := gcc libc6-dev binutils pkg-config libyaml-dev libjansson-dev libsodium-dev
DEPS_TEST := g++ check python3 python3-yaml python3-jsonschema git mandoc openssl units bc file \
             ninja-build zsh fish
DEPS_LINT := clang clang-format clang-tidy cppcheck shellcheck gcovr
DEPS_DEVICE := gcc-arm-none-eabi qemu-system-arm qemu-user gcc-s390x-linux-gnu libc6-dev-s390x-cross \
               gcc-arm-linux-gnueabihf libc6-dev-armhf-cross clang libclang-rt-dev

# The whole program on a 64-bit Arm and on a big-endian processor; gcc finds the libraries of a foreign
# processor beside this machine's own.
FOREIGN      := arm64 s390x
DEPS_FOREIGN := qemu-user gcc-aarch64-linux-gnu libc6-dev-arm64-cross gcc-s390x-linux-gnu \
                libc6-dev-s390x-cross $(foreach to,$(FOREIGN),$(addsuffix :$(to),libyaml-dev \
                libjansson-dev libsodium-dev))

DEPS_EDITOR := neovim emacs-nox elpa-eglot vim vim-ale

DEPS_SHEET := chromium-headless-shell fonts-liberation fonts-dejavu-core poppler-utils

# ---- flags --------------------------------------------------------------------------------------

ifeq ($(origin CC),default)
CC := gcc
endif

OUT := build$(if $(SANITIZE),/sanitize)$(if $(THREADS),/threads)$(if \
       $(COVERAGE),/coverage)$(if $(findstring clang,$(CC)),/clang)$(patsubst \
       %-gcc,/%,$(filter %-linux-gnu-gcc,$(CC)))

WARNINGS := -Wall -Wextra -Wpedantic -Werror -Wconversion -Wsign-conversion -Wshadow \
            -Wstrict-prototypes -Wmissing-prototypes -Wundef -Wcast-qual -Wwrite-strings -Wvla \
            -Wformat=2

HARDEN_x86_64  := -fcf-protection -fstack-clash-protection
HARDEN_aarch64 := -mbranch-protection=standard
# $(call once,NAME,COMMAND): what the command prints. It runs when make first needs it, so `make deps
# demo` asks pkg-config after deps has installed it; and once, not for every object.
once = $(eval $(1) := $$(shell $(2)))$($(1))

PROCESSOR = $(call once,PROCESSOR,$(CC) -dumpmachine 2>/dev/null)
HARDEN    = -fPIE -fstack-protector-strong $(HARDEN_$(firstword $(subst -, ,$(PROCESSOR))))

# The flags of who builds come last, so that they have the last word: CFLAGS=-Wno-error, -fno-lto.
GIVEN = $(CPPFLAGS) $(CFLAGS)
# The C library's headers warn of it without optimisation.
FORTIFY = $(if $(findstring -O0,$(GIVEN))$(findstring _FORTIFY_SOURCE,$(GIVEN)),,\
          -U_FORTIFY_SOURCE -D_FORTIFY_SOURCE=2)

ifneq ($(SANITIZE),)
VARIANT := -O1 -g -fno-omit-frame-pointer -fsanitize=address,undefined -fno-sanitize-recover=all
else ifneq ($(THREADS),)
VARIANT := -O1 -g -fno-omit-frame-pointer -fsanitize=thread
else ifneq ($(COVERAGE),)
VARIANT := -O0 -g --coverage -fprofile-update=atomic
else
VARIANT = -O3 -g $(FORTIFY)
# Compiler and assembler note this name for their folder, so the bytes are the same from every folder.
# -ffile-prefix-map alone leaves the folder in the line table and in what the whole is optimised from.
PLACELESS := PWD=/proc/self/cwd
# A test program runs once: to optimise it takes longer than to run it. What it tests is optimised.
TRYING  := -O0 -U_FORTIFY_SOURCE
# The program is optimised as a whole; the tests are linked from the same objects as they are, and
# without the linker's plugin, which would read the whole library for each of them.
ifeq ($(findstring clang,$(CC)),)
WHOLE := -flto=auto
APART := -fno-lto -fno-use-linker-plugin
endif
endif

LIBRARIES    := yaml-0.1 jansson libsodium
PKG_CFLAGS    = $(call once,PKG_CFLAGS,$(PKG_CONFIG) --cflags $(LIBRARIES))
PKG_LIBS      = $(call once,PKG_LIBS,$(PKG_CONFIG) --libs $(LIBRARIES))
CHECK_CFLAGS  = $(call once,CHECK_CFLAGS,$(PKG_CONFIG) --cflags check)
CHECK_LIBS    = $(call once,CHECK_LIBS,$(PKG_CONFIG) --libs check)

# The device's reader is plain C99 without a C library; the compiler is C11 on POSIX.
FIELD_LANGUAGE := -std=c99 -ffreestanding -fno-builtin
HOST_LANGUAGE   = -std=c11 -pthread -D_POSIX_C_SOURCE=200809L -D_XOPEN_SOURCE=700 -D_DEFAULT_SOURCE \
                  -DROTORTAB_VERSION='"$(VERSION)"' -DROTORTAB_HOME_PAGE='"$(HOME_PAGE:/=)"' \
                  $(PKG_CFLAGS)

LANGUAGE = $(HOST_LANGUAGE)
# What gcc would draw by lot, names inside an object, follows from the source's name instead.
COMPILE  = $(PLACELESS) $(CC) $(LANGUAGE) -Isrc $(WARNINGS) $(HARDEN) $(VARIANT) -frandom-seed=$< \
           -MMD -MP
LINK     = $(PLACELESS) $(CC) $(VARIANT) -pthread -pie -Wl,-z,relro,-z,now

# `make V=1` shows the commands.
Q := $(if $(V),,@)

# ---- files --------------------------------------------------------------------------------------

SOURCES       := $(wildcard src/*/*.c)
FIELD_SOURCES := $(wildcard src/field/*.c)
OBJECTS       := $(SOURCES:src/%.c=$(OUT)/obj/%.o)
FIELD_OBJECTS := $(FIELD_SOURCES:src/%.c=$(OUT)/obj/%.o)

C_TESTS       := $(patsubst %.c,$(OUT)/%,$(wildcard tests/*/*_test.c))
PYTHON_TESTS  := $(wildcard tests/*/*_test.py)
ASKED         := $(addprefix $(OUT)/tests/,compare/import fuzz/flips fuzz/flips-plain \
                 gate/with-home-page table/move table/sealed units/calculator)
TRIALS        := $(addprefix $(OUT)/tests/device/,cortex-m0 cortex-m3 s390x arm)

PROGRAM  := $(OUT)/rotortab
LIBRARY  := $(OUT)/librotortab.a
FIELDLIB := $(OUT)/librotorfield.a

.PHONY: all bench deps-bench deps deps-test deps-lint deps-device deps-editor deps-sheet deps-platform deps-foreign \
        demo test test-tools check size test-device test-foreign fuzz-table generated schemas fresh lint coverage \
        install install-strip uninstall dist distcheck clean help FORCE
.DELETE_ON_ERROR:

all: $(PROGRAM) ## build the program (the default)

# ---- building -----------------------------------------------------------------------------------

$(PROGRAM): $(OUT)/obj/main.o $(LIBRARY)
	@echo "  link  $@"
	$(Q)$(LINK) $(WHOLE) $(CFLAGS) $(LDFLAGS) -o $@ $^ $(PKG_LIBS)

# The folders are prerequisites so that a removed source leaves the library as well. D: without the
# times and owners of the objects.
$(LIBRARY): $(OBJECTS) $(wildcard src/*/.)
	$(Q)rm -f $@ && $(AR) rcsD $@ $(OBJECTS)

$(FIELDLIB): $(FIELD_OBJECTS) $(wildcard src/field/.)
	$(Q)rm -f $@ && $(AR) rcsD $@ $(FIELD_OBJECTS)

$(FIELD_OBJECTS): LANGUAGE = $(FIELD_LANGUAGE) -DROTOR_QUICK_CRC32

$(OUT)/obj/%.o: src/%.c $(OUT)/flags
	@echo "  cc    $<"
	@mkdir -p $(@D)
	$(Q)$(COMPILE) $(if $(WHOLE),$(WHOLE) -ffat-lto-objects) $(GIVEN) -c -o $@ $<

$(OUT)/tests/%: tests/%.c $(LIBRARY) $(OUT)/flags
	@$(PKG_CONFIG) --exists check || \
	    { echo "the test library check is missing: run 'make deps-test' first" >&2; exit 1; }
	@echo "  cc    $<"
	@mkdir -p $(@D)
	$(Q)$(COMPILE) $(TRYING) -Itests $(CHECK_CFLAGS) $(GIVEN) -MT $@ -c -o $@.o $<
	$(Q)$(LINK) $(APART) $(CFLAGS) $(LDFLAGS) -o $@ $@.o $(LIBRARY) $(PKG_LIBS) $(CHECK_LIBS)

# The tests of the exact numbers ask it; a wrong shift and an overflow end it.
$(OUT)/tests/units/calculator: $(wildcard tests/units/*.c src/exact/*.[ch]) $(OUT)/flags
	@echo "  cc    $@"
	@mkdir -p $(@D)
	$(Q)$(CC) $(HOST_LANGUAGE) -Isrc $(WARNINGS) -O1 -g -fsanitize=address,undefined \
	    -fno-sanitize-recover=all -o $@ $(filter %.c,$^)

# The program as it is when the build names a home page.
$(OUT)/tests/gate/with-home-page: $(OUT)/obj/main.o $(LIBRARY)
	@echo "  cc    $@"
	@mkdir -p $(@D)
	$(Q)$(COMPILE) -UROTORTAB_HOME_PAGE -DROTORTAB_HOME_PAGE='"https://rotortab.example"' $(GIVEN) \
	    -c -o $@.o src/report/home.c
	$(Q)$(LINK) $(APART) $(CFLAGS) $(LDFLAGS) -o $@ $< $@.o $(LIBRARY) $(PKG_LIBS)

# The reader's quick CRC is for hosts; this one has the CRC that devices have.
$(OUT)/tests/fuzz/flips-plain: src/field/rotor_crc32.c $(OUT)/tests/fuzz/flips
	@echo "  cc    $@"
	$(Q)$(COMPILE) $(GIVEN) -UROTOR_QUICK_CRC32 -c -o $@.o $<
	$(Q)$(LINK) $(APART) $(CFLAGS) $(LDFLAGS) -o $@ $(OUT)/tests/fuzz/flips.o $@.o $(LIBRARY)

# The field reader and its trial, for four processors. Where a compiler is missing there is no file,
# and the tests of that processor are skipped.
$(TRIALS): tests/device/trial.c $(FIELD_SOURCES)
$(filter %-m0 %-m3,$(TRIALS)): tests/device/board.c
$(filter-out %-m0 %-m3,$(TRIALS)): tests/device/hosted.c
$(filter %-m0 %-m3,$(TRIALS)): CROSS = arm-none-eabi-gcc -mcpu=$(@F) -mthumb $(FIELD_LANGUAGE) \
                                       -nostdlib -r
$(OUT)/tests/device/s390x: CROSS = s390x-linux-gnu-gcc -std=c11 -static
$(OUT)/tests/device/arm: CROSS = arm-linux-gnueabihf-gcc -std=c11 -static
$(TRIALS): $(wildcard tests/device/*.h src/field/*.h) $(OUT)/flags
	@mkdir -p $(@D)
	$(Q)if command -v $(firstword $(CROSS)) > /dev/null; then \
	    echo "  cc    $@"; \
	    $(CROSS) -Isrc -Itests $(WARNINGS) -Os -o $@ $(filter %.c,$^); \
	fi

# Its times are compared with the program's.
$(OUT)/tests/bench/loop: TRYING :=

# Holds the flags of the last build; it changes, and everything is built anew, when they do.
$(OUT)/flags: FLAGS = $(CC) $(HOST_LANGUAGE) $(FIELD_LANGUAGE) $(WARNINGS) $(HARDEN) $(VARIANT) \
                      $(TRYING) $(WHOLE) $(APART) $(GIVEN) $(LDFLAGS)
$(OUT)/flags: FORCE
	@$(PKG_CONFIG) --exists $(LIBRARIES) || \
	    { echo "libyaml, jansson or libsodium is missing: run 'make deps' first" >&2; exit 1; }
	@mkdir -p $(@D)
	@printf '%s\n' $(FLAGS) | cmp -s - $@ || printf '%s\n' $(FLAGS) > $@

-include $(OBJECTS:.o=.d) $(OUT)/obj/main.d $(C_TESTS:=.d) $(ASKED:=.d)

# ---- packages -----------------------------------------------------------------------------------

# Installs those of the packages in $(1) that are missing, and does nothing where all are there. $(2)
# are the foreign processors that some of them are for.
define install-packages
@missing=; \
for package in $(1); do \
    dpkg-query -W -f '$${db:Status-Status}\n' $$package 2>/dev/null | grep -qx installed || \
        missing="$$missing $$package"; \
done; \
if [ -n "$$missing" ]; then \
    echo "missing packages:$$missing"; \
    as_root=; \
    if [ "$$(id -u)" -ne 0 ]; then as_root=sudo; fi; \
    for foreign in $(2); do $$as_root dpkg --add-architecture $$foreign || exit 1; done; \
    $$as_root apt-get update -q && \
    $$as_root env DEBIAN_FRONTEND=noninteractive \
        apt-get install -q -y --no-install-recommends $$missing; \
fi
endef

deps: ## install the Debian packages that the program and the demo need
	$(call install-packages,$(DEPS))

deps-test: ## install the packages that the tests need on top
	$(call install-packages,$(DEPS) $(DEPS_TEST))

deps-lint: ## install the packages that lint and coverage need on top
	$(call install-packages,$(DEPS_LINT))

deps-editor: ## install three editors, which start the language server (60 MB)
	$(call install-packages,$(DEPS_EDITOR))

# A machine may have npm from elsewhere, and Debian's package would not go beside that.
deps-device: ## install emulators and compilers for the field reader, and the tools of the fuzzer
	$(call install-packages,$(DEPS_DEVICE) $(if $(shell command -v npm),,npm))

deps-foreign: ## install emulators and compilers for the whole program on foreign processors
	$(call install-packages,$(DEPS) $(DEPS_FOREIGN),$(FOREIGN))

# ---- trying and testing -------------------------------------------------------------------------

demo: $(PROGRAM) ## check, compile and show the demonstration engines
	@ROTORTAB=$(abspath $(PROGRAM)) sh tests/demo.sh

test: $(PROGRAM) $(C_TESTS) test-tools ## the tests; PROPERTY_COUNT=20000 tries all cases
	@ROTORTAB=$(abspath $(PROGRAM)) ROTORTAB_BUILD=$(abspath $(OUT)) \
	    $(PYTHON) tests/run-all.py $(if $(SANITIZE),--sanitized) $(C_TESTS) $(PYTHON_TESTS)

check: test ## the same

test-tools: $(ASKED) $(if $(SANITIZE),,$(TRIALS)) ## build the small programs that tests in Python run

# The modules that drive the browser, as tests/sheet/package-lock.json pins them.
SHEET_MODULES := build/sheet/node_modules/.package-lock.json

deps-sheet: ## install the browser and modules that test the setup sheet
	$(call install-packages,$(DEPS_SHEET) $(if $(shell command -v npm),,npm))
	@$(MAKE) --no-print-directory $(SHEET_MODULES)

$(SHEET_MODULES): tests/sheet/package.json tests/sheet/package-lock.json
	@mkdir -p build/sheet && cp $^ build/sheet
	@cd build/sheet && npm ci --silent --no-audit --no-fund --ignore-scripts && touch $(abspath $@)

deps-platform: ## install the validator for SARIF reports (100 MB)
	$(call install-packages,$(if $(shell command -v npm),,npm))
	@$(PYTHON) tests/node.py platform

deps-bench: ## install other compilers and a linter, to compare with in the bench
	$(call install-packages,yamllint device-tree-compiler protobuf-compiler)

bench: $(PROGRAM) $(OUT)/tests/bench/loop ## measure the speed, as ratios; BENCH="--count 1000" for less
	@ROTORTAB=$(abspath $(PROGRAM)) ROTORTAB_BUILD=$(abspath $(OUT)) \
	    $(PYTHON) tests/bench/bench.py $(BENCH)

# ---- the field reader on real processors, and under the fuzzer ----------------------------------

size: ## code, memory and stack of the field reader on small processors
	@$(PYTHON) tests/device/size.py

test-device: $(PROGRAM) $(TRIALS) ## the field reader in emulated devices, big-endian and unaligned
	@ROTORTAB=$(abspath $(PROGRAM)) ROTORTAB_BUILD=$(abspath $(OUT)) \
	    $(PYTHON) tests/device/device_test.py

test-foreign: $(PROGRAM) ## the whole program on emulated processors, 64-bit Arm and big-endian
	@MAKE='$(MAKE)' PYTHON=$(PYTHON) sh tests/foreign.sh $(PROGRAM)

# For so many seconds, or with FUZZ_RUNS for so many tables.
FUZZ_SECONDS ?= 60
FUZZ_RUNS    ?=

# Comparisons are not traced: the mutator knows the format, and tries twice as many tables so.
FUZZER  := build/fuzz/table_fuzz
FUZZING := -O2 -g -fsanitize=fuzzer,address,undefined -fno-sanitize-coverage=trace-cmp \
           -fno-sanitize-recover=all

$(FUZZER): $(addprefix tests/fuzz/,table_fuzz.c exercise.c exercise.h) $(wildcard src/field/*.[ch])
	@echo "  clang $@"
	@mkdir -p $(@D)
	$(Q)clang -std=c11 $(WARNINGS) $(FUZZING) -Isrc -Itests -o $@ $(filter %.c,$^)

fuzz-table: $(PROGRAM) $(FUZZER) ## damaged tables with right CRCs; FUZZ_SECONDS=60 or FUZZ_RUNS=N
	@rm -rf build/fuzz/seeds build/fuzz/corpus && mkdir -p build/fuzz/corpus
	@$(PYTHON) tests/fuzz/seeds.py $(PROGRAM) build/fuzz/seeds
	@$(FUZZER) $(if $(FUZZ_RUNS),-runs=$(FUZZ_RUNS),-max_total_time=$(FUZZ_SECONDS)) -max_len=2816 \
	    -timeout=5 -verbosity=0 -print_final_stats=1 -artifact_prefix=build/fuzz/ \
	    build/fuzz/corpus build/fuzz/seeds

# ---- what the program writes about itself: schemas, a picture, man pages ------------------------

generated: $(PROGRAM) ## write the schemas, the sheet's picture and parts of the man pages anew
	@$(PYTHON) tests/generated.py --write $(PROGRAM)

schemas: generated ## the same

fresh: $(PROGRAM) ## fail where a committed generated file is stale
	@$(PYTHON) tests/generated.py --check $(PROGRAM)

# ---- lint and coverage --------------------------------------------------------------------------

# Clang warns before it optimises, so for its warnings it does not optimise.
lint: ## clang as a second compiler, static analysis, style, include directions, man pages
	@echo "lint: includes, floating point, one home, style, English"
	@$(PYTHON) tests/lint/includes.py
	@$(PYTHON) tests/lint/nofloat.py
	@$(PYTHON) tests/lint/homes.py
	@$(PYTHON) tests/lint/style.py
	@$(PYTHON) tests/lint/english.py
	@clang-format --dry-run -Werror $(wildcard src/*.c $(foreach at,src tests,$(at)/*/*.[ch]))
	@echo "lint: the field reader on a small processor"
	@$(PYTHON) tests/lint/freestanding.py
	@echo "lint: clang"
	@$(MAKE) --no-print-directory CC=clang SANITIZE= COVERAGE= CFLAGS=-O0 all
	@echo "lint: clang-tidy"
	@$(PYTHON) tests/lint/tidy.py $(FIELD_SOURCES) -- $(FIELD_LANGUAGE) -Isrc
	@$(PYTHON) tests/lint/tidy.py $(filter-out $(FIELD_SOURCES),$(SOURCES)) src/main.c -- \
	    $(HOST_LANGUAGE) -Isrc
	@echo "lint: cppcheck"
	@cppcheck --quiet --error-exitcode=1 --std=c11 --enable=warning,style,performance,portability \
	    --suppressions-list=tests/lint/cppcheck.txt --inline-suppr -j 2 -Isrc src
	@echo "lint: man pages and scripts"
	@mandoc -Tlint -W warning $(wildcard man/*.[1-9])
	@shellcheck .ci/run tests/*.sh
	@echo "lint: clean"

coverage: ## run the tests with gcov and print line and branch coverage by folder
	@rm -rf build/coverage
	-@$(MAKE) --no-print-directory COVERAGE=1 SANITIZE= test
	@$(PYTHON) tests/coverage.py build/coverage/obj

# ---- installing ---------------------------------------------------------------------------------

# The reader's headers are included as "field/NAME.h", in the tree and from the installed place alike.
FIELD_HEADERS := $(wildcard src/field/*.h)
MAN_PAGES     := $(wildcard man/*.[1-9])
SCHEMAS       := $(wildcard schemas/*.json schemas/*.ksy schemas/*.magic)
VECTORS       := $(wildcard tests/vectors/*.json tests/vectors/*/*)
DOCUMENTS     := $(wildcard LICENSE *.md)

# Where bash (with bash-completion), zsh and fish look for what completes a command.
COMPLETION_bash := bash-completion/completions/rotortab
COMPLETION_zsh  := zsh/site-functions/_rotortab
COMPLETION_fish := fish/vendor_completions.d/rotortab.fish
SHELLS          := bash zsh fish

# $(call below,DIRECTORY): as pkg-config files name it, so that it moves with the prefix.
below = $(patsubst $(prefix)/%,$${prefix}/%,$(1))

# Each function of the reader has a page of its name, which reads rotor-field(3). `make generated` takes
# the functions of the synopsis from the headers.
FUNCTIONS = $(shell sed -n '/SYNOPSIS/,/DESCRIPTION/s/^\.F[no] \([a-z0-9_]*\).*/\1/p' man/rotor-field.3)

install: $(PROGRAM) $(FIELDLIB) ## install below DESTDIR and prefix (/usr/local)
	$(INSTALL) -d '$(DESTDIR)$(bindir)' '$(DESTDIR)$(libdir)/pkgconfig' \
	    '$(DESTDIR)$(includedir)/rotor-field/field' '$(DESTDIR)$(datadir)/rotortab/schemas' \
	    '$(DESTDIR)$(docdir)'
	$(INSTALL_PROGRAM) $(PROGRAM) '$(DESTDIR)$(bindir)/rotortab'
	$(INSTALL_DATA) $(FIELDLIB) '$(DESTDIR)$(libdir)/librotorfield.a'
	$(INSTALL_DATA) $(FIELD_HEADERS) '$(DESTDIR)$(includedir)/rotor-field/field'
	printf '%s\n' 'prefix=$(prefix)' 'libdir=$(call below,$(libdir))' \
	    'includedir=$(call below,$(includedir))' '' 'Name: rotor-field' \
	    'Description: Reader of rotortab tables and motion arithmetic for field devices' \
	    'Version: $(VERSION)' 'Cflags: -I$${includedir}/rotor-field' \
	    'Libs: -L$${libdir} -lrotorfield' > $(OUT)/rotor-field.pc
	$(INSTALL_DATA) $(OUT)/rotor-field.pc '$(DESTDIR)$(libdir)/pkgconfig/rotor-field.pc'
	for page in $(MAN_PAGES); do \
	    $(INSTALL_DATA) -D -t '$(DESTDIR)$(mandir)'/man$${page##*.} $$page || exit 1; \
	done
	rm -rf $(OUT)/man3 && mkdir $(OUT)/man3
	for function in $(FUNCTIONS); do \
	    echo '.so man3/rotor-field.3' > $(OUT)/man3/$$function.3 || exit 1; \
	done
	$(INSTALL_DATA) -t '$(DESTDIR)$(mandir)/man3' $(OUT)/man3/*
	$(INSTALL_DATA) $(SCHEMAS) '$(DESTDIR)$(datadir)/rotortab/schemas'
	for folder in $(sort $(dir $(VECTORS))); do \
	    $(INSTALL_DATA) -D -t '$(DESTDIR)$(datadir)/rotortab'/$${folder#tests/} \
	        $$(find $$folder -maxdepth 1 -type f) || exit 1; \
	done
	$(INSTALL_DATA) $(DOCUMENTS) '$(DESTDIR)$(docdir)'
	$(foreach to,$(SHELLS),$(PROGRAM) completion $(to) > $(OUT)/completion.$(to) && \
	    $(INSTALL_DATA) -D $(OUT)/completion.$(to) \
	        '$(DESTDIR)$(datadir)/$(COMPLETION_$(to))' &&) true

install-strip: ## the same, without the symbols of the program
	@$(MAKE) --no-print-directory install \
	    INSTALL_PROGRAM='$(INSTALL_PROGRAM) -s --strip-program=$(STRIP)'

uninstall: ## remove what install put there
	rm -f '$(DESTDIR)$(bindir)/rotortab' '$(DESTDIR)$(libdir)/librotorfield.a' \
	    '$(DESTDIR)$(libdir)/pkgconfig/rotor-field.pc'
	for page in $(notdir $(MAN_PAGES)) $(FUNCTIONS:=.3); do \
	    rm -f '$(DESTDIR)$(mandir)'/man$${page##*.}/$$page; \
	done
	rm -f $(foreach to,$(SHELLS),'$(DESTDIR)$(datadir)/$(COMPLETION_$(to))')
	rm -rf '$(DESTDIR)$(includedir)/rotor-field' '$(DESTDIR)$(datadir)/rotortab' \
	    '$(DESTDIR)$(docdir)'

# ---- an archive -----------------------------------------------------------------------------------

# Of the commit, so that it holds nothing that only this folder has; a user's umask does not matter.
dist: ## pack what is committed into build/rotortab-VERSION.tar.gz
	@mkdir -p build
	git -c tar.umask=0022 archive --prefix=$(NAME)/ -o build/$(NAME).tar.gz HEAD

# The folder is below no repository. Without a network of its own, a build that fetches fails.
# Tests that run as root run the program as another user too, who must get at it.
distcheck: dist ## unpack that archive elsewhere; build and test it without a network
	@folder=$$(mktemp -d) && trap 'rm -rf "$$folder"' EXIT && chmod go+x "$$folder" && \
	tar -C "$$folder" -xzf build/$(NAME).tar.gz && \
	unshare --net $(if $(filter-out 0,$(shell id -u)),--map-current-user) \
	    $(MAKE) -C "$$folder/$(NAME)" check

# ---- the rest -----------------------------------------------------------------------------------

clean: ## remove everything that was built
	rm -rf build

help: ## this list
	@awk -F ':.*## ' '/^[a-z-]+:.*## / { printf "  make %-13s %s\n", $$1, $$2 }' Makefile
