#include "drawing.h"

#include "inventory/printed_sheets.h"
#include "output/sheets.h"

#include <unistd.h>

/* Sheets as they are written: a printed page read back as a photo lies where it was laid out. */

#define PNG "build-test-sheet.png"

static const struct sheet_about about = {"Allotment seed packets", "2026-05-22", 1779408000, NULL,
                                         false};

static struct names names_of(const struct printed_chart *chart)
{
    struct names names = {chart->rows, chart->columns, NULL};

    names.cells = calloc((size_t)(chart->rows * chart->columns), sizeof *names.cells);
    assert_non_null(names.cells);
    for (int i = 0; i < chart->rows * chart->columns; i++)
        snprintf(names.cells[i].ink, sizeof names.cells[i].ink, "Plot %d", i + 1);
    return names;
}

/* What woad made is refused as a photo; paper bears no such mark. */
static void take_mark_off(const char *path)
{
    static const char mark[] = "made by woad";
    FILE *file = fopen(path, "r+b");
    char bytes[4096];
    size_t count;

    assert_non_null(file);
    count = fread(bytes, 1, sizeof bytes, file);
    for (size_t i = 0; i + sizeof mark <= count; i++)
        if (memcmp(bytes + i, mark, sizeof mark - 1) == 0) {
            assert_int_equal(fseek(file, (long)i, SEEK_SET), 0);
            assert_int_equal(fputs("printed page", file) >= 0, 1);
        }
    assert_int_equal(fclose(file), 0);
}

static void a_page_is_found_where_it_was_laid_out(void **state)
{
    const struct printed_wish wish = {.page_mm = {148, 210}};
    struct printed_chart chart;
    struct photo photo = {0};
    struct tags tags;
    struct printed_pose pose;
    struct error error;
    struct names names;
    struct sheet_page page = {3, 1, &names};

    (void)state;
    assert_int_equal(printed_chart_lay_out(&wish, &chart, &error), STATUS_OK);
    names = names_of(&chart);
    assert_int_equal(sheet_write_chart(PNG, &chart, &about, &page, 1, &error), STATUS_OK);
    take_mark_off(PNG);
    assert_int_equal(photo_read(PNG, PHOTO_WORKING_PIXELS_MAX, &photo, &error), STATUS_OK);
    assert_int_equal(tags_find(&photo, &tags, &error), STATUS_OK);
    assert_true(printed_chart_find(&chart, &tags, 3, &pose));
    assert_int_equal(pose.tags, 4);
    drawing_assert_near(pose.scale, photo.image.width_px / 148.0, 0.02);
    photo_release(&photo);
    names_release(&names);
    unlink(PNG);
}

/* --- labels ----------------------------------------------------------------------------------- */

static void built_in_labels_fit_on_their_pages(void **state)
{
    size_t count;
    const struct inventory_stock *stocks = sheet_label_stocks(&count);

    (void)state;
    for (size_t i = 0; i < count; i++) {
        const struct inventory_stock *stock = &stocks[i];

        assert_true(stock->pitch_mm.x >= stock->label_mm.x &&
                    stock->pitch_mm.y >= stock->label_mm.y);
        assert_true(2 * stock->first_mm.x + (stock->columns - 1) * stock->pitch_mm.x +
                        stock->label_mm.x <=
                    stock->page_mm.x + 0.15);
        assert_true(2 * stock->first_mm.y + (stock->rows - 1) * stock->pitch_mm.y +
                        stock->label_mm.y <=
                    stock->page_mm.y + 0.15);
    }
}

/* --- what the inventory keeps ----------------------------------------------------------------- */

static void a_printed_sheet_is_read_back_by_its_number(void **state)
{
    const struct printed_wish wish = {.page_mm = {210, 297}, .card_mm = {110, 65}};
    struct inventory_sheet sheet = {.title = "Seed packets",
                                    .page = 1,
                                    .made = {PHOTO_TIME_GIVEN, 1779408000, 60, true}},
                           again;
    char path[] = "build-test-sheets.db";
    struct inventory *inventory;
    struct error error;

    (void)state;
    unlink(path);
    assert_int_equal(printed_chart_lay_out(&wish, &sheet.chart, &error), STATUS_OK);
    sheet.names = names_of(&sheet.chart);
    sheet.names.cells[1].ink[0] = '\0';
    assert_int_equal(inventory_open(path, INVENTORY_CREATE, &inventory, &error), STATUS_OK);
    assert_int_equal(inventory_add_sheet(inventory, &sheet, &error), STATUS_OK);
    assert_int_equal(sheet.printing, 1);
    assert_int_equal(inventory_add_sheet(inventory, &sheet, &error), STATUS_OK);
    assert_int_equal(sheet.number, 2);
    assert_int_equal(sheet.printing, 2);

    assert_int_equal(inventory_read_sheet(inventory, 2, &again, &error), STATUS_OK);
    assert_memory_equal(&again.chart, &sheet.chart, sizeof again.chart);
    assert_string_equal(again.title, "Seed packets");
    assert_string_equal(names_at(&again.names, 1, 3)->ink, "Plot 3");
    assert_string_equal(names_at(&again.names, 1, 2)->ink, "");
    inventory_sheet_release(&again);

    assert_int_equal(inventory_read_sheet(inventory, 3, &again, &error), STATUS_OK);
    assert_int_equal(again.number, 0);
    names_release(&sheet.names);
    inventory_close(inventory);
    unlink(path);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_page_is_found_where_it_was_laid_out),
        cmocka_unit_test(built_in_labels_fit_on_their_pages),
        cmocka_unit_test(a_printed_sheet_is_read_back_by_its_number),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
