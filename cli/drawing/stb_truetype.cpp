// The one place where the font reader's code is compiled.
#define STB_TRUETYPE_IMPLEMENTATION
#include <stb_truetype.h>
