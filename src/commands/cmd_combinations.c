#include "blend_strips.h"
#include "questions/combine_job.h"
#include "base/utf8.h"
#include "combinations.h"
#include "files/whole_file.h"
#include "values/calendar.h"
#include "output/combine_rows.h"
#include "notes.h"

#include <string.h>

#define CELLS_USUAL 3
#define ROWS_USUAL 2
#define ROWS_MAX 8
#define NOTE_MAX 200

static const struct option combinations_options[] = {
    OPTION(struct combinations_settings, mood, "mood", "tonal|contrast",
           "add: what the combination is"),
    OPTION(struct combinations_settings, note, "note", "TEXT",
           "add: what you want to remember of it"),
    OPTION(struct combinations_settings, at, "at", "TIME", "when it was made, or the photo taken"),
    OPTION(struct combinations_settings, since, "since", "DATE", "list: those made since then"),
    OPTION_SWITCH(struct combinations_settings, without, "without",
                  "list: the inks that are in none of them"),
    OPTION_SWITCH(struct combinations_settings, again, "again",
                  "add: the same inks as one that is logged"),
    OPTION_BETWEEN(struct combinations_settings, cells, 3, INVENTORY_STRIP_CELLS, "cells", "N",
                   "measure: cells from one ink to the other; 3 if not told"),
    OPTION_BETWEEN(struct combinations_settings, rows, 1, ROWS_MAX, "rows", "N",
                   "measure: how often the blend was made; 2 if not told"),
    OPTION(struct combinations_settings, card, "card", "FILE",
           "measure: the card's values, or the name of an edition"),
    OPTION(struct combinations_settings, card_at, "card-at", "X,Y,X,Y,X,Y,X,Y",
           "measure: the card's corners, from the brown patch"),
    OPTION(struct combinations_settings, chart_at, "chart-at", "X,Y,X,Y,X,Y,X,Y",
           "measure: the cells' outer corners, from the first"),
    OPTION_SWITCH(struct combinations_settings, dry_run, "dry-run", "measure: store nothing"),
    OPTION(struct combinations_settings, picture, "picture", "FILE.png",
           "forecast: draw how it may look"),
    COMMANDS_INVENTORY_OPTION(struct combinations_settings),
    COMMANDS_FORMAT_OPTION(struct combinations_settings),
    {0}};

/* --- list ----------------------------------------------------------------------------------- */

/* A day begins at midnight. */
static enum status read_since(const char *text, struct photo_time *since, struct error *error)
{
    char whole[CALENDAR_TEXT_SIZE];

    if (strlen(text) != strlen("2026-05-03"))
        return calendar_parse(text, since, error);
    snprintf(whole, sizeof whole, "%s 00:00", text);
    return calendar_parse(whole, since, error);
}

static enum status read_log(const struct combinations_settings *settings,
                            struct inventory_combinations *made, struct error *error)
{
    char path[INVENTORY_PATH_SIZE];
    struct inventory *inventory = NULL;
    struct photo_time since = {.source = PHOTO_TIME_NONE};
    enum status status = inventory_location(settings->inventory, path, error);

    if (!status && settings->since)
        status = read_since(settings->since, &since, error);
    if (!status)
        status = inventory_open(path, INVENTORY_READ, &inventory, error);
    if (!status)
        status =
            inventory_read_combinations(inventory, settings->since ? &since : NULL, made, error);
    if (!status && !made->count)
        fputs(settings->since ? "woad: no combination is logged since then\n"
                              : "woad: no combination is logged yet; 'woad combinations add INK "
                                "INK...' does it\n",
              stderr);
    inventory_close(inventory);
    return status;
}

static enum status list(const struct combinations_settings *settings, struct error *error)
{
    struct inventory_combinations made = {0};
    struct measured_range measured = {0};
    struct table table = {0};
    enum status status = read_log(settings, &made, error);

    if (!status && settings->without)
        status = measured_range_load(settings->inventory, &measured, error);
    if (!status)
        status = settings->without ? combine_rows_without(&measured, &made, &table, error)
                                   : combine_rows_made(&made, &table, error);
    if (!status)
        status = commands_print(&table, settings->format, error);
    table_release(&table);
    measured_range_release(&measured);
    inventory_combinations_release(&made);
    return status;
}

/* --- add ------------------------------------------------------------------------------------ */

