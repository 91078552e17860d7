#include "files/card.h"

#include <lcms2.h>

#include <errno.h>
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define CARD_FILE_BYTES_MAX (1024 * 1024)
#define LIGHTNESS_MAX 100.0
#define OPPONENT_MAX 128.0
/* Whites yellow and blacks are seldom true: our own judgement, above the 3.1 of the usual card's.
 */
#define NEUTRAL_CHROMA_MAX 8.0
/* The neutrals must span the tones that the curve is undone over: our own judgement. */
#define WHITE_MIN 75.0
#define BLACK_MAX 40.0
#define WANTED                                                                                     \
    "a CGATS text file with a set of LAB_L, LAB_A and LAB_B for each patch is wanted: compare it " \
    "with those in the calibration folder"

/* The usual card: what 24 sets are that do not say how they lie. */
static const struct card_shape usual = {.rows = 4, .columns = 6, .patches = 24};
#define USUAL_FIRST_NEUTRAL 18

/* A card's file in lcms2's hands, with what lcms2 complained of. */
struct table {
    const char *path;
    cmsContext context;
    cmsHANDLE handle;
    char complaint[256];
};

/* lcms2 puts the file's name first and a new line last; the message has both already. */
static void on_complaint(cmsContext context, cmsUInt32Number code, const char *message)
{
    struct table *table = cmsGetContextUserData(context);
    const char *line = strstr(message, ": Line ");
    const char *start = line ? line + 2 : message;

    (void)code;
    snprintf(table->complaint, sizeof table->complaint, "%.*s", (int)strcspn(start, "\n"), start);
}

static enum status check_file(const char *path, struct error *error)
{
    struct stat facts;

    if (stat(path, &facts) || (S_ISREG(facts.st_mode) && access(path, R_OK)))
        return error_set(error, STATUS_FILE, "%s: can't be opened (%s); " WANTED, path,
                         strerror(errno));
    if (!S_ISREG(facts.st_mode))
        return error_set(error, STATUS_FILE, "%s: is no plain file; " WANTED, path);
    if (facts.st_size == 0 || facts.st_size > CARD_FILE_BYTES_MAX)
        return error_set(error, STATUS_FORMAT, "%s: has %lld bytes; " WANTED, path,
                         (long long)facts.st_size);
    return STATUS_OK;
}

static enum status open_table(const char *path, struct table *table, struct error *error)
{
    enum status status = check_file(path, error);

    *table = (struct table){.path = path};
    if (status)
        return status;
    table->context = cmsCreateContext(NULL, table);
    if (!table->context)
        return error_set(error, STATUS_MEMORY, "%s: out of memory to read it", path);
    cmsSetLogErrorHandlerTHR(table->context, on_complaint);
    errno = 0;
    table->handle = cmsIT8LoadFromFile(table->context, path);
    if (!table->handle && errno == ENOMEM)
        return error_set(error, STATUS_MEMORY, "%s: out of memory to read it", path);
    if (!table->handle)
        return error_set(error, STATUS_FORMAT, "%s: can't be read as CGATS (%s); " WANTED, path,
                         table->complaint[0] ? table->complaint : "it does not begin as one");
    return STATUS_OK;
}

static void close_table(struct table *table)
{
    if (table->handle)
        cmsIT8Free(table->handle);
    if (table->context)
        cmsDeleteContext(table->context);
}

/* Where the file says what its values hold for, it must be what this program computes with. */
static enum status check_condition(const struct table *table, const char *key, const char *wanted,
                                   struct error *error)
{
    const char *value = cmsIT8GetPropertyMulti(table->handle, "WEIGHTING_FUNCTION", key);

    if (!value || !strncmp(value, wanted, strlen(wanted)))
        return STATUS_OK;
    return error_set(error, STATUS_FORMAT,
                     "%s: holds values for %s %s; %s is wanted: ask the card's maker for those",
                     table->path, key, value, wanted);
}

static enum status check_form(const struct table *table, struct error *error)
{
    static const char *const fields[3] = {"LAB_L", "LAB_A", "LAB_B"};
    enum status status = check_condition(table, "ILLUMINANT", "D50", error);

    if (!status)
        status = check_condition(table, "OBSERVER", "2", error);
    for (int i = 0; !status && i < 3; i++)
        if (cmsIT8FindDataFormat(table->handle, fields[i]) < 0)
            status = error_set(error, STATUS_FORMAT, "%s: has no field %s; " WANTED, table->path,
                               fields[i]);
    return status;
}

/* Whether the file says how its patches lie. */
static bool says_columns(const struct table *table)
{
    return cmsIT8GetProperty(table->handle, "CARD_COLUMNS") != NULL;
}

