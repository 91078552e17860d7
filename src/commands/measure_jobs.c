#include "measure.h"

#include "interruption.h"
#include "progress.h"

#include "base/memory.h"
#include "base/utf8.h"
#include "files/temporary.h"
#include "output/rows.h"

#include <errno.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

/* One photo's process. */
struct job {
    pid_t process;
    FILE *out;
    FILE *notes;
    FILE *report; /* the process's struct measure_outcome */
    bool done;
    bool dropped; /* interrupted before it came to an end */
};

/* The photos in their order; those before `printed` are done with, those from `started` wait. */
struct line {
    const struct measure_run *run;
    char **paths;
    struct job *jobs;
    struct measure_outcome *outcomes;
    int count;
    int started;
    int printed;
    int running;
    int interrupted; /* the signal; 0: none */
    bool any_rows;
    struct progress progress;
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
    const struct measured_chart none = {0};
    struct table table = {0};
    struct error error;

    /* no rows need no memory, so this can't fail */
    if (!rows_of_measurement("", &none, NULL, &table, &error))
        table_write_csv_header(&table, stdout);
}

static void print_head(const char *path, bool any_rows)
{
    if (any_rows)
        putchar('\n');
    utf8_put(path, stdout);
    putchar('\n');
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
        print_head(path, line->any_rows);
    line->any_rows = true;
}

static void print_job(struct line *line, int i)
{
    struct job *job = &line->jobs[i];

    if (job->dropped)
        return;
    fflush(stdout);
    copy_and_close(&job->notes, stderr);
    if (!line->outcomes[i].status)
        print_opening(line, line->paths[i]);
    copy_and_close(&job->out, stdout);
}

static void print_ready(struct line *line)
{
    if (line->printed < line->started && line->jobs[line->printed].done)
        progress_erase(&line->progress);
    for (; line->printed < line->started && line->jobs[line->printed].done; line->printed++)
        print_job(line, line->printed);
    fflush(stdout);
}

static void print_closing(const struct line *line)
{
    if (line->run->settings.format == TABLE_JSON)
        fputs(line->any_rows ? "\n]}\n" : "{\"photos\": []}\n", stdout);
}

/* --- one photo ------------------------------------------------------------------------------ */

static void close_files(struct job *job)
{
    FILE **files[] = {&job->out, &job->notes, &job->report};

    for (int i = 0; i < 3; i++) {
        if (*files[i])
            fclose(*files[i]);
        *files[i] = NULL;
    }
}

static enum status refuse_temporary(void)
{
    fprintf(stderr, "woad: no temporary file can be made (%s); check $TMPDIR and the disk's room\n",
            strerror(errno));
    return STATUS_FILE;
}

static bool open_files(struct job *job)
{
    job->out = temporary_open();
    job->notes = temporary_open();
    job->report = temporary_open();
    return job->out && job->notes && job->report;
}

/* Measure into a temporary file, and see that the file took it. */
static void measure_into(const struct measure_run *run, const char *path, FILE *out, FILE *notes,
                         struct measure_outcome *outcome)
{
    enum status status = measure_photo(run, path, out, notes, outcome);
    char shown[PHOTO_PATH_BYTES_MAX + 1];
    int fault;

    if (fflush(out) == 0 && !ferror(out))
        return;
    fault = errno;
    outcome->status = status ? status : STATUS_FILE;
    utf8_show(path, shown, sizeof shown);
    snprintf(outcome->reason, sizeof outcome->reason,
             "%s: the rows can't be kept for printing (%s); make room on the disk", shown,
             strerror(fault));
    fprintf(notes, "woad: %s\n", outcome->reason);
}

/* What is stored is reported: from before the one until after the other nothing interrupts. */
static void measure_as_child(const struct line *line, const struct job *job, const char *path)
{
    struct measure_outcome outcome = {0};

    interruption_allow();
    measure_into(line->run, path, job->out, job->notes, &outcome);
    fwrite(&outcome, sizeof outcome, 1, job->report);
    fflush(job->report);
    fflush(job->notes);
    _exit((int)outcome.status);
}

static void end_job(struct line *line, int i)
{
    line->jobs[i].done = true;
    line->progress.done += !line->jobs[i].dropped;
    line->progress.failed += line->outcomes[i].status != STATUS_OK;
}

/* For what a photo's own process could not tell any more, or never started to. */
static void refuse_job(struct line *line, int i, enum status status, const char *reason)
{
    struct measure_outcome *outcome = &line->outcomes[i];
    FILE *notes = line->jobs[i].notes;
    char shown[PHOTO_PATH_BYTES_MAX + 1];

    utf8_show(line->paths[i], shown, sizeof shown);
    *outcome = (struct measure_outcome){.status = status};
    snprintf(outcome->reason, sizeof outcome->reason, "%s: %s", shown, reason);
    if (notes)
        fseek(notes, 0, SEEK_END);
    fprintf(notes ? notes : stderr, "woad: %s\n", outcome->reason);
    end_job(line, i);
}

