// The one place where the picture writer's code is compiled, with a faster compressor in its hook
// and memory that films gave back.
#include "cli/pictures/deflate.h"
#include "cli/pictures/picture_memory.h"

#define STBIW_MALLOC(size) lampflight::picture_memory(size)
#define STBIW_REALLOC(block, size) nullptr  // only a compressor that is not compiled asks for it
#define STBIW_FREE(block) lampflight::free_picture_memory(block)
#define STBIW_ZLIB_COMPRESS lampflight::deflate_for_png
#define STBIW_CRC32 lampflight::checksum_for_png
#define STB_IMAGE_WRITE_IMPLEMENTATION
#include <stb_image_write.h>