static enum status read_shape(const struct table *table, struct card_shape *shape,
                              struct error *error)
{
    double sets = cmsIT8GetPropertyDbl(table->handle, "NUMBER_OF_SETS");
    double columns =
        says_columns(table) ? cmsIT8GetPropertyDbl(table->handle, "CARD_COLUMNS") : usual.columns;

    if (!(sets >= CARD_PATCHES_MIN && sets <= CARD_PATCHES_MAX))
        return error_set(error, STATUS_FORMAT,
                         "%s: has %g sets; a card of %d to %d patches is wanted: list each patch "
                         "once, or use another card",
                         table->path, sets, CARD_PATCHES_MIN, CARD_PATCHES_MAX);
    if (!says_columns(table) && sets != usual.patches)
        return error_set(error, STATUS_FORMAT,
                         "%s: has %g sets, and does not say how they lie: add the lines KEYWORD "
                         "\"CARD_COLUMNS\" and CARD_COLUMNS with the number of patches in a row",
                         table->path, sets);
    if (!(columns >= CARD_SIDE_MIN && columns * CARD_SIDE_MIN <= sets) ||
        fmod(sets, columns) != 0 || fmod(columns, 1) != 0)
        return error_set(error, STATUS_FORMAT,
                         "%s: has %g sets and CARD_COLUMNS %g; whole rows are wanted, %d at least "
                         "of %d patches at least: list the patches row by row",
                         table->path, sets, columns, CARD_SIDE_MIN, CARD_SIDE_MIN);
    shape->patches = (int)sets;
    shape->columns = (int)columns;
    shape->rows = shape->patches / shape->columns;
    return STATUS_OK;
}

static enum status read_number(const struct table *table, int row, const char *field, double *value,
                               struct error *error)
{
    int column = cmsIT8FindDataFormat(table->handle, field);
    const char *text = cmsIT8GetDataRowCol(table->handle, row, column);
    char *end = NULL;
    double low = strcmp(field, "LAB_L") ? -OPPONENT_MAX : 0.0;
    double high = strcmp(field, "LAB_L") ? OPPONENT_MAX : LIGHTNESS_MAX;

    *value = text ? strtod(text, &end) : NAN;
    if (text && end != text && !*end && *value >= low && *value <= high)
        return STATUS_OK;
    return error_set(error, STATUS_FORMAT,
                     "%s: %s of set %d is '%s'; a number from %g to %g is wanted: mend the file",
                     table->path, field, row + 1, text ? text : "", low, high);
}

static void read_patch_name(const struct table *table, int row, char *name, size_t size)
{
    int column = cmsIT8FindDataFormat(table->handle, "SAMPLE_NAME");
    const char *text;

    if (column < 0)
        column = cmsIT8FindDataFormat(table->handle, "SAMPLE_ID");
    text = column < 0 ? NULL : cmsIT8GetDataRowCol(table->handle, row, column);
    if (text && *text)
        snprintf(name, size, "%s", text);
    else
        snprintf(name, size, "%d", row + 1);
}

static enum status read_patches(const struct table *table, struct card *card, struct error *error)
{
    enum status status = STATUS_OK;

    for (int i = 0; !status && i < card->shape.patches; i++) {
        read_patch_name(table, i, card->patch_name[i], sizeof card->patch_name[i]);
        status = read_number(table, i, "LAB_L", &card->patch[i].L, error);
        if (!status)
            status = read_number(table, i, "LAB_A", &card->patch[i].a, error);
        if (!status)
            status = read_number(table, i, "LAB_B", &card->patch[i].b, error);
    }
    return status;
}

/* The usual card listed column by column, or upside down, would fit no photo; its neutrals show
 * it. */
static enum status check_usual(const char *path, const struct card *card, struct error *error)
{
    for (int i = USUAL_FIRST_NEUTRAL; i < usual.patches; i++) {
        struct lab lab = card->patch[i];

        if (colour_chroma(lab) > NEUTRAL_CHROMA_MAX)
            return error_set(error, STATUS_FORMAT,
                             "%s: set %d has L %g, a %g, b %g, which is no neutral; sets 19 to 24 "
                             "must be the neutrals from white to black: list the patches row by "
                             "row from the brown one",
                             path, i + 1, lab.L, lab.a, lab.b);
        if (i > USUAL_FIRST_NEUTRAL && lab.L >= card->patch[i - 1].L)
            return error_set(error, STATUS_FORMAT,
                             "%s: set %d has L %g after L %g; sets 19 to 24 must be the neutrals "
                             "from white to black: list the patches row by row from the brown one",
                             path, i + 1, lab.L, card->patch[i - 1].L);
    }
    return STATUS_OK;
}

static enum status find_neutrals(const char *path, struct card *card, struct error *error)
{
    struct card_shape *shape = &card->shape;
    double lightest = -1, darkest = LIGHTNESS_MAX + 1;
    int count = 0;

