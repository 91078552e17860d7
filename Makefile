# woad: measured colour from a photo of an ink swatch chart. `make help` lists the targets.

VERSION := 0.1.0

# The order of the layers, lowest first: a file includes only its own layer and those before it.
LAYERS := base values files vision location correction measurement inventory analysis questions output page commands

BUILD ?= build
PREFIX ?= /usr/local
OPTIMISE ?= -O2
PYTHON ?= /usr/bin/python3# Debian's own, whose packages are the reference libraries
COUNT ?= 8# photos a grade and treatment
SERIES ?= 8# of drying and batches, a grade
SPOILT_COUNT ?= 2# photos a way of spoiling them
LOCATION_COUNT ?= 168
PRINTED_COUNT ?= 4# photos of a printed chart, a way of lying
SECONDS ?= 60# a fuzz target
Q := $(if $(V),,@)# V=1 shows the compilers' command lines

WARNINGS := -Wall -Wextra -Wpedantic -Wconversion -Wshadow -Wstrict-prototypes
LIBRARIES := lcms2 libpng libjpeg libexif sqlite3 gsl cairo pangocairo apriltag jansson libxxhash \
             libutf8proc libmicrohttpd libqrencode
OTHER_LIBRARIES := -lcsv -lglpk -lapriltag-utils -lm
CPPFLAGS += -Iinclude -D_POSIX_C_SOURCE=200809L -DWOAD_VERSION='"$(VERSION)"' \
            -DWOAD_DATA='"$(PREFIX)/share/woad"'
CFLAGS += -std=c11 $(OPTIMISE) -g $(WARNINGS) $(WERROR) $(SANITIZE)
LDFLAGS += $(SANITIZE)
LDLIBS += $(LIBRARY_LINKS) $(OTHER_LIBRARIES)

# Packages by their Debian and Ubuntu names: to build; to check; and for one target each.
PACKAGES := pkg-config libpng-dev libjpeg-dev liblcms2-dev libexif-dev libsqlite3-dev \
            libgsl-dev libcairo2-dev libjansson-dev libcsv-dev libxxhash-dev \
            libglpk-dev libpango1.0-dev libapriltag-dev libutf8proc-dev libmicrohttpd-dev \
            libqrencode-dev
CHECK_PACKAGES := libcmocka-dev colord-data clang sqlite3 strace python3-numpy \
                  python3-colorspacious python3-colormath libjpeg-turbo-progs \
                  libcolor-library-perl curl poppler-utils python3-pil python3-tinycss2 \
                  liblcms2-utils
# Without these woad is built all the same, and says what it can't read: HEIC, TIFF and raw; without
# the last it does not give up what it has no use for while it reads photos.
OPTIONAL_PACKAGES ?= libheif-dev libtiff-dev libraw-dev libseccomp-dev
valgrind_PACKAGES := valgrind
browser_PACKAGES := chromium zbar-tools $(if $(shell command -v npm),,nodejs npm)
format_PACKAGES := clang-format

