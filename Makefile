# woad: measured colour from a photo of an ink swatch chart. `make help` lists the targets.

VERSION := 0.1.0

# The order of the layers, lowest first: a file includes only its own layer and those before it.
LAYERS := base values files vision location correction measurement inventory analysis output commands

BUILD ?= build
CC ?= gcc
PREFIX ?= /usr/local
OPTIMISE ?= -O2
WARNINGS := -Wall -Wextra -Wpedantic -Wconversion -Wshadow -Wstrict-prototypes
LIBRARIES := lcms2 libpng libjpeg libexif sqlite3 gsl cairo jansson libxxhash
CPPFLAGS += -Iinclude -D_POSIX_C_SOURCE=200809L -DWOAD_VERSION='"$(VERSION)"' \
            -DWOAD_DATA='"$(PREFIX)/share/woad"'
CFLAGS += -std=c11 $(OPTIMISE) -g $(WARNINGS) $(WERROR) $(SANITIZE)
LIBRARY_FLAGS = $(shell pkg-config --cflags $(LIBRARIES) 2>/dev/null)
LDLIBS += $(shell pkg-config --libs $(LIBRARIES) 2>/dev/null) -lcsv -lglpk -lm
LDFLAGS += $(SANITIZE)

# Packages by their Debian and Ubuntu names; those of `check` are for tests only.
PACKAGES := pkg-config libpng-dev libjpeg-dev liblcms2-dev libexif-dev libsqlite3-dev \
            libgsl-dev libcairo2-dev libjansson-dev libcsv-dev libxxhash-dev \
            libglpk-dev
CHECK_PACKAGES := libcmocka-dev colord-data python3-colorspacious clang sqlite3 libcolor-library-perl