    for (int i = 0; i < shape->patches; i++) {
        double L = card->patch[i].L;

        card->neutral[i] = colour_chroma(card->patch[i]) <= NEUTRAL_CHROMA_MAX;
        count += card->neutral[i];
        if (card->neutral[i] && L > lightest) {
            lightest = L;
            shape->white = i;
        }
        if (card->neutral[i] && L < darkest) {
            darkest = L;
            shape->black = i;
        }
    }
    if (count >= CARD_NEUTRALS_MIN && lightest >= WHITE_MIN && darkest <= BLACK_MAX)
        return STATUS_OK;
    return error_set(error, STATUS_FORMAT,
                     "%s: has %d neutral patches%s; at least %d of a chroma of %g at most are "
                     "wanted, from a white of L %g or more to a black of L %g or less: mend the "
                     "values, or use another card",
                     path, count, count >= CARD_NEUTRALS_MIN ? " of too like a lightness" : "",
                     CARD_NEUTRALS_MIN, NEUTRAL_CHROMA_MAX, WHITE_MIN, BLACK_MAX);
}

static void read_titles(const struct table *table, struct card *card)
{
    const char *name = cmsIT8GetProperty(table->handle, "DESCRIPTOR");
    const char *source = cmsIT8GetProperty(table->handle, "ORIGINATOR");
    const char *last = strrchr(table->path, '/');

    snprintf(card->name, sizeof card->name, "%s",
             name && *name ? name
             : last        ? last + 1
                           : table->path);
    snprintf(card->source, sizeof card->source, "%s",
             source && *source ? source : "source not stated");
}

enum status card_read(const char *path, struct card *card, struct error *error)
{
    struct table table;
    enum status status = open_table(path, &table, error);

    memset(card, 0, sizeof *card);
    if (!status)
        status = check_form(&table, error);
    if (!status)
        status = read_shape(&table, &card->shape, error);
    if (!status)
        status = read_patches(&table, card, error);
    if (!status && !says_columns(&table))
        status = check_usual(path, card, error);
    if (!status)
        status = find_neutrals(path, card, error);
    if (!status)
        read_titles(&table, card);
    close_table(&table);
    return status;
}

static bool try_place(const char *folder, const char *edition, char *path, int path_size)
{
    int length = snprintf(path, (size_t)path_size, "%s/card24-%s.txt", folder, edition);

    return length > 0 && length < path_size && !access(path, R_OK);
}

/* The program's own path; empty where the system does not tell. */
static void own_path(char *path, size_t size)
{
    ssize_t length = readlink("/proc/self/exe", path, size - 1);

    path[length > 0 ? length : 0] = '\0';
}

/* In the sources, if the program runs from their build folder or a folder in it. */
static bool try_sources(const char *edition, char *path, int path_size)
{
    char folder[1024];
    char *build = NULL;

    own_path(folder, sizeof folder);
    for (char *at = strstr(folder, "/build/"); at; at = strstr(at + 1, "/build/"))
        build = at;
    if (!build || (size_t)(build - folder) + sizeof "/calibration" > sizeof folder)
        return false;
    memcpy(build, "/calibration", sizeof "/calibration");
    return try_place(folder, edition, path, path_size);
}

/* Where it was installed, also when under another prefix than it was built for. */
static bool try_installed(const char *edition, char *path, int path_size)
{
    char folder[1024];
    char *last;

    own_path(folder, sizeof folder - sizeof "/../share/woad/calibration");
    last = strrchr(folder, '/');
    if (last)
        memcpy(last, "/../share/woad/calibration", sizeof "/../share/woad/calibration");
    return (last && try_place(folder, edition, path, path_size)) ||
           try_place(WOAD_DATA "/calibration", edition, path, path_size);
}

enum status card_find(const char *edition, char *path, int path_size, struct error *error)
{
    const char *given = getenv("WOAD_CALIBRATION");

    if (strcmp(edition, "from-2014-11") != 0 && strcmp(edition, "before-2014-11") != 0)
        return error_set(error, STATUS_USAGE,
                         "no card '%s' ships with woad: choose from-2014-11 or before-2014-11, or "
                         "give your own card's file",
                         edition);
    if (given && *given && try_place(given, edition, path, path_size))
        return STATUS_OK;
    if (try_sources(edition, path, path_size) || try_installed(edition, path, path_size))
        return STATUS_OK;
    return error_set(error, STATUS_FILE,
                     "card24-%s.txt: not found in $WOAD_CALIBRATION (%s) nor in " WOAD_DATA
                     "/calibration: install woad, or set WOAD_CALIBRATION to its calibration "
                     "folder",
                     edition, given && *given ? given : "not set");
}
