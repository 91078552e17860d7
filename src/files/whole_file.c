#include "files/whole_file.h"

#include "files/mark.h"

#include <errno.h>
#include <fcntl.h>
#include <stdbool.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>
#include <unistd.h>

#define ENDINGS_MAX 3
#define SQLITE_SIGNATURE "SQLite format 3"

struct whole_file_kind {
    const char *what;
    const char *endings[ENDINGS_MAX + 1]; /* NULL behind the last */
    const char *last_line; /* that bears the mark; NULL where whoever writes puts it elsewhere */
    bool unmarked;
};

const struct whole_file_kind whole_file_png = {.what = "a PNG picture", .endings = {".png"}};
const struct whole_file_kind whole_file_jpeg_or_png = {.what = "a JPEG or PNG picture",
                                                       .endings = {".jpg", ".jpeg", ".png"}};
const struct whole_file_kind whole_file_svg = {
    .what = "an SVG drawing", .endings = {".svg"}, .last_line = "<!-- " MARK_TEXT " -->\n"};
const struct whole_file_kind whole_file_pdf = {
    .what = "a PDF document", .endings = {".pdf"}, .last_line = "% " MARK_TEXT "\n"};
const struct whole_file_kind whole_file_html = {
    .what = "an HTML page", .endings = {".html", ".htm"}, .last_line = "<!-- " MARK_TEXT " -->\n"};
const struct whole_file_kind whole_file_icc = {.what = "an ICC profile",
                                               .endings = {".icc", ".icm"}};
const struct whole_file_kind whole_file_csv = {
    .what = "a CSV file", .endings = {".csv"}, .unmarked = true};

/* --- what may be replaced ------------------------------------------------------------------- */

static const char *name_in(const char *path)
{
    const char *slash = strrchr(path, '/');

    return slash ? slash + 1 : path;
}

static bool ends_with(const char *path, const char *ending)
{
    const char *name = name_in(path);
    size_t length = strlen(name), wanted = strlen(ending);

    return length > wanted && !strcasecmp(name + length - wanted, ending);
}

static enum status check_ending(const struct whole_file_plan *plan, struct error *error)
{
    const char *const *ending = plan->kind->endings;

    for (int i = 0; ending[i]; i++)
        if (ends_with(plan->path, ending[i]))
            return STATUS_OK;
    return error_set(error, STATUS_USAGE, "%s: %s is written here: end the name in %s%s%s",
                     plan->path, plan->kind->what, ending[0], ending[1] ? " or " : "",
                     ending[1] ? ending[2] ? ending[2] : ending[1] : "");
}

static enum status refuse(const char *path, const char *seen, struct error *error)
{
    return error_set(error, STATUS_FILE,
                     "%s: %s, which woad does not replace: choose another name, or move it away "
                     "first",
                     path, seen);
}

/* What is there may be replaced if it is empty or bears the mark. */
static enum status check_content(const struct whole_file_plan *plan, int descriptor, off_t size,
                                 struct error *error)
{
    unsigned char head[MARK_HEAD_BYTES], tail[MARK_TAIL_BYTES];
    off_t from = size > MARK_TAIL_BYTES ? size - MARK_TAIL_BYTES : 0;
    ssize_t head_bytes = pread(descriptor, head, sizeof head, 0);
    ssize_t tail_bytes = pread(descriptor, tail, sizeof tail, from);

    if (size == 0)
        return STATUS_OK;
    if (head_bytes < 0 || tail_bytes < 0)
        return refuse(plan->path, "is there already, and can't be read", error);
    if ((size_t)head_bytes > sizeof SQLITE_SIGNATURE &&
        !memcmp(head, SQLITE_SIGNATURE, sizeof SQLITE_SIGNATURE))
        return refuse(plan->path, "is an inventory or another database", error);
    if (plan->kind->unmarked)
        return refuse(plan->path, "is there already, and may be someone's own work", error);
    if (mark_is_in(head, (size_t)head_bytes) || mark_is_in(tail, (size_t)tail_bytes))
        return STATUS_OK;
    return refuse(plan->path, "is there already, and is nothing that woad made", error);
}

