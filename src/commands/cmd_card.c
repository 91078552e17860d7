#include "commands.h"
#include "files/photo.h"
#include "files/whole_file.h"
#include "measurement/measurement.h"
#include "output/card_report.h"
#include "output/json.h"
#include "output/rows.h"

#include <string.h>

struct card_settings {
    const char *check;
    const char *picture;
    const char *card;
    struct told_corners card_at;
    enum table_format format;
};

static const struct option card_options[] = {
    OPTION(struct card_settings, check, "check", "PHOTO",
           "show how well the card in this photo fits, patch by patch"),
    OPTION(struct card_settings, picture, "picture", "FILE.png",
           "with --check: draw the patches as they are and as measured"),
    OPTION(struct card_settings, card, "card", "FILE",
           "the card's values (CGATS text), or the name of an edition"),
    OPTION(struct card_settings, card_at, "card-at", "X,Y,X,Y,X,Y,X,Y",
           "the card's corners in the photo, clockwise from brown"),
    COMMANDS_FORMAT_OPTION(struct card_settings),
    {0}};

/* --- the cards known ------------------------------------------------------------------------ */

static enum status add_known(const char *edition, struct table *table, struct error *error)
{
    struct card card = {0};
    enum status status = commands_read_card(edition, &card, error);

    return status ? status : rows_of_card(edition, &card, table, error);
}

static enum status list_cards(const struct card_settings *settings, struct error *error)
{
    struct table table = {0};
    enum status status = STATUS_OK;

    if (settings->card)
        status = add_known(settings->card, &table, error);
    for (int i = 0; !status && !settings->card && i < COMMANDS_EDITIONS; i++)
        status = add_known(commands_edition[i], &table, error);
    if (!status)
        status = commands_print(&table, settings->format, error);
    table_release(&table);
    return status;
}

/* --- the card in a photo -------------------------------------------------------------------- */

static void print_summary(const struct photo *photo, const struct measurement *measurement,
                          FILE *out)
{
    const struct correction_quality *quality = &measurement->quality;

    fprintf(out,
            "%s: card found, turned %d degrees%s; %d of %d patches used, %s\n"
            "delta E 2000 of the patches: %.2f on average, %.2f at worst; each predicted from the "
            "others: %.2f on average, %.2f at worst\n",
            photo->path, measurement->card.turns * 90,
            quad_area(&measurement->card.corners) < 0 ? ", mirrored" : "", quality->patches_used,
            quality->patches, quality->method, quality->residual_mean, quality->residual_max,
            quality->left_out_mean, quality->left_out_max);
}

static enum status print_fit(const struct photo *photo, const struct measurement *measurement,
                             const struct card *card, enum table_format format, struct error *error)
{
    struct table table = {0};
    enum status status = rows_of_card_fit(card, measurement, &table, error);

    if (!status && format == TABLE_JSON)
        status = json_write_card(photo, measurement, &table, stdout, error);
    else if (!status)
        status = commands_print(&table, format, error);
    if (!status && format != TABLE_JSON)
        print_summary(photo, measurement, format == TABLE_TEXT ? stdout : stderr);
    table_release(&table);
    return status;
}

/* What it means, in words and in a picture. */
static enum status report_fit(const struct card_settings *settings, const struct card *card,
                              const struct measurement *measurement, struct error *error)
{
    struct card_report report;
    FILE *out = settings->format == TABLE_TEXT ? stdout : stderr;

    card_report_make(card, measurement, &report);
    for (int i = 0; i < report.count; i++)
        fprintf(out, "%s\n", report.line[i]);
    if (!settings->picture)
        return STATUS_OK;
    return card_report_draw(settings->picture, card, measurement, &report, error);
}

static enum status check_card(const struct card_settings *settings, struct error *error)
{
    struct card card = {0};
    struct photo photo = {0};
    struct measurement measurement = {0};
    struct measurement_hints hints = {
        .card = &card, .card_given = settings->card_at.given, .card_only = true};
    const struct whole_file_plan plan = {settings->picture, &whole_file_png};
    enum status status = whole_file_check(&plan, 1, error);

    if (!status)
        status = commands_read_card(settings->card, &card, error);
    if (!status)
        status = photo_read(settings->check, PHOTO_WORKING_PIXELS_MAX, &photo, error);
    for (int i = 0; !status && i < 4; i++)
        hints.card_at.corner[i] = point_scale(settings->card_at.quad.corner[i], 1 / photo.scale);
    if (!status)
        status = measurement_find(&photo, &hints, &measurement, error);
    if (!status)
        status = print_fit(&photo, &measurement, &card, settings->format, error);
    if (!status)
        status = report_fit(settings, &card, &measurement, error);
    measurement_release(&measurement);
    photo_release(&photo);
    return status;
}

static int run_card(const struct command *command, int count, char **words)
{
    struct card_settings settings = {0};
    struct error error;
    enum status status = options_parse(command, &count, words, &settings, &error);

    if (!status && settings.check)
        status = check_card(&settings, &error);
    else if (!status && settings.picture)
        status =
            error_set(&error, STATUS_USAGE, "--picture is of use only with a photo: --check PHOTO");
    else if (!status && settings.card_at.given)
        status =
            error_set(&error, STATUS_USAGE, "--card-at is of use only with a photo: --check PHOTO");
    else if (!status)
        status = list_cards(&settings, &error);
    return commands_report(status, &error);
}

const struct command command_card = {
    .name = "card",
    .operands = "",
    .summary = "list the reference cards known, or check the card in a photo",
    .options = card_options,
    .run = run_card,
};
