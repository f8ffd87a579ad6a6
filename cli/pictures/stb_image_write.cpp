// The one place where the picture writer's code is compiled, with a faster compressor in its hook.
#include "cli/pictures/deflate.h"

#define STBIW_ZLIB_COMPRESS lampflight::deflate_for_png
#define STBIW_CRC32 lampflight::checksum_for_png
#define STB_IMAGE_WRITE_IMPLEMENTATION
#include <stb_image_write.h>
