/*
 * A photo of printed pages, drawn: pages as woad wrote them, their cells inked, the card beside.
 *
 * usage: printed_photo CARD.txt PHOTO.png [WORD=VALUE...]
 *
 *   page=PAGE.png     an A5 chart, of 5 rows of 4 cells if nothing else is told
 *   rows=N columns=N  flap=MM of it otherwise
 *   inks=FILE.csv     "row,column,L,a,b", a line for each cell that is inked; else all are, somehow
 *   second=PAGE.png   another one to the right of the card
 *   turns=N           quarter turns clockwise that the first lies on
 *   tilt=20 axis=30   degrees that the camera stands off from above, and which way
 *   spin=5            degrees that the page lies askew besides
 *   bend=4            millimetres that the page's middle lifts off the desk
 *   hide=02           corner marks of the first page that something lies on
 *   places=FILE.csv   where to write "row,column,x,y,width": the first page's cells' middles, in
 * pixels printed=0.97      what the printer made of 1 tone=0.1          how far the camera lightens
 * what is dark around, and darkens what is light: the power of its surroundings' light that a place
 * is divided by reach=0.1         of those surroundings, in long sides of the photo edge=0.5 steps
 * well above it part surroundings, of the logarithm of light seed=N            other inks, other
 * noise
 *
 * Prints what is true: "row,column,L,a,b" and a line a cell, page by page. All of it is invented.
 */

#include "scene/guided.h"
#include "unit/drawing.h"

#include "location/printed_chart.h"

#define WIDTH_PX 1600
#define WIDTH_OF_TWO_PX 2400
#define HEIGHT_PX 1200
#define PAGE_SHRINK 2 /* 300 dots an inch to about what the photo shows */
#define INK_MARGIN_MM 1.0
#define SECOND_PX 1490 /* to the right of the first */
#define CARD_PITCH_MM 18.0
#define TILTED_PX_PER_MM 4.2 /* so that the page stays in the photo however it lies */
#define CAMERA_PX 3000.0     /* its distance */

/* The command line. */
struct wanted {
    const char *page;
    const char *second;
    const char *inks;
    const char *hide;
    const char *places;
    double tilt, axis, spin, bend;
    double rows, columns, flap;
    double turns, printed, tone, reach, edge, seed;
};

static const struct point page_mm = {148, 210};

static void require(enum status status, const struct error *error)
{
    if (!status)
        return;
    fprintf(stderr, "printed_photo: %s\n", error->message);
    exit((int)status);
}

/* The page's corners in the photo, as it lies tilted and askew. */
static struct quad tilted_page(const struct wanted *wanted, int turns)
{
    const struct drawing_view view = {
        .centre = {500, 600},
        .width_px = TILTED_PX_PER_MM * (turns % 2 ? page_mm.y : page_mm.x),
        .height_px = TILTED_PX_PER_MM * (turns % 2 ? page_mm.x : page_mm.y),
        .tilt_degrees = wanted->tilt,
        .axis_degrees = wanted->axis,
        .distance_px = CAMERA_PX};
    struct quad flat = drawing_tilted(&view);

    return drawing_rotated(&flat, wanted->spin);
}

/* Millimetres of the paper to the photo: a little tilted, or as told, turned. */
static struct homography view(const struct wanted *wanted, int turns, double right_px)
{
    const struct quad upright = {{{120, 60}, {850, 80}, {865, 1130}, {105, 1110}}};
    const struct quad lying = {{{60, 210}, {960, 195}, {955, 850}, {70, 870}}};
    const struct quad page = {{{0, 0}, {page_mm.x, 0}, {page_mm.x, page_mm.y}, {0, page_mm.y}}};
    bool told = wanted->tilt > 0 || fabs(wanted->spin) > 0;
    struct quad seen = turns % 2 ? lying : upright;
    struct homography from_unit, to_unit;
    struct quad turned;
    struct error error;

