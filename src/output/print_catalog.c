#include "print_catalog.h"

#include <stdlib.h>
#include <string.h>

/* Where the catalog stands in the PDF, and what its trailer says. */
struct catalog {
    long number; /* of the object */
    long size;   /* how many objects there are */
    long info;   /* the object that says of the document what it is */
    long table;  /* where the cross-reference table begins */
    const char *entries;
    int length;
};

/* The last place of a word in the bytes; NULL: none. */
static const char *find_last(const char *bytes, size_t size, const char *word)
{
    size_t length = strlen(word);

    for (size_t at = size >= length ? size - length + 1 : 0; at-- > 0;)
        if (memcmp(bytes + at, word, length) == 0)
            return bytes + at;
    return NULL;
}

static const char *find_first(const char *bytes, size_t size, const char *word)
{
    size_t length = strlen(word);

    for (size_t at = 0; at + length <= size; at++)
        if (memcmp(bytes + at, word, length) == 0)
            return bytes + at;
    return NULL;
}

static bool read_number(const char *from, const char *word, long *number)
{
    const char *at = from ? strstr(from, word) : NULL;

    if (at)
        *number = strtol(at + strlen(word), NULL, 10);
    return at != NULL;
}

/* The catalog's entries: what stands between its outer brackets. */
static bool find_entries(const char *bytes, size_t size, struct catalog *catalog)
{
    char head[32];
    const char *begin, *end;

    snprintf(head, sizeof head, "\n%ld 0 obj", catalog->number);
    begin = find_first(bytes, size, head);
    begin = begin ? find_first(begin, size - (size_t)(begin - bytes), "<<") : NULL;
    end = begin ? find_first(begin, size - (size_t)(begin - bytes), "endobj") : NULL;
    while (end && end > begin && memcmp(end, ">>", 2) != 0)
        end--;
    catalog->entries = begin ? begin + 2 : NULL;
    catalog->length = end ? (int)(end - begin) - 2 : 0;
    return end && catalog->length > 0;
}

static bool read_catalog(const char *bytes, size_t size, struct catalog *catalog)
{
    const char *trailer = find_last(bytes, size, "trailer");

    return read_number(trailer, "/Root ", &catalog->number) &&
           read_number(trailer, "/Size ", &catalog->size) &&
           read_number(trailer, "/Info ", &catalog->info) &&
           read_number(trailer, "startxref\n", &catalog->table) &&
           find_entries(bytes, size, catalog);
}

static void write_update(const struct catalog *catalog, size_t size, FILE *stream)
{
    char object[1024];
    int length = snprintf(object, sizeof object,
                          "%ld 0 obj\n<<%.*s   /ViewerPreferences << /PrintScaling /None >>\n>>\n"
                          "endobj\n",
                          catalog->number, catalog->length, catalog->entries);

    fprintf(stream,
            "%sxref\n%ld 1\n%010zu 00000 n \ntrailer\n<< /Size %ld\n   /Root %ld 0 R\n   "
            "/Info %ld 0 R\n   /Prev %ld\n>>\nstartxref\n%zu\n%%%%EOF\n",
            object, catalog->number, size, catalog->size, catalog->number, catalog->info,
            catalog->table, size + (size_t)length);
}

bool print_catalog_write(const char *bytes, size_t size, FILE *stream)
{
    struct catalog catalog = {0};

    fwrite(bytes, 1, size, stream);
    if (read_catalog(bytes, size, &catalog) && catalog.length < 512)
        write_update(&catalog, size, stream);
    return !ferror(stream);
}
