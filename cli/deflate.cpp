#include "cli/deflate.h"

#include <tbb/parallel_for.h>
#include <zlib.h>

#include <algorithm>
#include <cstdlib>
#include <cstring>
#include <limits>
#include <vector>

namespace lampflight {
namespace {

constexpr std::size_t piece_size = 1u << 20;
constexpr int raw_window_bits = -15;  // the pieces carry no header of their own
constexpr int level = 1;
constexpr int memory_level = 9;
// Looks for runs only: twice as fast as a search for any match, and on noise as small.
constexpr int strategy = Z_RLE;

/// A piece of the data by itself, ended on a byte so that pieces can be strung together.
struct Piece {
    std::vector<unsigned char> packed;
    uLong checksum = 0;
};

bool pack(unsigned char* data, std::size_t size, bool last, Piece& piece) {
    z_stream stream{};
    if (deflateInit2(&stream, level, Z_DEFLATED, raw_window_bits, memory_level, strategy) != Z_OK)
        return false;
    constexpr std::size_t flush_mark = 16;
    piece.packed.resize(deflateBound(&stream, size) + flush_mark);
    stream.next_in = data;
    stream.avail_in = static_cast<uInt>(size);
    stream.next_out = piece.packed.data();
    stream.avail_out = static_cast<uInt>(piece.packed.size());
    const int result = deflate(&stream, last ? Z_FINISH : Z_SYNC_FLUSH);
    piece.packed.resize(stream.total_out);
    const bool done = last ? result == Z_STREAM_END : result == Z_OK && stream.avail_in == 0;
    deflateEnd(&stream);
    piece.checksum = adler32(adler32(0, nullptr, 0), data, static_cast<uInt>(size));
    return done;
}

/// RFC 1950: two bytes of header (deflate, window of 32 K, fastest; a multiple of 31), the pieces,
/// the Adler-32 of the whole, its high byte first.
unsigned char* joined(const std::vector<Piece>& pieces, uLong checksum, int* packed_size) {
    std::size_t size = 2 + 4;
    for (const Piece& piece : pieces) size += piece.packed.size();
    if (size > static_cast<std::size_t>(std::numeric_limits<int>::max())) return nullptr;
    auto* const bytes = static_cast<unsigned char*>(std::malloc(size));
    if (bytes == nullptr) return nullptr;
    unsigned char* to = bytes;
    *to++ = 0x78;
    *to++ = 0x01;
    for (const Piece& piece : pieces) to = std::ranges::copy(piece.packed, to).out;
    for (const int shift : {24, 16, 8, 0}) *to++ = static_cast<unsigned char>(checksum >> shift);
    *packed_size = static_cast<int>(size);
    return bytes;
}

}  // namespace

unsigned char* deflate_for_png(unsigned char* data, int size, int* packed_size, int) {
    const auto total = static_cast<std::size_t>(size);
    const std::size_t count = std::max<std::size_t>(1, (total + piece_size - 1) / piece_size);
    std::vector<Piece> pieces(count);
    const auto size_of = [&](std::size_t i) {
        return std::min(piece_size, total - i * piece_size);
    };
    std::vector<char> packed(count);
    tbb::parallel_for(std::size_t{0}, count, [&](std::size_t i) {
        packed[i] = pack(data + i * piece_size, size_of(i), i + 1 == count, pieces[i]);
    });
    if (!std::ranges::all_of(packed, [](char done) { return done != 0; })) return nullptr;
    uLong checksum = adler32(0, nullptr, 0);
    for (std::size_t i = 0; i < count; ++i)
        checksum = adler32_combine(checksum, pieces[i].checksum, static_cast<z_off_t>(size_of(i)));
    return joined(pieces, checksum, packed_size);
}

unsigned int checksum_for_png(unsigned char* data, int size) {
    return static_cast<unsigned int>(crc32(crc32(0, nullptr, 0), data, static_cast<uInt>(size)));
}

}  // namespace lampflight