static enum status check_run(char **inks, int count, struct error *error)
{
    if (count < COMBINATION_LEAST || count > COMBINATION_MOST)
        return error_set(error, STATUS_USAGE,
                         "a combination has %d to %d inks, %d were named; name them in the order "
                         "they are blended, a name of several words in quotation marks",
                         COMBINATION_LEAST, COMBINATION_MOST, count);
    for (int i = 0; i < count; i++)
        for (int j = 0; j < i; j++)
            if (utf8_same(inks[i], inks[j]))
                return error_set(error, STATUS_USAGE, "the ink '%s' was named twice", inks[i]);
    return STATUS_OK;
}

static enum status check_words(const struct combinations_settings *settings, struct error *error)
{
    if (settings->mood && strcmp(settings->mood, "tonal") != 0 &&
        strcmp(settings->mood, "contrast") != 0)
        return error_set(error, STATUS_USAGE, "--mood: '%.40s' is neither 'tonal' nor 'contrast'",
                         settings->mood);
    if (settings->note && strlen(settings->note) > NOTE_MAX)
        return error_set(error, STATUS_USAGE,
                         "--note is %zu bytes long, at most %d are kept; shorten it",
                         strlen(settings->note), NOTE_MAX);
    return STATUS_OK;
}

static enum status store(const struct combinations_settings *settings, char **inks, int count,
                         struct error *error)
{
    char path[INVENTORY_PATH_SIZE];
    struct inventory *inventory = NULL;
    bool told = settings->at.source != PHOTO_TIME_NONE;
    struct inventory_combination made = {.mood = (char *)settings->mood,
                                         .note = (char *)settings->note,
                                         .made = told ? settings->at : calendar_now(),
                                         .count = (size_t)count};
    enum status status = inventory_location(settings->inventory, path, error);

    memcpy(made.inks, inks, (size_t)count * sizeof *inks);
    if (!status)
        status = inventory_open(path, INVENTORY_WRITE, &inventory, error);
    if (!status && !settings->again)
        status = inventory_refuse_logged(inventory, inks, (size_t)count, error);
    if (!status)
        status = inventory_add_combination(inventory, &made, error);
    if (!status)
        fprintf(stderr, "woad: a combination of %d inks is logged in %s\n", count, path);
    inventory_close(inventory);
    return status;
}

static enum status add(const struct combinations_settings *settings, char **inks, int count,
                       struct error *error)
{
    struct measured_range measured = {0};
    const struct range_ink *ink = NULL;
    enum status status = check_run(inks, count, error);

    if (!status)
        status = check_words(settings, error);
    if (!status)
        status = measured_range_load(settings->inventory, &measured, error);
    for (int i = 0; !status && i < count; i++)
        status = range_find(&measured.range, inks[i], &ink, error);
    if (!status)
        status = store(settings, inks, count, error);
    measured_range_release(&measured);
    return status;
}

/* --- forecast ------------------------------------------------------------------------------- */

static enum status add_blends(const struct combine_task *task, size_t first, size_t second,
                              struct table *table, struct error *error)
{
    static const double shares[3] = {0.25, 0.5, 0.75};
    const struct range_ink *inks[2] = {&task->inks[first], &task->inks[second]};
    struct reflectance_observer observer = reflectance_observer_d50();
    struct blend_habit habit = combine_habit(task, first, second);
    struct blend_ink ready[2];
    enum status status = STATUS_OK;

    for (int i = 0; !status && i < 2; i++)
        status =
            blend_ink_prepare(&observer, inks[i]->lab, combine_job_u95(inks[i]), &ready[i], error);
    for (int i = 0; !status && i < 3; i++) {
        struct blend_forecast forecast =
            blend_forecast_at(&observer, &ready[0], &ready[1], shares[i], &habit);
        struct combine_blend_row row = {inks[0]->name, inks[1]->name, shares[i],  &forecast,
                                        inks[0]->lab,  inks[1]->lab,  habit.basis};

        status = combine_rows_blends_add(&row, table, error);
    }
    return status;
}

static enum status draw(const struct combinations_settings *settings,
                        const struct combine_task *task, const size_t *inks, size_t count,
                        struct error *error)
{
    struct forecast_strip strip;
    enum status status = blend_strips_forecast(task, inks, count, &strip, error);