    if (told)
        seen = tilted_page(wanted, turns);
    for (int i = 0; i < 4; i++) {
        turned.corner[i] = seen.corner[(i + turns) % 4];
        turned.corner[i].x += right_px;
    }
    require(homography_from_quad(&turned, &from_unit, &error), &error);
    require(homography_from_quad(&page, &to_unit, &error), &error);
    to_unit = homography_invert(&to_unit);
    return homography_compose(&from_unit, &to_unit);
}

/* What a printer puts on paper that scales what it prints about the middle of the page. */
static struct homography print_on(const struct homography *paper, double printed)
{
    const struct homography scaled = {{printed, 0, (1 - printed) * page_mm.x / 2, 0, printed,
                                       (1 - printed) * page_mm.y / 2, 0, 0, 1}};

    return homography_compose(paper, &scaled);
}

/* A page in the photo; its middle lifts off the desk, and so moves across the camera's slanting
 * look: by `shift`, millimetres in the page's plane. */
struct lying {
    struct homography map;
    struct point shift;
};

static double lift(struct point at)
{
    return sin(3.14159265358979 * fmin(fmax(at.x / page_mm.x, 0), 1));
}

static struct point seen_at(const struct lying *lying, struct point at)
{
    return homography_apply(&lying->map, point_add(at, point_scale(lying->shift, lift(at))));
}

static struct point page_at(const struct lying *lying, const struct homography *back,
                            struct point pixel)
{
    struct point flat = homography_apply(back, pixel), at = flat;

    for (int i = 0; i < 4; i++)
        at = point_subtract(flat, point_scale(lying->shift, lift(at)));
    return at;
}

/* The paper reaches beyond what is printed where the printer shrank it. */
static void draw_paper(struct photo *photo, const struct homography *map)
{
    struct quad paper = {{{0, 0}, {page_mm.x, 0}, {page_mm.x, page_mm.y}, {0, page_mm.y}}};

    for (int i = 0; i < 4; i++)
        paper.corner[i] = homography_apply(map, paper.corner[i]);
    drawing_quad(photo, &paper, drawing_paper);
}

