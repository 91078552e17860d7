/*
 * A photo of a printed page, drawn: the page as woad wrote it, its cells inked, the card beside.
 *
 * usage: printed_photo PAGE.png CARD.txt PHOTO.png TURNS
 *
 * PAGE.png is an A5 chart of 5 rows of 4 cells; TURNS how many quarter turns clockwise it lies.
 * Prints what is true: "row,column,L,a,b" and a line a cell. All of it is invented.
 */

#include "unit/drawing.h"

#include "location/printed_chart.h"

#define WIDTH_PX 1600
#define HEIGHT_PX 1200
#define PAGE_SHRINK 2 /* 300 dots an inch to about what the photo shows */
#define INK_MARGIN_MM 1.0

static const struct point page_mm = {148, 210};

static void require(enum status status, const struct error *error)
{
    if (!status)
        return;
    fprintf(stderr, "printed_photo: %s\n", error->message);
    exit((int)status);
}

/* Millimetres of the page to the photo: a little tilted, turned. */
static struct homography view(int turns)
{
    const struct quad upright = {{{120, 60}, {850, 80}, {865, 1130}, {105, 1110}}};
    const struct quad lying = {{{60, 210}, {960, 195}, {955, 850}, {70, 870}}};
    const struct quad *seen = turns % 2 ? &lying : &upright;
    const struct quad page = {{{0, 0}, {page_mm.x, 0}, {page_mm.x, page_mm.y}, {0, page_mm.y}}};
    struct homography from_unit, to_unit;
    struct quad turned;
    struct error error;

    for (int i = 0; i < 4; i++)
        turned.corner[i] = seen->corner[(i + turns) % 4];
    require(homography_from_quad(&turned, &from_unit, &error), &error);
    require(homography_from_quad(&page, &to_unit, &error), &error);
    to_unit = homography_invert(&to_unit);
    return homography_compose(&from_unit, &to_unit);
}

/* The printed page, its white the drawn paper's. */
static void draw_page(struct photo *photo, const struct photo *page, const struct homography *map)
{
    struct homography back = homography_invert(map);
    double px_per_mm = page->image.width_px / page_mm.x;

    for (int y = 0; y < HEIGHT_PX; y++)
        for (int x = 0; x < WIDTH_PX; x++) {
            struct point at = homography_apply(&back, (struct point){x + 0.5, y + 0.5});
            int column = (int)floor(at.x * px_per_mm), row = (int)floor(at.y * px_per_mm);

            if (column < 0 || row < 0 || column >= page->image.width_px ||
                row >= page->image.height_px)
                continue;
            for (int k = 0; k < 3; k++) {
                uint16_t print = image_at(&page->image, column, row)[k];

                image_at(&photo->image, x, y)[k] =
                    drawing_encode(drawing_decode(print / 65535.0) * drawing_paper.channel[k]);
            }
        }
}

static void ink_cells(struct photo *photo, const struct homography *map)
{
    const struct printed_wish wish = {.page_mm = page_mm, .rows = 5, .columns = 4};
    uint32_t seed = drawing_seed(7);
    struct printed_chart chart;
    struct error error;

    require(printed_chart_lay_out(&wish, &chart, &error), &error);
    puts("row,column,L,a,b");
    for (int i = 0; i < chart.rows * chart.columns; i++) {
        int row = i / chart.columns + 1, column = i % chart.columns + 1;
        struct quad cell = printed_chart_cell(&chart, row, column);
        struct lab ink;

        do
            ink = drawing_ink(&seed);
        while (!colour_srgb_shows(ink));
        cell = quad_inset(&cell, INK_MARGIN_MM / chart.cell_mm.x);
        for (int k = 0; k < 4; k++)
            cell.corner[k] = homography_apply(map, cell.corner[k]);
        drawing_quad(photo, &cell, drawing_colour(ink));
        printf("%d,%d,%.2f,%.2f,%.2f\n", row, column, ink.L, ink.a, ink.b);
    }
}

static void draw_card(struct photo *photo, const char *path)
{
    const struct drawing_grid grid =
        drawing_card_grid((struct quad){{{1020, 330}, {1550, 330}, {1550, 690}, {1020, 690}}});
    const struct rgb light = {{1, 1, 1}};
    struct card card;
    struct error error;

    require(card_read(path, &card, &error), &error);
    drawing_card(photo, &grid, &card, light);
}

int main(int count, char **words)
{
    struct photo page = {0}, photo = {0};
    struct homography map;
    struct error error;

    if (count != 5)
        return 1;
    map = view(atoi(words[4]) % 4);
    require(photo_read(words[1], 0, &page, &error), &error);
    require(image_shrink(&page.image, PAGE_SHRINK, &photo.image, &error), &error);
    image_release(&page.image);
    page.image = photo.image;
    drawing_create(WIDTH_PX, HEIGHT_PX, drawing_desk, &photo);
    draw_page(&photo, &page, &map);
    ink_cells(&photo, &map);
    draw_card(&photo, words[2]);
    drawing_blur(&photo, 0.8);
    drawing_noise(&photo, 1.5, 5);
    require(photo_write_srgb(words[3], &photo.image, &error), &error);
    photo_release(&page);
    photo_release(&photo);
    return 0;
}
