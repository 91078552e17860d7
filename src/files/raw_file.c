#include "raw_file.h"

#ifdef WOAD_RAW

#include "base/memory.h"
#include "files/photo_limits.h"

#include <libraw/libraw.h>

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#define COLOURS 4 /* red, green, blue, and the green of the other lines */
#define XTRANS_FILTERS 9
#define BAYER_FILTERS_MIN 1000 /* LibRaw's word for a pattern of its own below */
#define MOSAIC_PERIOD 24       /* a whole number of every mosaic's: 2, 6 or 8 sensor pixels */
#define LINE_COLOURS 3
#define SQUARE_MAX 64

struct raw_file {
    libraw_data_t *raw;
    FILE *file;
    const char *path;
    const struct header *header;
    bool damaged;
    unsigned char colour[MOSAIC_PERIOD][MOSAIC_PERIOD]; /* of the mosaic; 3 is the other green */
};

/* The sums of one line of squares. */
struct sums {
    double *light;   /* 3 a pixel: 1 is a full sensor */
    unsigned *count; /* 3 a pixel */
};

/* --- faults --- */

static enum status refuse(const struct raw_file *raw, const char *seen, struct error *error)
{
    return error_set(error, STATUS_FORMAT,
                     "%s: %s; a camera's raw file that LibRaw %s reads is wanted: save it as DNG "
                     "without JPEG XL or loss, or export the photo as TIFF, JPEG or PNG",
                     raw->path, seen, libraw_version());
}

static enum status report(const struct raw_file *raw, int code, struct error *error)
{
    char seen[200];

    if (code == LIBRAW_SUCCESS && !raw->damaged)
        return STATUS_OK;
    if (code == LIBRAW_UNSUFFICIENT_MEMORY)
        return error_set(error, STATUS_MEMORY, "%s: out of memory to decode it", raw->path);
    if (code == LIBRAW_TOO_BIG)
        return error_set(error, STATUS_FORMAT,
                         "%s: is a raw file that takes more than %lld MB to decode: export the "
                         "photo as TIFF, JPEG or PNG",
                         raw->path, PHOTO_WHOLE_BYTES_MAX >> 20);
    if (code == LIBRAW_IO_ERROR || code == LIBRAW_DATA_ERROR || raw->damaged)
        return refuse(raw, "is a raw file that is cut short or damaged", error);
    snprintf(seen, sizeof seen,
             "is a raw file, or holds a preview, of a kind that can't be read (%.100s)",
             libraw_strerror(code));
    return refuse(raw, seen, error);
}

static void on_fault(void *user, const char *file, const int offset)
{
    struct raw_file *raw = user;

    (void)file;
    (void)offset;
    raw->damaged = true;
}

/* --- the header --- */

/* LibRaw counts mirrored left to right, mirrored top to bottom and lines for columns as 1, 2, 4. */
static int orientation_of(int flip)
{
    static const int orientations[8] = {1, 2, 4, 3, 5, 8, 6, 7};

    return orientations[flip & 7];
}

/* LibRaw took the camera's time for one of this machine's clock; what it shows is the camera's. */
static void note_time(const libraw_data_t *raw, struct header *header)
{
    time_t taken = raw->other.timestamp;
    struct tm date;

    if (!header->original[0] && taken > 0 && localtime_r(&taken, &date))
        strftime(header->original, sizeof header->original, "%Y:%m:%d %H:%M:%S", &date);
}

static enum status check_kind(const struct raw_file *raw, struct error *error)
{
    const libraw_data_t *data = raw->raw;
    unsigned filters = data->idata.filters;

    if (data->idata.is_foveon || data->rawdata.ioparams.fuji_width ||
        (filters && filters != XTRANS_FILTERS && filters < BAYER_FILTERS_MIN))
        return refuse(raw, "is of a sensor that is laid out in another way than rows of squares",
                      error);
    if (data->idata.colors != LINE_COLOURS)
        return refuse(raw, "has other than three colours", error);
    return STATUS_OK;
}

static void note_mosaic(struct raw_file *raw)
{
    for (int y = 0; y < MOSAIC_PERIOD; y++)
        for (int x = 0; x < MOSAIC_PERIOD; x++)
            raw->colour[y][x] = (unsigned char)(libraw_COLOR(raw->raw, y, x) & (COLOURS - 1));
}

/* The least side of a square that holds every colour. */
static int least_square(const libraw_data_t *raw)
{
    if (!raw->idata.filters)
        return 1;
    return raw->idata.filters == XTRANS_FILTERS ? 3 : 2;
}

enum status raw_file_open(FILE *file, const char *path, void **decoder, struct header *header,
                          struct error *error)
{
    struct raw_file *opened = memory_array(1, sizeof *opened, "a raw decoder", error);
    enum status status;

    *decoder = opened;
    if (!opened)
        return error->status;
    opened->file = file;
    opened->path = path;
    opened->header = header;
    opened->raw = libraw_init(LIBRAW_OPIONS_NO_MEMERR_CALLBACK | LIBRAW_OPIONS_NO_DATAERR_CALLBACK);
    if (!opened->raw)
        return error_set(error, STATUS_MEMORY, "%s: out of memory to decode it", path);
    libraw_set_dataerror_handler(opened->raw, on_fault, opened);
    opened->raw->params.max_raw_memory_mb = (unsigned)(PHOTO_WHOLE_BYTES_MAX >> 20);
    status = report(opened, libraw_open_file(opened->raw, path), error);
    if (!status)
        status = check_kind(opened, error);
    if (status)
        return status;
    note_mosaic(opened);
    note_time(opened->raw, header);
    header->raw = true;
    header->width_px = opened->raw->sizes.width;
    header->height_px = opened->raw->sizes.height;
    header->orientation = orientation_of(opened->raw->sizes.flip);
    header->square_px = least_square(opened->raw);
    return STATUS_OK;
}

