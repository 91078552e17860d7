#include "progress.h"

#include <stdio.h>
#include <string.h>
#include <sys/ioctl.h>
#include <time.h>
#include <unistd.h>

#define BAR_COLUMNS 24
#define LINE_COLUMNS_MAX 160
#define COLUMNS_UNTOLD 80

static double seconds_now(void)
{
    struct timespec now;

    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static int terminal_columns(void)
{
    struct winsize size;

    if (ioctl(STDERR_FILENO, TIOCGWINSZ, &size) || !size.ws_col)
        return COLUMNS_UNTOLD;
    return size.ws_col < LINE_COLUMNS_MAX ? size.ws_col : LINE_COLUMNS_MAX;
}

void progress_begin(struct progress *progress, int total)
{
    *progress = (struct progress){.wanted = total > 1 && isatty(STDERR_FILENO),
                                  .columns = terminal_columns(),
                                  .total = total,
                                  .started = seconds_now()};
}

/* Rough figures: a finer one would only jump about. */
static void write_left(double seconds, char *text, size_t size)
{
    if (seconds < 5)
        snprintf(text, size, "a few seconds left");
    else if (seconds < 55)
        snprintf(text, size, "about %d seconds left", 10 * (int)(seconds / 10 + 1));
    else if (seconds < 90)
        snprintf(text, size, "about a minute left");
    else if (seconds < 55 * 60)
        snprintf(text, size, "about %d minutes left", (int)(seconds / 60 + 0.5));
    else if (seconds < 90 * 60)
        snprintf(text, size, "about an hour left");
    else
        snprintf(text, size, "about %d hours left", (int)(seconds / 3600 + 0.5));
}

static void write_counts(const struct progress *progress, char *text, size_t size)
{
    char failed[32] = "", left[32] = "";
    double elapsed = seconds_now() - progress->started;

    if (progress->failed)
        snprintf(failed, sizeof failed, ", %d failed", progress->failed);
    if (progress->done)
        write_left(elapsed / progress->done * (progress->total - progress->done), left,
                   sizeof left);
    snprintf(text, size, "%d of %d photos done%s%s%s", progress->done, progress->total, failed,
             left[0] ? ", " : "", left);
}

void progress_draw(struct progress *progress)
{
    char bar[BAR_COLUMNS + 1], counts[120], line[LINE_COLUMNS_MAX];
    int filled = progress->wanted ? BAR_COLUMNS * progress->done / progress->total : 0;
    int room = progress->columns - 1; /* a line that reaches the end would wrap */

    if (!progress->wanted)
        return;
    memset(bar, '.', BAR_COLUMNS);
    memset(bar, '#', (size_t)filled);
    bar[BAR_COLUMNS] = '\0';
    write_counts(progress, counts, sizeof counts);
    snprintf(line, sizeof line, "[%s] %s", bar, counts);
    fprintf(stderr, "\r%-*.*s", room, room, line);
    fflush(stderr);
    progress->drawn = true;
}

void progress_erase(struct progress *progress)
{
    if (!progress->drawn)
        return;
    fprintf(stderr, "\r%*s\r", progress->columns - 1, "");
    fflush(stderr);
    progress->drawn = false;
}
