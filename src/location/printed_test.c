#include "location/printed_test.h"

#include "location/printed_chart.h"
#include "outline.h"

#define CORNERS 16        /* of the rings of four tags */
#define OFF_MAX_MM 0.4    /* paper that lies flat: marks and edges agree to 0.2 in drawn photos */
#define SCALE_OFF_MAX 0.1 /* what no printer gets wrong */
#define SHIFT_MAX_MM 20.0
#define UNLIKE_MAX 0.03 /* of a mark's sides: A4 taken for Letter makes 9 % */

/* From where a printer that is true would put the paper's edges: it may be off by 5 mm on A4. Paper
 * against a darker ground is a strong edge. */
static const struct outline_search paper_search = {0.025, 0.025, 0.02, 1500, false};

struct printed_test printed_test_measured(struct point corner_mm, struct point size_mm)
{
    struct printed_test test = {
        {size_mm.x / PRINTED_TEST_WIDTH_MM, size_mm.y / PRINTED_TEST_HEIGHT_MM}, {0, 0}};

    test.shift_mm.x = corner_mm.x - test.scale.x * PRINTED_TEST_LEFT_MM;
    test.shift_mm.y = corner_mm.y - test.scale.y * PRINTED_TEST_TOP_MM;
    return test;
}

/* --- from a photo ----------------------------------------------------------------------------- */

/* The corner marks as drawn on the page, and as they lie on the paper. */
struct marks {
    double drawn[2][CORNERS]; /* x, then y */
    double lies[2][CORNERS];
};

static enum status find_page(const struct photo *photo, const struct printed_chart *chart,
                             struct tags *tags, struct printed_pose *pose, struct error *error)
{
    enum status status = tags_find(photo, tags, error);

    if (status)
        return status;
    if (!printed_chart_find(chart, tags, PRINTED_TEST_SHEET, pose))
        return error_set(error, STATUS_NOT_FOUND,
                         "%s: no corner marks of a printer's test page are seen; photograph the "
                         "page of 'woad sheet test' whole, sharp and from above",
                         photo->path);
    if (pose->tags != 4)
        return error_set(error, STATUS_QUALITY,
                         "%s: %d of the test page's four corner marks are seen; photograph it "
                         "whole, sharp and from above",
                         photo->path, pose->tags);
    return STATUS_OK;
}

/* The map from the paper, its edges found in the photo, to the photo. */
static enum status find_paper(const struct photo *photo, struct point page_mm,
                              const struct printed_pose *pose, struct homography *to_paper,
                              struct error *error)
{
    const struct quad page = {{{0, 0}, {page_mm.x, 0}, page_mm, {0, page_mm.y}}};
    struct quad paper = printed_chart_seen(&pose->from_page, &page);
    const struct homography_points points = {.from = paper.corner, .to = page.corner, .count = 4};
    double corner_error;

    if (!outline_refine(photo, &paper_search, &paper, &corner_error))
        return error_set(
            error, STATUS_QUALITY,
            "%s: the paper's edges are not seen all around; lay the page flat on a "
            "darker ground, with all of it in the photo, or tell --page if it is no A4",
            photo->path);
    return homography_fit(&points, to_paper, error);
}

static struct marks gather(const struct printed_chart *chart, const struct tags *tags,
                           const struct homography *to_paper)
{
    struct marks marks = {.drawn = {{0}}};
    int count = 0;

    for (int i = 0; i < tags->count && count < CORNERS; i++) {
        struct quad ring = printed_chart_ring(chart, tags->items[i].corner);

        if (tags->items[i].sheet != PRINTED_TEST_SHEET)
            continue;
        for (int k = 0; k < 4; k++, count++) {
            struct point lies = homography_apply(to_paper, tags->items[i].ring.corner[k]);

            marks.drawn[0][count] = ring.corner[k].x;
            marks.drawn[1][count] = ring.corner[k].y;
            marks.lies[0][count] = lies.x;
            marks.lies[1][count] = lies.y;
        }
    }
    return marks;
}

/* The straight line through points along one side of the page. */
static void fit_line(const double *drawn, const double *lies, int count, double *scale,
                     double *shift)
{
    double mean_drawn = 0, mean_lies = 0, both = 0, square = 0;

    for (int i = 0; i < count; i++) {
        mean_drawn += drawn[i] / count;
        mean_lies += lies[i] / count;
    }
    for (int i = 0; i < count; i++) {
        both += (drawn[i] - mean_drawn) * (lies[i] - mean_lies);
        square += (drawn[i] - mean_drawn) * (drawn[i] - mean_drawn);
    }
    *scale = both / square;
    *shift = mean_lies - *scale * mean_drawn;
}

/* How the marks lie along one side of the page. */
struct along {
    double scale, shift; /* of the line through all of them */
    double off;          /* how far off it they lie */
    double size;         /* of a mark itself, against what its places say: blur moves it a little */
};

static struct along fit_along(const double *drawn, const double *lies)
{
    struct along along = {.size = 0};

    fit_line(drawn, lies, CORNERS, &along.scale, &along.shift);
    for (int i = 0; i < CORNERS; i++)
        along.off += pow(lies[i] - along.scale * drawn[i] - along.shift, 2) / CORNERS;
    along.off = sqrt(along.off);
    for (int i = 0; i < CORNERS; i += 4) {
        double ring, none;

        fit_line(&drawn[i], &lies[i], 4, &ring, &none);
        along.size += ring / along.scale * 4 / CORNERS;
    }
    return along;
}

static bool plausible(const struct printed_test *test)
{
    return fabs(test->scale.x - 1) <= SCALE_OFF_MAX && fabs(test->scale.y - 1) <= SCALE_OFF_MAX &&
           fabs(test->shift_mm.x) <= SHIFT_MAX_MM && fabs(test->shift_mm.y) <= SHIFT_MAX_MM;
}

enum status printed_test_read(const struct photo *photo, struct point page_mm,
                              struct printed_test *test, struct error *error)
{
    const struct printed_chart chart = {
        .page_mm = page_mm, .rows = 1, .columns = 1, .cell_mm = {1, 1}};
    struct tags tags;
    struct printed_pose pose;
    struct homography to_paper;
    struct marks marks;
    struct along x, y;
    enum status status = find_page(photo, &chart, &tags, &pose, error);

    if (!status)
        status = find_paper(photo, page_mm, &pose, &to_paper, error);
    if (status)
        return status;
    marks = gather(&chart, &tags, &to_paper);
    x = fit_along(marks.drawn[0], marks.lies[0]);
    y = fit_along(marks.drawn[1], marks.lies[1]);
    *test = (struct printed_test){{x.scale, y.scale}, {x.shift, y.shift}};
    if (fabs(x.size - y.size) > UNLIKE_MAX)
        return error_set(error, STATUS_QUALITY,
                         "%s: the paper is not of %g x %g mm, as its marks show; tell its size "
                         "with --page",
                         photo->path, page_mm.x, page_mm.y);
    if (fmax(x.off, y.off) > OFF_MAX_MM || !plausible(test))
        return error_set(
            error, STATUS_QUALITY,
            "%s: the marks and the paper's edges do not agree, they are %.1f mm apart; "
            "lay the page flat on a darker ground, or measure its frame and type the "
            "numbers",
            photo->path, fmax(x.off, y.off));
    return STATUS_OK;
}