SOURCES := $(foreach layer,$(LAYERS),$(sort $(wildcard src/$(layer)/*.c)))
OBJECTS := $(SOURCES:src/%.c=$(BUILD)/%.o)
LIBRARY_OBJECTS := $(filter-out $(BUILD)/commands/main.o,$(OBJECTS))
UNIT_TESTS := $(patsubst tests/unit/%.c,$(BUILD)/tests/%,$(sort $(wildcard tests/unit/test_*.c)))
SCENE_SOURCES := $(filter-out %/test_scene.c,$(sort $(wildcard tests/scene/*.c)))
SCENE_OBJECTS := $(SCENE_SOURCES:tests/%.c=$(BUILD)/tests/%.o)
SCENE_LIBRARIES := $(shell pkg-config --libs libpng libjpeg libexif lcms2 gsl 2>/dev/null) -lm

.PHONY: all help packages check-packages unit cli compilers lint format install uninstall clean \
        demo check testimages accuracy bench sanitize valgrind faults fuzz coverage
.DELETE_ON_ERROR:

all: packages ## Build the program as build/woad
	@$(MAKE) --no-print-directory $(BUILD)/woad

help: ## List the targets
	@sed -n 's/^\([a-z-]*\):.*## \(.*\)/  \1\t\2/p' $(MAKEFILE_LIST) | expand -t 14

# --- packages -------------------------------------------------------------------------------

packages:
	@sh tests/packages.sh $(PACKAGES)

check-packages: packages
	@sh tests/packages.sh $(CHECK_PACKAGES)

# --- building -------------------------------------------------------------------------------

$(BUILD)/woad: $(BUILD)/commands/main.o $(BUILD)/libwoad.a
	$(CC) $(LDFLAGS) -o $@ $^ $(LDLIBS)

$(BUILD)/libwoad.a: $(LIBRARY_OBJECTS)
	@rm -f $@
	$(AR) rcs $@ $^

$(BUILD)/%.o: src/%.c Makefile
	@mkdir -p $(@D)
	$(CC) $(CPPFLAGS) $(LIBRARY_FLAGS) $(CFLAGS) -MMD -MP -c -o $@ $<

$(BUILD)/tests/%.o: tests/%.c Makefile
	@mkdir -p $(@D)
	$(CC) $(CPPFLAGS) $(LIBRARY_FLAGS) -Itests $(CFLAGS) -MMD -MP -c -o $@ $<

$(BUILD)/tests/test_%: $(BUILD)/tests/unit/test_%.o $(BUILD)/libwoad.a
	$(CC) $(LDFLAGS) -o $@ $^ $(LDLIBS) -lcmocka

$(BUILD)/scene: $(SCENE_OBJECTS)
	$(CC) $(LDFLAGS) -o $@ $^ $(SCENE_LIBRARIES)

$(BUILD)/tests/test_scene: $(BUILD)/tests/scene/test_scene.o \
                           $(filter-out $(BUILD)/tests/scene/scene.o,$(SCENE_OBJECTS))
	$(CC) $(LDFLAGS) -o $@ $^ $(SCENE_LIBRARIES) -lcmocka

$(BUILD)/tests/test_simulated_inks: $(BUILD)/tests/accuracy/simulation.o \
                                    $(BUILD)/tests/accuracy/spectra.o

$(BUILD)/correction_table: $(BUILD)/tests/accuracy/correction_table.o \
                           $(BUILD)/tests/accuracy/simulation.o \
                           $(BUILD)/tests/accuracy/spectra.o $(BUILD)/libwoad.a
	$(CC) $(LDFLAGS) -o $@ $^ $(LDLIBS)

$(BUILD)/analysis_table: $(BUILD)/tests/accuracy/analysis_table.o \
                         $(BUILD)/tests/accuracy/analysis_rates.o $(BUILD)/libwoad.a
	$(CC) $(LDFLAGS) -o $@ $^ $(LDLIBS)

BLEND_PAIRS := $(BUILD)/tests/accuracy/blend_pairs.o $(BUILD)/tests/scene/inks.o \
               $(BUILD)/tests/scene/spectrum.o $(BUILD)/tests/scene/noise.o \
               $(BUILD)/tests/scene/basics.o

$(BUILD)/blend_table: $(BUILD)/tests/accuracy/blend_table.o $(BLEND_PAIRS) $(BUILD)/libwoad.a
	$(CC) $(LDFLAGS) -o $@ $^ $(LDLIBS)

$(BUILD)/tests/test_blend: $(BLEND_PAIRS)

-include $(OBJECTS:.o=.d) $(SCENE_OBJECTS:.o=.d) \
         $(UNIT_TESTS:$(BUILD)/tests/%=$(BUILD)/tests/unit/%.d)
.SECONDARY:

# --- accuracy and speed ---------------------------------------------------------------------

# Debian's own python3: the reference libraries are its packages.
PYTHON ?= /usr/bin/python3
COUNT ?= 24
ACCURACY_PACKAGES := python3-numpy colord-data
BENCH_PACKAGES := libjpeg-turbo-progs colord-data
CHECK_PACKAGES += python3-numpy python3-colormath libjpeg-turbo-progs

.PHONY: check-accuracy bench-packages

accuracy: packages $(BUILD)/woad $(BUILD)/scene ## Measure COUNT=24 rendered photos a grade against their truth
	@sh tests/packages.sh $(ACCURACY_PACKAGES)
	@$(PYTHON) -B tests/accuracy/accuracy.py $(BUILD) $(COUNT)
	@echo "against the table checked in:"
	@diff -u tests/accuracy/table.txt $(BUILD)/accuracy/table.txt && echo "no change" || :
	@[ $(COUNT) -ne 24 ] || cp $(BUILD)/accuracy/table.txt tests/accuracy/table.txt

check-accuracy: check-packages $(BUILD)/woad $(BUILD)/scene $(BUILD)/colour_values
	@$(PYTHON) -B tests/accuracy/check.py $(BUILD) 2

bench: packages $(BUILD)/woad $(BUILD)/bench/bench $(BUILD)/bench/photo.jpg ## Time the program against djpeg on one 24-megapixel photo
	@$(BUILD)/bench/bench $(BUILD)/woad $(BUILD)/bench/photo.jpg

bench-packages:
	@sh tests/packages.sh $(BENCH_PACKAGES)

$(BUILD)/bench/bench: $(BUILD)/tests/bench/bench.o
	@mkdir -p $(@D)
	$(CC) $(LDFLAGS) -o $@ $^

# As soft and as noisy as phones of that size make them: about 8 MB.
$(BUILD)/bench/photo.jpg: $(BUILD)/scene | bench-packages
	@mkdir -p $(@D)
	$(BUILD)/scene plain $(@:.jpg=) --grade ordinary --number 2 --width 6000 --height 4000 \
		--blur 1.5 --denoise 0.6 --noise 0.03 --quality 96 --subsampling 420

$(BUILD)/colour_values: $(BUILD)/tests/accuracy/colour_values.o $(BUILD)/libwoad.a
	$(CC) $(LDFLAGS) -o $@ $^ $(LDLIBS)