    strip.title = "Forecast";
    if (!status)
        status = forecast_picture_write(settings->picture, &strip, 1, error);
    if (!status)
        fprintf(stderr, "woad: the forecast is drawn in %s\n", settings->picture);
    return status;
}

static enum status print_forecast(const struct combinations_settings *settings,
                                  const struct combine_task *task, const size_t *inks, size_t count,
                                  struct error *error)
{
    struct table table;
    enum status status = STATUS_OK;

    combine_rows_blends_start(&table);
    for (size_t i = 0; !status && i + 1 < count; i++)
        status = add_blends(task, inks[i], inks[i + 1], &table, error);
    if (!status && settings->picture)
        status = draw(settings, task, inks, count, error);
    if (!status)
        status = commands_print(&table, settings->format, error);
    table_release(&table);
    return status;
}

static enum status find_inks(const struct measured_range *measured, char **names, int count,
                             size_t *inks, struct error *error)
{
    enum status status = check_run(names, count, error);

    for (int i = 0; !status && i < count; i++) {
        const struct range_ink *ink = NULL;

        status = measured_range_find(measured, names[i], &ink, error);
        if (!status && (ink < measured->inks || ink >= measured->inks + measured->count))
            status = error_set(error, STATUS_USAGE,
                               "'%s' is the thin part of an ink; name the ink itself", names[i]);
        inks[i] = status ? 0 : (size_t)(ink - measured->inks);
    }
    return status;
}

static enum status forecast(const struct combinations_settings *settings, char **names, int count,
                            struct error *error)
{
    struct measured_range measured = {0};
    struct blend_log log = {0};
    size_t inks[COMBINATION_MOST];
    const struct whole_file_plan plan = {settings->picture, &whole_file_png};
    enum status status = whole_file_check(&plan, 1, error);

    if (!status)
        status = measured_range_load(settings->inventory, &measured, error);
    if (!status)
        status = find_inks(&measured, names, count, inks, error);
    if (!status)
        status = blend_log_load(settings->inventory, &measured, &log, error);
    if (!status) {
        const struct combine_task task = {.inks = measured.inks,
                                          .count = measured.count,
                                          .tested = log.tested,
                                          .tested_count = log.tested_count,
                                          .untested = log.untested};

        notes_of_blends(&log, stderr);
        status = print_forecast(settings, &task, inks, (size_t)count, error);
    }
    blend_log_release(&log);
    measured_range_release(&measured);
    return status;
}

/* --- the command ---------------------------------------------------------------------------- */

static enum status run_action(const struct combinations_settings *settings, int count, char **words,
                              struct error *error)
{
    const char *action = count ? words[0] : "list";

    if (strcmp(action, "add") == 0)
        return add(settings, words + 1, count - 1, error);
    if (strcmp(action, "forecast") == 0)
        return forecast(settings, words + 1, count - 1, error);
    if (strcmp(action, "measure") == 0 && count == 4)
        return combinations_measure(settings, words[1], words + 2, error);
    if (strcmp(action, "measure") == 0 && count == 2)
        return combinations_measure(settings, words[1], NULL, error);
    if (strcmp(action, "measure") == 0)
        return error_set(error, STATUS_USAGE,
                         "combinations measure needs a photo, and two inks if its strip was not "
                         "printed by woad: woad combinations measure PHOTO INK INK");
    if (strcmp(action, "list") == 0 && count <= 1)
        return list(settings, error);
    return error_set(error, STATUS_USAGE,
                     "combinations does 'list', 'add INK INK...', 'forecast INK INK...' and "
                     "'measure PHOTO INK INK', not '%.60s'",
                     words[strcmp(action, "list") == 0]);
}

static int run_combinations(const struct command *command, int count, char **words)
{
    struct combinations_settings settings = {.cells = CELLS_USUAL, .rows = ROWS_USUAL};
    struct error error;
    enum status status = options_parse(command, &count, words, &settings, &error);

    if (!status)
        status = run_action(&settings, count, words, &error);
    return commands_report(status, &error);
}

const struct command command_combinations = {
    .name = "combinations",
    .operands = "[list | add INK... | forecast INK... | measure PHOTO [INK INK]]",
    .summary = "the log of combinations made, blend forecasts and test blends",
    .options = combinations_options,
    .operands_maximum = -1,
    .run = run_combinations,
};