static enum status check_target(const struct whole_file_plan *plan, struct error *error)
{
    struct stat facts;
    enum status status;
    int descriptor;

    if (lstat(plan->path, &facts))
        return STATUS_OK; /* nothing there; where nothing can be, opening it says so */
    if (S_ISLNK(facts.st_mode))
        return refuse(plan->path, "is a symbolic link", error);
    if (S_ISDIR(facts.st_mode))
        return refuse(plan->path, "is a folder", error);
    if (!S_ISREG(facts.st_mode))
        return refuse(plan->path, "is a device or pipe", error);
    descriptor = open(plan->path, O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC);
    if (descriptor < 0)
        return refuse(plan->path, "is there already, and can't be read", error);
    status = check_content(plan, descriptor, facts.st_size, error);
    close(descriptor);
    return status;
}

static bool folder_of(const char *path, struct stat *facts)
{
    char folder[1024] = ".";
    size_t length = (size_t)(name_in(path) - path);

    if (length >= sizeof folder)
        return false;
    if (length) {
        memcpy(folder, path, length);
        folder[length] = '\0';
    }
    return !stat(folder, facts);
}

/* Files that are not there yet are the same if their folder and their names are. */
static bool same_place(const char *a, const char *b)
{
    struct stat at_a, at_b;

    return !strcmp(name_in(a), name_in(b)) && folder_of(a, &at_a) && folder_of(b, &at_b) &&
           at_a.st_dev == at_b.st_dev && at_a.st_ino == at_b.st_ino;
}

enum status whole_file_check(const struct whole_file_plan *plans, size_t count, struct error *error)
{
    enum status status = STATUS_OK;

    for (size_t i = 0; !status && i < count; i++) {
        if (!plans[i].path)
            continue;
        status = check_ending(&plans[i], error);
        if (!status)
            status = check_target(&plans[i], error);
        for (size_t j = 0; !status && j < i; j++)
            if (plans[j].path && same_place(plans[i].path, plans[j].path))
                status = error_set(error, STATUS_USAGE,
                                   "%s: two files are to be written under this name: choose "
                                   "another for one of them",
                                   plans[i].path);
    }
    return status;
}

/* --- writing -------------------------------------------------------------------------------- */

enum status whole_file_begin(const char *path, const struct whole_file_kind *kind,
                             struct whole_file *file, struct error *error)
{
    const struct whole_file_plan plan = {path, kind};
    enum status status = whole_file_check(&plan, 1, error);
    int descriptor;

    memset(file, 0, sizeof *file);
    if (status)
        return status;
    if (strlen(path) >= sizeof file->path)
        return error_set(error, STATUS_FILE,
                         "%s: the path is longer than 1023 bytes: choose a shorter one", path);
    file->kind = kind;
    snprintf(file->path, sizeof file->path, "%s", path);
    snprintf(file->temporary, sizeof file->temporary, "%s.%ld.part", path, (long)getpid());
    unlink(file->temporary); /* of a run that was killed */
    descriptor = open(file->temporary, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (descriptor >= 0)
        file->stream = fdopen(descriptor, "wb");
    if (file->stream)
        return STATUS_OK;
    error_set(error, STATUS_FILE, "%s: can't be written (%s): choose another place", path,
              strerror(errno));
    if (descriptor >= 0) {
        close(descriptor);
        unlink(file->temporary);
    }
    return error->status;
}

enum status whole_file_end(struct whole_file *file, enum status status, struct error *error)
{
    int failed = 0;

    if (!status && file->kind->last_line)
        fputs(file->kind->last_line, file->stream);
    failed = ferror(file->stream);
    failed |= fclose(file->stream);
    if (!status && (failed || rename(file->temporary, file->path)))
        status = error_set(error, STATUS_FILE,
                           "%s: can't be written to its end (%s): check the disk's free space",
                           file->path, strerror(errno));
    if (status)
        unlink(file->temporary);
    memset(file, 0, sizeof *file);
    return status;
}
