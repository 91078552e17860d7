/*
 * The whole measurement side by side with decoding alone: time and peak memory.
 * The two run by turns, so that a busy machine slows both. A report: nothing fails by it.
 */

#define _DEFAULT_SOURCE /* wait4 */

#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#define ROUNDS 9
#define PROGRAMS 2

struct program {
    const char *label;
    char *words[8];
    double seconds[ROUNDS];
    long peak_kilobytes;
};

static double now_seconds(void)
{
    struct timespec now;

    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

/* Become the program, its output thrown away. */
static void become(char *const *words)
{
    int nowhere = open("/dev/null", O_WRONLY);

    dup2(nowhere, STDOUT_FILENO);
    dup2(nowhere, STDERR_FILENO);
    execvp(words[0], words);
    _exit(127);
}

static void run(struct program *program, int round)
{
    struct rusage usage;
    double started = now_seconds();
    int status;
    pid_t child = fork();

    if (!child)
        become(program->words);
    if (child < 0 || wait4(child, &status, 0, &usage) < 0 || status) {
        fprintf(stderr, "%s did not run to a good end\n", program->words[0]);
        exit(1);
    }
    program->seconds[round] = now_seconds() - started;
    if (usage.ru_maxrss > program->peak_kilobytes)
        program->peak_kilobytes = usage.ru_maxrss;
}

static int by_size(const void *first, const void *second)
{
    double a = *(const double *)first, b = *(const double *)second;

    return (a > b) - (a < b);
}

static double median(double *seconds)
{
    qsort(seconds, ROUNDS, sizeof *seconds, by_size);
    return seconds[ROUNDS / 2];
}

int main(int argc, char **argv)
{
    double medians[PROGRAMS];

    if (argc != 3) {
        fputs("usage: bench WOAD PHOTO\n", stderr);
        return 1;
    }
    struct program programs[PROGRAMS] = {
        {.label = "djpeg (decoding alone)", .words = {"djpeg", "-outfile", "/dev/null", argv[2]}},
        {.label = "woad measure", .words = {argv[1], "measure", "--dry-run", argv[2]}}};

    for (int round = 0; round < ROUNDS; round++)
        for (int i = 0; i < PROGRAMS; i++)
            run(&programs[i], round);
    printf("%s, %d runs of each by turns:\n", argv[2], ROUNDS);
    for (int i = 0; i < PROGRAMS; i++) {
        medians[i] = median(programs[i].seconds);
        printf("%-24s median %6.3f s, fastest %6.3f s, peak memory %5.1f MB\n", programs[i].label,
               medians[i], programs[i].seconds[0], (double)programs[i].peak_kilobytes / 1024.0);
    }
    printf("%-24s %.2f\n", "ratio of the medians", medians[1] / medians[0]);
    return 0;
}