SOURCES := $(foreach layer,$(LAYERS),$(sort $(wildcard src/$(layer)/*.c)))
OBJECTS := $(SOURCES:src/%.c=$(BUILD)/%.o)
LIBRARY_OBJECTS := $(filter-out $(BUILD)/commands/main.o,$(OBJECTS)) $(BUILD)/assets/table.o
ASSETS := $(sort $(filter-out %.sh,$(wildcard src/output/assets/*)))

T := $(BUILD)/tests
UNIT_TESTS := $(patsubst tests/unit/%.c,$(T)/%,$(sort $(wildcard tests/unit/test_*.c)))
SCENE_TESTS := $(patsubst tests/scene/%.c,$(T)/%,$(sort $(wildcard tests/scene/test_*.c)))
SCENE_SOURCES := $(filter-out tests/scene/test_%.c,$(sort $(wildcard tests/scene/*.c)))
SCENE_OBJECTS := $(SCENE_SOURCES:tests/%.c=$(T)/%.o)
RENDERER := $(filter-out $(T)/scene/scene.o,$(SCENE_OBJECTS))
BLEND_PAIRS := $(patsubst %,$(T)/%.o,accuracy/blend_pairs scene/inks scene/spectrum scene/noise \
                                     scene/basics)
SIMULATION := $(patsubst %,$(T)/%.o,accuracy/simulation accuracy/look accuracy/random \
                                    accuracy/card_spectra scene/smooth \
                                    scene/spectrum scene/basics)
FUZZ_TARGETS := $(patsubst tests/fuzz/fuzz_%.c,%,$(sort $(wildcard tests/fuzz/fuzz_*.c)))
FUZZ_REPLAYS := $(FUZZ_TARGETS:%=$(BUILD)/fuzz/replay_%)
FUZZERS := $(FUZZ_TARGETS:%=$(BUILD)/fuzz/fuzz_%)

TOOLS := $(addprefix $(BUILD)/,scene demo_range heic printed_photo colour_values patch_values cell_outlines analysis_table \
                               correction_table learn_prior blend_table bench/bench bench/near)
TESTS := $(BUILD)/woad $(TOOLS) $(UNIT_TESTS) $(SCENE_TESTS) $(FUZZ_REPLAYS)
PROGRAMS := $(TESTS) $(FUZZERS)

.PHONY: all demo page check install uninstall clean help sanitize valgrind faults fuzz accuracy spoilt \
        readings location printed prior bench instructions coverage lint format browser mutants slack testimages tests \
        check-packages check-accuracy check-faults
.DELETE_ON_ERROR:
.SECONDARY:

all: $(BUILD)/woad ## Build the program as build/woad

demo: ## Install what is missing, build, measure a photo of testimages, ask about a range
	@mkdir -p $(BUILD)
	@echo "building woad; what the compilers say goes to $(BUILD)/demo.log"
	@$(MAKE) --no-print-directory $(BUILD)/woad >$(BUILD)/demo.log 2>&1 || { cat $(BUILD)/demo.log; exit 1; }
	@sh tests/demo.sh $(BUILD)

page: $(BUILD)/woad ## Open an invented range of inks on the page, in the browser
	@rm -rf $(BUILD)/page.db*
	@$(BUILD)/woad import testimages/demo-range.csv --inventory $(BUILD)/page.db 2>/dev/null
	@$(BUILD)/woad page --inventory $(BUILD)/page.db

check: check-packages ## Install what is missing, build with gcc and clang, run all tests
	@sh tests/check.sh $(BUILD)

# Where bash, zsh and fish look for completions.
COMPLETIONS = $(addprefix $(DESTDIR)$(PREFIX)/share/,bash-completion/completions/woad \
                zsh/site-functions/_woad fish/vendor_completions.d/woad.fish)

install: $(BUILD)/woad ## Install program, card values, man page and completions (PREFIX=, DESTDIR=)
	install -d $(DESTDIR)$(PREFIX)/bin $(DESTDIR)$(PREFIX)/share/woad/calibration \
		$(DESTDIR)$(PREFIX)/share/man/man1
	install -m 755 $(BUILD)/woad $(DESTDIR)$(PREFIX)/bin/woad
	install -m 644 calibration/*.txt $(DESTDIR)$(PREFIX)/share/woad/calibration
	install -m 644 src/commands/woad.1 $(DESTDIR)$(PREFIX)/share/man/man1/woad.1
	install -d $(dir $(COMPLETIONS))
	$(BUILD)/woad completion bash >$(word 1,$(COMPLETIONS))
	$(BUILD)/woad completion zsh >$(word 2,$(COMPLETIONS))
	$(BUILD)/woad completion fish >$(word 3,$(COMPLETIONS))

uninstall: ## Remove what install put there
	rm -f $(DESTDIR)$(PREFIX)/bin/woad $(DESTDIR)$(PREFIX)/share/man/man1/woad.1 $(COMPLETIONS)
	rm -rf $(DESTDIR)$(PREFIX)/share/woad

clean: ## Remove everything that was built
	rm -rf build $(BUILD)

help: ## List the targets
	@sed -n 's/^\([a-z-]*\):.*## \(.*\)/  \1\t\2/p' Makefile | expand -t 14

# --- packages and libraries -----------------------------------------------------------------

# Packages are looked at, and the libraries' flags asked for, once for each build folder.
ifneq ($(filter-out clean help uninstall format check-packages,$(or $(MAKECMDGOALS),all)),)
include $(BUILD)/libraries.mk
endif

$(BUILD)/libraries.mk: Makefile tests/packages.sh tests/libraries.sh
	@sh tests/packages.sh $(PACKAGES)
	@sh tests/packages.sh $(OPTIONAL_PACKAGES) || echo "woad is built without them" >&2
	@mkdir -p $(@D)
	@sh tests/libraries.sh "$(LIBRARIES)" "$(OPTIONAL_PACKAGES)" >$@

check-packages: $(BUILD)/libraries.mk
	@sh tests/packages.sh $(CHECK_PACKAGES)

%-packages:
	@sh tests/packages.sh $($*_PACKAGES)

# --- building -------------------------------------------------------------------------------

$(BUILD)/%.o: src/%.c Makefile
	@mkdir -p $(@D)
	@echo "compiling $<"
	$(Q)$(CC) $(CPPFLAGS) $(LIBRARY_FLAGS) $(CFLAGS) -MMD -MP -c -o $@ $<

# Style and script of the page, compiled in.
$(BUILD)/assets/table.c: $(ASSETS) src/output/assets/embed.sh Makefile
	@mkdir -p $(@D)
	$(Q)sh src/output/assets/embed.sh $(ASSETS) >$@

$(BUILD)/assets/table.o: $(BUILD)/assets/table.c
	$(Q)$(CC) $(CPPFLAGS) $(CFLAGS) -c -o $@ $<

$(T)/%.o: tests/%.c Makefile
	@mkdir -p $(@D)
	@echo "compiling $<"
	$(Q)$(CC) $(CPPFLAGS) $(LIBRARY_FLAGS) -Itests -Isrc $(CFLAGS) -MMD -MP -c -o $@ $<

$(BUILD)/libwoad.a: $(LIBRARY_OBJECTS)
	@rm -f $@
	$(Q)$(AR) rcs $@ $^

# Every program is linked from the objects that stand behind it here and further down.
$(PROGRAMS):
	@mkdir -p $(@D)
	@echo "linking $@"
	$(Q)$(CC) $(LDFLAGS) -o $@ $(filter %.o,$^) $(filter %.a,$^) $(LDLIBS)

$(BUILD)/woad: $(BUILD)/commands/main.o $(BUILD)/libwoad.a

-include $(shell find $(BUILD) -maxdepth 3 -name '*.d' 2>/dev/null)

# --- tests ----------------------------------------------------------------------------------

tests: $(TESTS)

$(UNIT_TESTS): $(T)/test_%: $(T)/unit/test_%.o $(BUILD)/libwoad.a
$(UNIT_TESTS) $(SCENE_TESTS): LDLIBS += -lcmocka
$(SCENE_TESTS): $(T)/%: $(T)/scene/%.o $(RENDERER)
$(T)/test_simulated_inks: $(SIMULATION)
$(T)/test_batches $(T)/test_drying: $(T)/accuracy/analysis_rates.o
$(T)/test_blend: $(BLEND_PAIRS)
$(T)/test_raw: $(T)/scene/dng.o

sanitize: check-packages ## Unit and command line tests with address and undefined-behaviour checks
	@sh tests/sanitize.sh $(BUILD)/sanitize

valgrind: check-packages valgrind-packages ## Unit and command line tests under valgrind
	@sh tests/valgrind.sh $(BUILD)/valgrind

coverage: check-packages ## How much of each source file the unit and command line tests run
	@sh tests/coverage.sh $(BUILD)/coverage

ATTACKED := $(BUILD)/woad $(BUILD)/scene $(BUILD)/faults/allocation.so $(BUILD)/faults/clock.so

faults: check-packages $(ATTACKED) ## Fail allocations and writes (STRIDE=1: every one), kill while measuring (KILLS=200)
	@sh tests/faults/run.sh $(BUILD)
	@sh tests/faults/attacks.sh $(BUILD)

check-faults: $(ATTACKED)
	@KILLS=6 sh tests/faults/attacks.sh $(BUILD)

$(BUILD)/faults/%.so: tests/faults/%.c Makefile
	@mkdir -p $(@D)
	$(Q)$(CC) -D_GNU_SOURCE $(filter-out $(SANITIZE),$(CFLAGS)) -fPIC -shared -o $@ $<

fuzz: check-packages ## Feed damaged input to each reader of files (SECONDS= each, TARGET= only one)
	@sh tests/fuzz/run.sh $(BUILD)/fuzzing $(SECONDS) $(or $(TARGET),$(FUZZ_TARGETS))

$(FUZZ_REPLAYS): $(BUILD)/fuzz/replay_%: $(T)/fuzz/fuzz_%.o $(T)/fuzz/replay.o $(T)/fuzz/given.o \
                                      $(BUILD)/libwoad.a
$(FUZZERS): $(BUILD)/fuzz/fuzz_%: $(T)/fuzz/fuzz_%.o $(T)/fuzz/given.o $(BUILD)/libwoad.a
$(FUZZERS): LDFLAGS += -fsanitize=fuzzer

# --- rendered pictures ----------------------------------------------------------------------

testimages: check-packages $(BUILD)/scene $(BUILD)/demo_range ## Render the pictures of testimages again
	$(BUILD)/scene testimages testimages
	$(BUILD)/demo_range >testimages/demo-range.csv

$(BUILD)/scene: $(SCENE_OBJECTS)
$(BUILD)/demo_range: $(T)/range/demo_range.o $(RENDERER)
# For the one picture of testimages that is kept, not made again: encoders differ.
$(BUILD)/heic: $(T)/heic/heic.o $(BUILD)/libwoad.a
# Photos of printed pages, for the command line's cases.
$(BUILD)/printed_photo: $(T)/printed/printed_photo.o $(T)/scene/guided.o $(T)/scene/basics.o \
                        $(BUILD)/libwoad.a
$(BUILD)/printed_photo: LDLIBS += -lcmocka

# --- accuracy and speed ---------------------------------------------------------------------

accuracy: check-packages $(BUILD)/woad $(BUILD)/scene $(BUILD)/analysis_table ## Measure rendered photos, compare with their truth (COUNT= a grade)
	@$(PYTHON) -B tests/accuracy/accuracy.py $(BUILD) $(COUNT)
	@echo "against the table checked in:"
	@diff -u tests/accuracy/table.txt $(BUILD)/accuracy/table.txt && echo "no change" || :
	@[ $(COUNT) -ne 8 ] || cp $(BUILD)/accuracy/table.txt tests/accuracy/table.txt
	@echo "how often batches are told apart and drying fits hold, by simulation:"
	@$(BUILD)/analysis_table | tee $(BUILD)/accuracy/analysis.txt
	@diff -u tests/accuracy/analysis.txt $(BUILD)/accuracy/analysis.txt && echo "no change" || :
	@cp $(BUILD)/accuracy/analysis.txt tests/accuracy/analysis.txt
	@echo "charts that dry and batches, rendered, measured and compared:"
	@$(PYTHON) -B tests/accuracy/again.py $(BUILD) $(SERIES)
	@diff -u tests/accuracy/again.txt $(BUILD)/accuracy/again.txt && echo "no change" || :
	@[ $(SERIES) -ne 8 ] || cp $(BUILD)/accuracy/again.txt tests/accuracy/again.txt

spoilt: check-packages $(BUILD)/woad $(BUILD)/scene ## Measure photos spoilt on purpose in some forty ways (SPOILT_COUNT= a way)
	@$(PYTHON) -B tests/accuracy/spoilt.py $(BUILD) $(SPOILT_COUNT)
	@echo "against the table checked in:"
	@diff -u tests/accuracy/spoilt.txt $(BUILD)/accuracy/spoilt.txt && echo "no change" || :
	@[ $(SPOILT_COUNT) -ne 2 ] || cp $(BUILD)/accuracy/spoilt.txt tests/accuracy/spoilt.txt

readings: check-packages $(BUILD)/woad ## Measure a folder of real photos with an instrument's readings beside (FOLDER=)
	@$(PYTHON) -B tests/accuracy/readings.py $(BUILD) $(FOLDER)

printed: $(BUILD)/woad $(BUILD)/printed_photo ## Read drawn photos of a printed chart, compare with the table (PRINTED_COUNT= a kind, KEEP=1)
	@$(PYTHON) -B tests/accuracy/printed.py $(BUILD) $(PRINTED_COUNT)
	@echo "against the table checked in:"
	@diff -u tests/accuracy/printed.txt $(BUILD)/printed/printed.txt && echo "no change" || :
	@[ $(PRINTED_COUNT) -ne 4 ] || cp $(BUILD)/printed/printed.txt tests/accuracy/printed.txt

location: check-packages $(BUILD)/woad $(BUILD)/scene $(BUILD)/cell_outlines ## Find card and chart in hard photos, compare with their truth (LOCATION_COUNT= a grade, KEEP=1)
	@$(PYTHON) -B tests/accuracy/location.py $(BUILD) $(LOCATION_COUNT)
	@echo "against the table checked in:"
	@diff -u tests/accuracy/location.txt $(BUILD)/location/location.txt && echo "no change" || :
	@[ $(LOCATION_COUNT) -ne 168 ] || cp $(BUILD)/location/location.txt tests/accuracy/location.txt

prior: format-packages $(BUILD)/learn_prior ## Learn from simulated cameras what colour models have in common
	$(BUILD)/learn_prior >$(BUILD)/colour_prior.c
	clang-format $(BUILD)/colour_prior.c >src/correction/colour_prior.c

check-accuracy: $(BUILD)/woad $(BUILD)/scene $(BUILD)/colour_values $(BUILD)/cell_outlines
	@$(PYTHON) -B tests/accuracy/check.py $(BUILD) 2

bench: check-packages $(BUILD)/woad $(BUILD)/bench/bench $(BUILD)/bench/near $(BUILD)/bench/photo.jpg ## Time the program against djpeg on 24 megapixels
	@$(BUILD)/bench/bench $(BUILD)/woad $(BUILD)/bench/photo.jpg
	@$(BUILD)/bench/near

instructions: check-packages valgrind-packages $(BUILD)/woad $(BUILD)/bench/photo.jpg ## Count instructions stage by stage, compare with the table checked in
	@$(PYTHON) -B tests/bench/instructions.py $(BUILD)
	@diff -u tests/bench/instructions.txt $(BUILD)/bench/instructions.txt && echo "no change" || :
	@cp $(BUILD)/bench/instructions.txt tests/bench/instructions.txt

# As soft and as noisy as phones of that size make them: about 8 MB.
$(BUILD)/bench/photo.jpg: $(BUILD)/scene
	@mkdir -p $(@D)
	$(BUILD)/scene plain $(@:.jpg=) --grade ordinary --number 2 --width 6000 --height 4000 \
		--blur 1.5 --denoise 0.6 --noise 0.03 --quality 96 --subsampling 420

$(BUILD)/bench/bench: $(T)/bench/bench.o
$(BUILD)/bench/near: $(T)/bench/near.o $(BUILD)/libwoad.a
$(BUILD)/colour_values: $(T)/accuracy/colour_values.o $(BUILD)/libwoad.a
$(BUILD)/patch_values: $(T)/accuracy/patch_values.o $(BUILD)/libwoad.a
$(BUILD)/cell_outlines: $(T)/accuracy/cell_outlines.o $(BUILD)/libwoad.a
$(BUILD)/analysis_table: $(T)/accuracy/analysis_table.o $(T)/accuracy/analysis_rates.o \
                         $(BUILD)/libwoad.a
$(BUILD)/correction_table: $(T)/accuracy/correction_table.o $(SIMULATION) $(BUILD)/libwoad.a
$(BUILD)/learn_prior: $(T)/accuracy/learn_prior.o $(SIMULATION) $(BUILD)/libwoad.a
$(BUILD)/blend_table: $(T)/accuracy/blend_table.o $(BLEND_PAIRS) $(BUILD)/libwoad.a

# --- source text ----------------------------------------------------------------------------

# A changed source is compiled and linked as the Makefile would.
VARIED = CC="$(CC)" FLAGS='$(CPPFLAGS) $(LIBRARY_FLAGS) -Itests -Isrc $(CFLAGS)' \
         LINKS='$(LDFLAGS) $(LDLIBS)' $(PYTHON) -B tests/variants

browser: check-packages browser-packages $(BUILD)/woad ## A person's way through the page in a headless Chromium (SHOTS= a folder for pictures)
	@sh tests/browser/run.sh $(BUILD) $(SHOTS)

mutants: check-packages $(UNIT_TESTS) $(BUILD)/woad $(BUILD)/scene ## Change one sign or constant of FILE= at a time; list what no test notices
	@$(VARIED)/mutants.py $(BUILD) $(FILE)

slack: check-packages $(BUILD)/woad $(BUILD)/scene ## Move the constant NAME= (FILE=) and see what that does to rendered photos
	@$(VARIED)/slack.py $(BUILD) $(NAME) $(FILE)

lint: $(OBJECTS) ## Check layers, circles, names, library homes, sizes, state, layout and scripts
	@$(PYTHON) -B tests/lint.py $(BUILD) $(LAYERS)

format: format-packages ## Lay out the C sources with clang-format
	find src include tests -name '*.[ch]' -exec clang-format -i {} +
