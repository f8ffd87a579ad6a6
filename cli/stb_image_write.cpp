// The one place where the picture writer's code is compiled.
#define STB_IMAGE_WRITE_IMPLEMENTATION
#include <stb_image_write.h>