static void start_job(struct line *line, int i)
{
    struct job *job = &line->jobs[i];
    char reason[200];

    if (!open_files(job)) {
        snprintf(reason, sizeof reason,
                 "no temporary file can be made (%s); check $TMPDIR and the "
                 "disk's room",
                 strerror(errno));
        close_files(job);
        refuse_job(line, i, STATUS_FILE, reason);
        return;
    }
    fflush(stdout);
    fflush(stderr);
    job->process = fork();
    if (job->process == 0)
        measure_as_child(line, job, line->paths[i]);
    if (job->process > 0) {
        line->running++;
        return;
    }
    snprintf(reason, sizeof reason, "no further process can be started (%s); lower --jobs",
             strerror(errno));
    refuse_job(line, i, STATUS_MEMORY, reason);
}

/* --- several -------------------------------------------------------------------------------- */

/* The process's own report; without one it did not come to an end. */
static void take_ending(struct line *line, int i, int ending)
{
    struct job *job = &line->jobs[i];
    char reason[200];

    line->running--;
    rewind(job->report);
    if (fread(&line->outcomes[i], sizeof *line->outcomes, 1, job->report) == 1 &&
        WIFEXITED(ending)) {
        end_job(line, i);
    } else if (line->interrupted) {
        line->outcomes[i] = (struct measure_outcome){.status = STATUS_OK};
        job->dropped = true;
        end_job(line, i);
    } else {
        snprintf(reason, sizeof reason,
                 "its process was ended by signal %d, as happens when memory runs out; measure "
                 "fewer photos at a time with --jobs",
                 WIFSIGNALED(ending) ? WTERMSIG(ending) : 0);
        refuse_job(line, i, STATUS_MEMORY, reason);
    }
}

static void take_endings(struct line *line)
{
    int ending = 0;
    pid_t process;

    while ((process = waitpid(-1, &ending, WNOHANG)) > 0)
        for (int i = line->printed; i < line->started; i++)
            if (!line->jobs[i].done && line->jobs[i].process == process)
                take_ending(line, i, ending);
}

static void start_more(struct line *line, int at_once)
{
    /* a slow photo holds up the printing of those behind it; do not gather too many open files */
    int ahead = 4 * at_once;

    while (!line->interrupted && line->started < line->count && line->running < at_once &&
           line->started - line->printed < ahead)
        start_job(line, line->started++);
}

/* What is being stored comes to its end, the rest drops what it does. */
static void interrupt(struct line *line, int signal)
{
    line->interrupted = signal;
    for (int i = line->printed; i < line->started; i++)
        if (!line->jobs[i].done)
            kill(line->jobs[i].process, signal);
}

static void work_off(struct line *line, int at_once)
{
    while (line->running || (!line->interrupted && line->printed < line->count)) {
        int signal;

        start_more(line, at_once);
        progress_draw(&line->progress);
        signal = line->running ? interruption_wait() : 0;
        if (signal)
            interrupt(line, signal);
        take_endings(line);
        print_ready(line);
    }
    progress_erase(&line->progress);
}

static enum status measure_several(const struct measure_run *run, int count, char **paths)
{
    int at_once = run->settings.jobs < count ? run->settings.jobs : count;
    enum status fault = STATUS_OK;
    struct error error;
    struct line line = {.run = run, .paths = paths, .count = count};

    line.jobs = memory_array((size_t)count, sizeof *line.jobs, "the photos' processes", &error);
    line.outcomes =
        memory_array((size_t)count, sizeof *line.outcomes, "the photos' outcomes", &error);
    if (!line.jobs || !line.outcomes) {
        free(line.jobs);
        free(line.outcomes);
        return (enum status)commands_report(error.status, &error);
    }
    interruption_hold();
    progress_begin(&line.progress, count);
    work_off(&line, at_once);
    print_closing(&line);
    fflush(stdout);
    measure_note_summary(run, line.outcomes, line.progress.done, count);
    for (int i = 0; i < count && !fault; i++)
        fault = line.outcomes[i].status;
    for (int i = 0; i < count; i++)
        close_files(&line.jobs[i]);
    free(line.jobs);
    free(line.outcomes);
    if (line.interrupted)
        return (enum status)interruption_obey(line.interrupted);
    interruption_allow();
    return fault;
}

/* A photo by itself needs no process, and its notes are seen as they come. */
static enum status measure_single(const struct measure_run *run, char **paths)
{
    struct job job = {.out = temporary_open()};
    struct measure_outcome outcome = {0};
    struct line line = {.run = run, .paths = paths, .count = 1, .jobs = &job, .outcomes = &outcome};

    if (!job.out)
        return refuse_temporary();
    measure_into(run, paths[0], job.out, stderr, &outcome);
    interruption_allow();
    print_job(&line, 0);
    print_closing(&line);
    return outcome.status;
}

enum status measure_all(const struct measure_run *run, int count, char **paths)
{
    return count > 1 ? measure_several(run, count, paths) : measure_single(run, paths);
}
