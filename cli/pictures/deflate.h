// Compression for PNG: the zlib format (RFC 1950) at a level made for noise, by several threads.
#pragma once

namespace lampflight {

/// What the picture writer calls to compress: returns memory for `std::free` and its size, or null
/// when there is none left or more than an int can count. The bytes do not depend on the number of
/// threads. `quality` is not used: photographs of the night are mostly noise, where more search
/// finds little.
unsigned char* deflate_for_png(unsigned char* data, int size, int* packed_size, int quality);

/// The checksum of PNG's chunks (ISO/IEC 15948, annex D).
unsigned int checksum_for_png(unsigned char* data, int size);

}  // namespace lampflight