void raw_file_scale(struct header *header, long long pixels_max)
{
    int side = header->square_px;

    while (pixels_max > 0 && side < SQUARE_MAX &&
           (long long)(header->width_px / side) * (header->height_px / side) > pixels_max)
        side++;
    header_hand_over(header, header->width_px / side, header->height_px / side, side);
}

/* --- the picture --- */

/* What the sensor answers where no light falls on it, at a place of the picture. */
static double black_at(const libraw_colordata_t *colour, int x, int y, int colour_index)
{
    unsigned rows = colour->cblack[4], columns = colour->cblack[5];
    unsigned black = colour->black + colour->cblack[colour_index];

    if (rows && columns)
        black += colour->cblack[6 + (unsigned)y % rows * columns + (unsigned)x % columns];
    return black;
}

/* Light from 0 to 1 of one value of the sensor. */
static double light_of(const libraw_colordata_t *colour, double value, double black)
{
    double white = colour->maximum;

    return white > black ? fmin(fmax((value - black) / (white - black), 0), 1) : 0;
}

static void add(struct sums *sums, int pixel, int colour, double light)
{
    int channel = colour == COLOURS - 1 ? 1 : colour;

    sums->light[pixel * LINE_COLOURS + channel] += light;
    sums->count[pixel * LINE_COLOURS + channel]++;
}

static void sum_mosaic_line(const struct raw_file *raw, int y, int side, struct sums *sums)
{
    const libraw_rawdata_t *data = &raw->raw->rawdata;
    const ushort *line = data->raw_image +
                         (size_t)(y + data->sizes.top_margin) * (data->sizes.raw_pitch / 2) +
                         data->sizes.left_margin;
    const unsigned char *colours = raw->colour[y % MOSAIC_PERIOD];
    int width_px = raw->header->decoded_width_px * side;
    double black[MOSAIC_PERIOD];

    for (int x = 0; x < MOSAIC_PERIOD; x++)
        black[x] = black_at(&data->color, x, y, colours[x]);
    for (int x = 0; x < width_px; x++)
        add(sums, x / side, colours[x % MOSAIC_PERIOD],
            light_of(&data->color, line[x], black[x % MOSAIC_PERIOD]));
}

/* All colours a pixel: three samples beside each other, or four. */
static void sum_full_line(const struct raw_file *raw, int y, int side, struct sums *sums)
{
    const libraw_rawdata_t *data = &raw->raw->rawdata;
    size_t samples = data->color3_image ? 3 : 4;
    const ushort *all = data->color3_image ? *data->color3_image : *data->color4_image;
    const ushort *line = all + (size_t)(y + data->sizes.top_margin) * (data->sizes.raw_pitch / 2) +
                         data->sizes.left_margin * samples;
    int width_px = raw->header->decoded_width_px * side;

    for (int x = 0; x < width_px; x++)
        for (int k = 0; k < LINE_COLOURS; k++)
            add(sums, x / side, k,
                light_of(&data->color, line[(size_t)x * samples + (size_t)k],
                         black_at(&data->color, x, y, k)));
}

static void take_line(const struct raw_file *raw, struct sums *sums, struct rows *rows)
{
    int samples = raw->header->decoded_width_px * LINE_COLOURS;
    uint16_t *to = rows_line(rows);

    for (int i = 0; i < samples; i++)
        to[i] = (uint16_t)(sqrt(sums->light[i] / sums->count[i]) * IMAGE_SAMPLE_MAX + 0.5);
    memset(sums->light, 0, (size_t)samples * sizeof *sums->light);
    memset(sums->count, 0, (size_t)samples * sizeof *sums->count);
    rows_add(rows);
}

static enum status take_lines(const struct raw_file *raw, struct rows *rows, struct error *error)
{
    const struct header *header = raw->header;
    size_t samples = (size_t)header->decoded_width_px * LINE_COLOURS;
    int side = (int)header->scale;
    struct sums sums = {memory_array(samples, sizeof *sums.light, "a raw picture", error),
                        memory_array(samples, sizeof *sums.count, "a raw picture", error)};
    bool allocated = sums.light && sums.count;

    for (int y = 0; allocated && y < header->decoded_height_px * side; y++) {
        if (raw->raw->rawdata.raw_image)
            sum_mosaic_line(raw, y, side, &sums);
        else
            sum_full_line(raw, y, side, &sums);
        if (y % side == side - 1)
            take_line(raw, &sums, rows);
    }
    rows_finish(rows);
    free(sums.light);
    free(sums.count);
    return allocated ? STATUS_OK : error->status;
}

enum status raw_file_decode(void *decoder, struct rows *rows, struct error *error)
{
    struct raw_file *raw = decoder;
    const libraw_rawdata_t *data = &raw->raw->rawdata;
    enum status status = report(raw, libraw_unpack(raw->raw), error);

    if (!status && !data->raw_image && !data->color3_image && !data->color4_image)
        status = refuse(raw, "holds its picture in a way that is not read", error);
    if (!status && (raw->raw->sizes.width != raw->header->width_px ||
                    raw->raw->sizes.height != raw->header->height_px))
        status = refuse(raw, "is damaged (its picture is not of the size it states)", error);
    return status ? status : take_lines(raw, rows, error);
}

void raw_file_close(void *decoder)
{
    struct raw_file *raw = decoder;

    if (raw && raw->raw)
        libraw_close(raw->raw);
    free(raw);
}

#endif
