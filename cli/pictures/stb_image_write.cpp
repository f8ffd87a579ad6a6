// The one place where the picture writer's code is compiled, with a faster compressor in its hook.
#include <libdeflate.h>

#include <cstdlib>
#include <limits>
#include <memory>

namespace {

/// The zlib format (RFC 1950), or null when memory runs out or there is more than an int can count.
/// At the lowest level whatever is asked for: photographs of the night are mostly noise, in which
/// more search finds little.
unsigned char* packed(unsigned char* data, int size, int* packed_size, int) {
    const std::unique_ptr<libdeflate_compressor, decltype(&libdeflate_free_compressor)> compressor(
        libdeflate_alloc_compressor(1), &libdeflate_free_compressor);
    if (!compressor) return nullptr;
    const auto count = static_cast<std::size_t>(size);
    const std::size_t room = libdeflate_zlib_compress_bound(compressor.get(), count);
    std::unique_ptr<unsigned char, decltype(&std::free)> bytes(
        static_cast<unsigned char*>(std::malloc(room)), &std::free);
    if (!bytes) return nullptr;
    const std::size_t got =
        libdeflate_zlib_compress(compressor.get(), data, count, bytes.get(), room);
    if (got == 0 || got > static_cast<std::size_t>(std::numeric_limits<int>::max())) return nullptr;
    *packed_size = static_cast<int>(got);
    return bytes.release();  // the writer frees it
}

unsigned int checksum(const unsigned char* data, int size) {
    return libdeflate_crc32(0, data, static_cast<std::size_t>(size));
}

}  // namespace

#define STBIW_ZLIB_COMPRESS packed
#define STBIW_CRC32 checksum
#define STB_IMAGE_WRITE_IMPLEMENTATION
#include <stb_image_write.h>
