#include "cli/pictures/deflate.h"

#include <tbb/enumerable_thread_specific.h>
#include <tbb/parallel_for.h>
#include <zlib.h>

#include <algorithm>
#include <cstdlib>
#include <cstring>
#include <limits>
#include <memory>
#include <vector>

namespace lampflight {
namespace {

constexpr std::size_t piece_size = 1u << 20;
constexpr int raw_window_bits = -15;  // the pieces carry no header of their own
constexpr int level = 1;
constexpr int memory_level = 8;  // the usual: for it the library knows how little packing can add
constexpr std::size_t header_size = 2;
constexpr std::size_t checksum_size = 4;

/// Runs only, twice as fast to look for as any match and on noise as small, or, where there are
/// none, not even those.
int strategy_for(const unsigned char* data, std::size_t size) {
    constexpr std::size_t step = 61;  // looks at some of the bytes, at every place of a pixel's
    constexpr std::size_t shortest_run = 4;
    std::size_t runs = 0, looks = 0;
    for (std::size_t i = 0; i + shortest_run <= size; i += step, ++looks)
        runs += std::all_of(data + i + 1, data + i + shortest_run,
                            [&](unsigned char byte) { return byte == data[i]; });
    return runs > looks / 50 ? Z_RLE : Z_HUFFMAN_ONLY;
}

using Bytes = std::unique_ptr<unsigned char, decltype(&std::free)>;

/// A piece of the data packed by itself, ended on a byte so that pieces can be strung together.
struct Piece {
    std::size_t packed_size = 0;  ///< 0 where it failed
    uLong checksum = 0;
};

/// Packs piece after piece; to set a stream up anew takes memory anew.
class Packer {
public:
    Packer()
        : ready_(deflateInit2(&stream_, level, Z_DEFLATED, raw_window_bits, memory_level, Z_RLE) ==
                 Z_OK) {}
    Packer(const Packer&) = delete;
    Packer& operator=(const Packer&) = delete;
    ~Packer() {
        if (ready_) deflateEnd(&stream_);
    }

    /// More than a packed piece takes up, whatever is in it.
    std::size_t room_for_piece() {
        constexpr std::size_t flush_mark = 16;
        return deflateBound(ready_ ? &stream_ : nullptr, piece_size) + flush_mark;
    }

    Piece pack(unsigned char* data, std::size_t size, bool last, unsigned char* to,
               std::size_t room) {
        if (!ready_ || deflateReset(&stream_) != Z_OK ||
            deflateParams(&stream_, level, strategy_for(data, size)) != Z_OK)
            return {};
        stream_.next_in = data;
        stream_.avail_in = static_cast<uInt>(size);
        stream_.next_out = to;
        stream_.avail_out = static_cast<uInt>(room);
        const int result = deflate(&stream_, last ? Z_FINISH : Z_SYNC_FLUSH);
        const bool done = last ? result == Z_STREAM_END : result == Z_OK && stream_.avail_in == 0;
        if (!done) return {};
        return {stream_.total_out, adler32(adler32(0, nullptr, 0), data, static_cast<uInt>(size))};
    }

private:
    z_stream stream_{};
    bool ready_;
};

/// RFC 1950: two bytes of header (deflate, window of 32 K, fastest; a multiple of 31), the pieces,
/// the Adler-32 of the whole, its high byte first. The pieces stand apart, each at the beginning of
/// `room` bytes, the first behind the header's. Returns the size, or 0 for too many.
std::size_t put_together(unsigned char* bytes, const std::vector<Piece>& pieces, std::size_t room,
                         uLong checksum) {
    std::size_t size = header_size + checksum_size;
    for (const Piece& piece : pieces) size += piece.packed_size;
    if (size > static_cast<std::size_t>(std::numeric_limits<int>::max())) return 0;
    bytes[0] = 0x78;
    bytes[1] = 0x01;
    unsigned char* to = bytes + header_size;
    const unsigned char* from = to;
    for (const Piece& piece : pieces) {
        if (to != from) std::memmove(to, from, piece.packed_size);
        to += piece.packed_size;
        from += room;
    }
    for (const int shift : {24, 16, 8, 0}) *to++ = static_cast<unsigned char>(checksum >> shift);
    return size;
}

}  // namespace

unsigned char* deflate_for_png(unsigned char* data, int size, int* packed_size, int) {
    const auto total = static_cast<std::size_t>(size);
    const std::size_t count = std::max<std::size_t>(1, (total + piece_size - 1) / piece_size);
    const std::size_t room = Packer().room_for_piece();
    const auto size_of = [&](std::size_t i) {
        return std::min(piece_size, total - i * piece_size);
    };
    Bytes bytes(
        static_cast<unsigned char*>(std::malloc(header_size + count * room + checksum_size)),
        &std::free);
    if (!bytes) return nullptr;
    std::vector<Piece> pieces(count);
    tbb::enumerable_thread_specific<Packer> packers;
    tbb::parallel_for(std::size_t{0}, count, [&](std::size_t i) {
        pieces[i] = packers.local().pack(data + i * piece_size, size_of(i), i + 1 == count,
                                         bytes.get() + header_size + i * room, room);
    });
    uLong checksum = adler32(0, nullptr, 0);
    for (std::size_t i = 0; i < count; ++i) {
        if (pieces[i].packed_size == 0) return nullptr;
        checksum = adler32_combine(checksum, pieces[i].checksum, static_cast<z_off_t>(size_of(i)));
    }
    *packed_size = static_cast<int>(put_together(bytes.get(), pieces, room, checksum));
    return *packed_size == 0 ? nullptr : bytes.release();
}

unsigned int checksum_for_png(unsigned char* data, int size) {
    return static_cast<unsigned int>(crc32(crc32(0, nullptr, 0), data, static_cast<uInt>(size)));
}

}  // namespace lampflight
