#include "cli/deflate.h"

#include <zlib.h>

#include "cli/big_endian.h"

namespace lampflight {
namespace {

constexpr int raw_window_bits = -15;  // the pieces carry no header of their own
constexpr int level = 1;
constexpr int memory_level = 9;
// Looks for runs only: twice as fast as a search for any match, and on noise as small.
constexpr int strategy = Z_RLE;

}  // namespace

DataSum sum_of(std::string_view data) {
    const uLong sum = adler32(adler32(0, nullptr, 0), reinterpret_cast<const Bytef*>(data.data()),
                              static_cast<uInt>(data.size()));
    return {static_cast<std::uint32_t>(sum), data.size()};
}

bool add_deflated(std::string_view data, bool is_last, std::string& to) {
    z_stream stream{};
    if (deflateInit2(&stream, level, Z_DEFLATED, raw_window_bits, memory_level, strategy) != Z_OK)
        return false;
    constexpr std::size_t flush_mark = 16;
    // Kept, as fresh memory costs as much as packing.
    thread_local std::string room;
    room.resize(deflateBound(&stream, data.size()) + flush_mark);
    stream.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(data.data()));
    stream.avail_in = static_cast<uInt>(data.size());
    stream.next_out = reinterpret_cast<Bytef*>(room.data());
    stream.avail_out = static_cast<uInt>(room.size());
    const int result = deflate(&stream, is_last ? Z_FINISH : Z_SYNC_FLUSH);
    deflateEnd(&stream);
    to.append(room, 0, stream.total_out);
    return is_last ? result == Z_STREAM_END : result == Z_OK && stream.avail_in == 0;
}

std::string zlib_tail(std::span<const DataSum> pieces) {
    uLong sum = adler32(0, nullptr, 0);
    for (const DataSum& piece : pieces)
        sum = adler32_combine(sum, piece.checksum, static_cast<z_off_t>(piece.size));
    return big_endian(static_cast<std::uint32_t>(sum));
}

}  // namespace lampflight
