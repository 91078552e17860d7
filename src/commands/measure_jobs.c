#include "measure.h"

#include "base/memory.h"
#include "output/rows.h"

#include <errno.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

/* One photo's process, or its place in the line if photos are measured one by one. */
struct job {
    pid_t process;
    FILE *out;
    FILE *notes;
    bool done;
    enum status status;
};

/* The photos in their order; those before `printed` are done with, those from `started` wait. */
struct line {
    const struct measure_run *run;
    char **paths;
    struct job *jobs;
    int count;
    int started;
    int printed;
    int running;
    bool any_rows;
    enum status first_fault;
};

/* --- printing in order ---------------------------------------------------------------------- */

static void copy_and_close(FILE **from, FILE *to)
{
    char buffer[4096];
    size_t length;

    if (!*from)
        return;
    rewind(*from);
    while ((length = fread(buffer, 1, sizeof buffer, *from)) > 0)
        fwrite(buffer, 1, length, to);
    fclose(*from);
    *from = NULL;
}

static void print_csv_header(void)
{
    const struct measurement none = {0};
    struct table table = {0};
    struct error error;

    /* no rows need no memory, so this can't fail */
    if (!rows_of_measurement("", &none, NULL, &table, &error))
        table_write_csv_header(&table, stdout);
}

/* What stands before a photo's rows, if the photo gave any. */
static void print_opening(struct line *line, const char *path)
{
    enum table_format format = line->run->settings.format;

    if (format == TABLE_JSON)
        fputs(line->any_rows ? ",\n" : "{\"photos\": [\n", stdout);
    else if (format == TABLE_CSV && !line->any_rows)
        print_csv_header();
    else if (format == TABLE_TEXT && line->count > 1)
        printf("%s%s\n", line->any_rows ? "\n" : "", path);
    line->any_rows = true;
}

static void print_ready(struct line *line)
{
    for (; line->printed < line->started && line->jobs[line->printed].done; line->printed++) {
        struct job *job = &line->jobs[line->printed];

        fflush(stdout);
        copy_and_close(&job->notes, stderr);
        if (!job->status)
            print_opening(line, line->paths[line->printed]);
        copy_and_close(&job->out, stdout);
        if (job->status && !line->first_fault)
            line->first_fault = job->status;
    }
    fflush(stdout);
}

static void print_closing(const struct line *line)
{
    if (line->run->settings.format == TABLE_JSON)
        fputs(line->any_rows ? "\n]}\n" : "{\"photos\": []}\n", stdout);
}

/* --- one photo ------------------------------------------------------------------------------ */

static enum status temporary_file(FILE **file, FILE *notes)
{
    *file = tmpfile();
    if (*file)
        return STATUS_OK;
    fprintf(notes, "woad: no temporary file can be made (%s); check $TMPDIR and the disk's room\n",
            strerror(errno));
    return STATUS_FILE;
}

/* Measure into a temporary file, and see that the file took it. */
static enum status measure_into(const struct measure_run *run, const char *path, FILE *out,
                                FILE *notes)
{
    enum status status = measure_photo(run, path, out, notes);

    if (fflush(out) == 0 && !ferror(out))
        return status;
    fprintf(notes, "woad: %s: the rows can't be kept for printing (%s); make room on the disk\n",
            path, strerror(errno));
    return status ? status : STATUS_FILE;
}

static void measure_here(struct line *line, struct job *job, const char *path)
{
    job->status = temporary_file(&job->out, stderr);
    if (!job->status)
        job->status = measure_into(line->run, path, job->out, stderr);
    job->done = true;
}

static void measure_as_child(const struct line *line, const struct job *job, const char *path)
{
    enum status status = measure_into(line->run, path, job->out, job->notes);

    fflush(job->notes);
    _exit((int)status);
}

static void start_process(struct line *line, struct job *job, const char *path)
{
    job->status = temporary_file(&job->out, stderr);
    if (!job->status)
        job->status = temporary_file(&job->notes, stderr);
    job->done = job->status != STATUS_OK;
    if (job->done)
        return;
    fflush(stdout);
    fflush(stderr);
    job->process = fork();
    if (job->process == 0)
        measure_as_child(line, job, path);
    if (job->process > 0) {
        line->running++;
        return;
    }
    fprintf(job->notes, "woad: %s: no further process can be started (%s); lower --jobs\n", path,
            strerror(errno));
    job->status = STATUS_MEMORY;
    job->done = true;
}

/* --- several -------------------------------------------------------------------------------- */

static void take_ending(struct job *job, const char *path, int ending)
{
    job->done = true;
    if (WIFEXITED(ending)) {
        job->status = (enum status)WEXITSTATUS(ending);
        return;
    }
    job->status = STATUS_MEMORY;
    fseek(job->notes, 0, SEEK_END);
    fprintf(job->notes,
            "woad: %s: its process was ended by signal %d, as happens when memory runs out; "
            "measure fewer photos at a time with --jobs\n",
            path, WTERMSIG(ending));
}

static void wait_for_one(struct line *line)
{
    int ending = 0;
    pid_t process = waitpid(-1, &ending, 0);

    for (int i = line->printed; process > 0 && i < line->started; i++) {
        if (line->jobs[i].done || line->jobs[i].process != process)
            continue;
        take_ending(&line->jobs[i], line->paths[i], ending);
        line->running--;
    }
}

static void start_more(struct line *line, int at_once)
{
    /* a slow photo holds up the printing of those behind it; do not gather too many open files */
    int ahead = 4 * at_once;

    while (line->started < line->count && line->running < at_once &&
           line->started - line->printed < ahead) {
        struct job *job = &line->jobs[line->started];
        const char *path = line->paths[line->started++];

        if (at_once > 1)
            start_process(line, job, path);
        else
            measure_here(line, job, path);
        if (at_once == 1)
            print_ready(line);
    }
}

enum status measure_all(const struct measure_run *run, int count, char **paths)
{
    int wanted = run->settings.jobs;
    int at_once = wanted < count ? wanted : count;
    struct error error;
    struct line line = {.run = run, .paths = paths, .count = count};

    line.jobs = memory_array((size_t)count, sizeof *line.jobs, "the photos' processes", &error);
    if (!line.jobs)
        return (enum status)commands_report(error.status, &error);
    while (line.printed < count) {
        start_more(&line, at_once);
        if (line.running)
            wait_for_one(&line);
        print_ready(&line);
    }
    print_closing(&line);
    free(line.jobs);
    return line.first_fault;
}
