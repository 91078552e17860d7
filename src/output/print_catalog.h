#ifndef WOAD_OUTPUT_PRINT_CATALOG_H
#define WOAD_OUTPUT_PRINT_CATALOG_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

/**
 * Write a PDF with a new version of its catalog behind it that asks viewers to print it without
 * scaling, which cairo can't say.
 *
 * Shape:   `bytes` a whole PDF with a cross-reference table, as PDF 1.4 has; one without is
 *          written as it is.
 * Returns: false if the stream can't be written.
 * Source:  ISO 32000-1:2008, 7.5.6 (incremental updates) and 12.2 (viewer preferences).
 */
bool print_catalog_write(const char *bytes, size_t size, FILE *stream);

#endif