/* The printed page, its white the drawn paper's. */
static void draw_page(struct photo *photo, const struct photo *page, const struct lying *lying)
{
    struct homography back = homography_invert(&lying->map);
    double px_per_mm = page->image.width_px / page_mm.x;

    for (int y = 0; y < photo->image.height_px; y++)
        for (int x = 0; x < photo->image.width_px; x++) {
            struct point at = page_at(lying, &back, (struct point){x + 0.5, y + 0.5});
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

static void ink_cell(struct photo *photo, const struct lying *lying,
                     const struct printed_chart *chart, int row, int column, struct lab ink)
{
    struct quad cell = printed_chart_cell(chart, row, column);

    cell = quad_inset(&cell, INK_MARGIN_MM / chart->cell_mm.x);
    for (int k = 0; k < 4; k++)
        cell.corner[k] = seen_at(lying, cell.corner[k]);
    drawing_quad(photo, &cell, drawing_colour(ink));
    printf("%d,%d,%.2f,%.2f,%.2f\n", row, column, ink.L, ink.a, ink.b);
}

static void ink_as_told(struct photo *photo, const struct lying *lying,
                        const struct printed_chart *chart, const char *path)
{
    FILE *file = fopen(path, "r");
    struct lab ink;
    int row, column;

    while (file && fscanf(file, "%d,%d,%lf,%lf,%lf", &row, &column, &ink.L, &ink.a, &ink.b) == 5)
        ink_cell(photo, lying, chart, row, column, ink);
    if (file)
        fclose(file);
}

static struct printed_chart chart_wanted(const struct wanted *wanted)
{
    const struct printed_wish wish = {.page_mm = page_mm,
                                      .rows = (int)wanted->rows,
                                      .columns = (int)wanted->columns,
                                      .flap_mm = wanted->flap};
    struct printed_chart chart;
    struct error error;

    require(printed_chart_lay_out(&wish, &chart, &error), &error);
    return chart;
}

static void ink_cells(struct photo *photo, const struct lying *lying, const struct wanted *wanted,
                      unsigned number)
{
    struct printed_chart chart = chart_wanted(wanted);
    uint32_t seed = drawing_seed(number);

    if (wanted->inks) {
        ink_as_told(photo, lying, &chart, wanted->inks);
        return;
    }
    for (int i = 0; i < chart.rows * chart.columns; i++) {
        struct lab ink;

        do
            ink = drawing_ink(&seed);
        while (!colour_srgb_shows(ink));
        ink_cell(photo, lying, &chart, i / chart.columns + 1, i % chart.columns + 1, ink);
    }
}

/* Something of the desk's colour lies on corner marks. */
static void hide_marks(struct photo *photo, const struct lying *lying, const struct wanted *wanted)
{
    struct printed_chart chart = chart_wanted(wanted);

    for (const char *corner = wanted->hide; corner && *corner; corner++) {
        struct point tag = printed_chart_tag(&chart, *corner - '0');
        struct quad over =
            drawing_upright(tag.x - PRINTED_MARGIN_MM, tag.y - PRINTED_MARGIN_MM,
                            PRINTED_TAG_MM + PRINTED_MARGIN_MM, PRINTED_TAG_MM + PRINTED_MARGIN_MM);

        for (int k = 0; k < 4; k++)
            over.corner[k] = seen_at(lying, over.corner[k]);
        drawing_quad(photo, &over, drawing_desk);
    }
}

static void write_places(const struct lying *lying, const struct wanted *wanted)
{
    struct printed_chart chart = chart_wanted(wanted);
    FILE *file = wanted->places ? fopen(wanted->places, "w") : NULL;

    for (int i = 0; file && i < chart.rows * chart.columns; i++) {
        struct quad cell = printed_chart_cell(&chart, i / chart.columns + 1, i % chart.columns + 1);
        struct point middle = seen_at(lying, quad_centre(&cell));
        double width =
            point_distance(seen_at(lying, cell.corner[0]), seen_at(lying, cell.corner[1]));

        fprintf(file, "%d,%d,%.3f,%.3f,%.3f\n", i / chart.columns + 1, i % chart.columns + 1,
                middle.x, middle.y, width);
    }
    if (file)
        fclose(file);
}

static struct lying add_page(struct photo *photo, const char *path, const struct homography *paper,
                             const struct wanted *wanted, unsigned seed)
{
    const double degree = 0.017453292519943295;
    double aslant = wanted->bend * tan(fmax(wanted->tilt, 10) * degree);
    struct lying lying = {
        print_on(paper, wanted->printed),
        {-aslant * sin(wanted->axis * degree), aslant * cos(wanted->axis * degree)}};
    struct photo page = {0}, smaller = {0};
    struct error error;

    require(photo_read(path, 0, &page, &error), &error);
    require(image_shrink(&page.image, PAGE_SHRINK, &smaller.image, &error), &error);
    draw_paper(photo, paper);
    draw_page(photo, &smaller, &lying);
    ink_cells(photo, &lying, wanted, seed);
    photo_release(&page);
    photo_release(&smaller);
    return lying;
}

/* The card lies in the paper's plane, upright in the photo. */
static void draw_card(struct photo *photo, const char *path, const struct homography *map,
                      int turns)
{
    const struct point middle_px = {1285, 510}, half_mm = {3 * CARD_PITCH_MM, 2 * CARD_PITCH_MM};
    const struct point along[] = {{1, 0}, {0, -1}, {-1, 0}, {0, 1}}; /* of the page, by turns */
    const struct point right = along[turns], down = along[(turns + 3) % 4];
    const struct rgb light = {{1, 1, 1}};
    struct homography back = homography_invert(map);
    struct point middle = homography_apply(&back, middle_px);
    struct drawing_grid grid;
    struct quad outer;
    struct card card;
    struct error error;

    for (int i = 0; i < 4; i++) {
        double x = i == 1 || i == 2 ? half_mm.x : -half_mm.x, y = i >= 2 ? half_mm.y : -half_mm.y;

        outer.corner[i] = homography_apply(
            map, point_add(middle, point_add(point_scale(right, x), point_scale(down, y))));
    }
    require(card_read(path, &card, &error), &error);
    grid = drawing_card_grid(outer);
    drawing_card(photo, &grid, &card, light);
}

/* As phones do: dark surroundings are lifted, bright ones held down, edges between them kept. */
static void map_local_tone(struct photo *photo, const struct wanted *wanted)
{
    int width = photo->image.width_px, height = photo->image.height_px;
    size_t count = (size_t)width * (size_t)height;
    float *light = malloc(count * sizeof *light), *around;

    for (size_t i = 0; light && i < count; i++) {
        double green = drawing_decode(photo->image.samples[3 * i + 1] / 65535.0);

        light[i] = logf(fmaxf((float)green, 1e-3f));
    }
    if (!light)
        exit(1);
    around = guided_smooth(light, width, height, (int)(wanted->reach * width), wanted->edge);
    for (size_t i = 0; i < 3 * count; i++) {
        double gain = exp(-wanted->tone * (double)(around[i / 3] + 1.0f));

        photo->image.samples[i] =
            drawing_encode(gain * drawing_decode(photo->image.samples[i] / 65535.0));
    }
    free(light);
    free(around);
}

static void read_words(int count, char **words, struct wanted *wanted)
{
    const struct {
        const char *name;
        double *number;
        const char **text;
    } known[] = {{"page=", NULL, &wanted->page},   {"second=", NULL, &wanted->second},
                 {"turns=", &wanted->turns, NULL}, {"inks=", NULL, &wanted->inks},
                 {"rows=", &wanted->rows, NULL},   {"columns=", &wanted->columns, NULL},
                 {"flap=", &wanted->flap, NULL},   {"printed=", &wanted->printed, NULL},
                 {"tone=", &wanted->tone, NULL},   {"reach=", &wanted->reach, NULL},
                 {"edge=", &wanted->edge, NULL},   {"seed=", &wanted->seed, NULL},
                 {"tilt=", &wanted->tilt, NULL},   {"axis=", &wanted->axis, NULL},
                 {"spin=", &wanted->spin, NULL},   {"bend=", &wanted->bend, NULL},
                 {"hide=", NULL, &wanted->hide},   {"places=", NULL, &wanted->places}};

    for (int i = 0; i < count; i++)
        for (size_t k = 0; k < sizeof known / sizeof *known; k++) {
            size_t length = strlen(known[k].name);

            if (strncmp(words[i], known[k].name, length) != 0)
                continue;
            if (known[k].text)
                *known[k].text = words[i] + length;
            else
                *known[k].number = atof(words[i] + length);
        }
}

int main(int count, char **words)
{
    struct wanted wanted = {
        .rows = 5, .columns = 4, .printed = 1, .reach = 0.1, .edge = 0.5, .seed = 7};
    struct photo photo = {0};
    struct homography paper, second;
    struct lying first;
    struct error error;
    unsigned seed;

    if (count < 3)
        return 1;
    read_words(count - 3, words + 3, &wanted);
    seed = (unsigned)wanted.seed;
    paper = view(&wanted, (int)wanted.turns % 4, 0);
    second = view(&wanted, 0, SECOND_PX);
    drawing_create(wanted.second ? WIDTH_OF_TWO_PX : WIDTH_PX, HEIGHT_PX, drawing_desk, &photo);
    puts("row,column,L,a,b");
    first = add_page(&photo, wanted.page, &paper, &wanted, seed);
    hide_marks(&photo, &first, &wanted);
    write_places(&first, &wanted);
    if (wanted.second)
        add_page(&photo, wanted.second, &second, &wanted, seed + 1);
    draw_card(&photo, words[1], &paper, (int)wanted.turns % 4);
    if (wanted.tone > 0)
        map_local_tone(&photo, &wanted);
    drawing_blur(&photo, 0.8);
    drawing_noise(&photo, 1.5, seed - 2);
    require(photo_write_srgb(words[2], &photo.image, &error), &error);
    photo_release(&photo);
    return 0;
}
