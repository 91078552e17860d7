#include "jpeg_source.h"

#include <jpeglib.h>

#include <jerror.h>

#define BUFFER_BYTES 65536

struct source {
    struct jpeg_source_mgr manager; /* first, so that libjpeg's pointer is ours */
    FILE *file;
    JOCTET *buffer;
    boolean at_start;
};

static void on_begin(j_decompress_ptr decoder)
{
    struct source *source = (struct source *)(void *)decoder->src;

    source->at_start = TRUE;
}

/* As libjpeg's own: a file that ends too early is given the end it lacks, with a warning. */
static boolean on_empty(j_decompress_ptr decoder)
{
    struct source *source = (struct source *)(void *)decoder->src;
    size_t size = fread(source->buffer, 1, BUFFER_BYTES, source->file);

    if (!size && source->at_start)
        ERREXIT(decoder, JERR_INPUT_EMPTY);
    if (!size) {
        WARNMS(decoder, JWRN_JPEG_EOF);
        source->buffer[0] = 0xFF;
        source->buffer[1] = JPEG_EOI;
        size = 2;
    }
    source->manager.next_input_byte = source->buffer;
    source->manager.bytes_in_buffer = size;
    source->at_start = FALSE;
    return TRUE;
}

static void on_skip(j_decompress_ptr decoder, long bytes)
{
    struct jpeg_source_mgr *manager = decoder->src;

    while (bytes > (long)manager->bytes_in_buffer) {
        bytes -= (long)manager->bytes_in_buffer;
        on_empty(decoder);
    }
    if (bytes > 0) {
        manager->next_input_byte += bytes;
        manager->bytes_in_buffer -= (size_t)bytes;
    }
}

static void on_end(j_decompress_ptr decoder)
{
    (void)decoder;
}

void jpeg_source_begin(struct jpeg_decompress_struct *decoder, FILE *file)
{
    struct jpeg_memory_mgr *memory = decoder->mem;
    struct source *source =
        memory->alloc_small((j_common_ptr)decoder, JPOOL_PERMANENT, sizeof *source);

    source->file = file;
    source->buffer = memory->alloc_large((j_common_ptr)decoder, JPOOL_PERMANENT, BUFFER_BYTES);
    source->at_start = TRUE;
    source->manager = (struct jpeg_source_mgr){.init_source = on_begin,
                                               .fill_input_buffer = on_empty,
                                               .skip_input_data = on_skip,
                                               .resync_to_restart = jpeg_resync_to_restart,
                                               .term_source = on_end};
    decoder->src = &source->manager;
}
