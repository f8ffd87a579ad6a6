// The compressor for PNG, undone by zlib itself, which checks both ends and the sum (RFC 1950).
#include "cli/pictures/deflate.h"

#include <doctest/doctest.h>
#include <tbb/global_control.h>
#include <zlib.h>

#include <cstdlib>
#include <memory>
#include <string>
#include <vector>

#include "renderer/sampling/low_discrepancy.h"

using namespace lampflight;

namespace {

using Bytes = std::vector<unsigned char>;

Bytes packed(Bytes data) {
    int size = 0;
    const std::unique_ptr<unsigned char, decltype(&std::free)> bytes(
        deflate_for_png(data.data(), static_cast<int>(data.size()), &size, 8), &std::free);
    REQUIRE(bytes != nullptr);
    return {bytes.get(), bytes.get() + size};
}

Bytes unpacked(const Bytes& packed_data, std::size_t size) {
    Bytes data(size + 1);
    uLongf length = data.size();
    REQUIRE(uncompress(data.data(), &length, packed_data.data(), packed_data.size()) == Z_OK);
    data.resize(length);
    return data;
}

/// Mostly small differences, as a filtered photograph has.
Bytes noise(std::size_t size) {
    Bytes data(size);
    for (std::size_t i = 0; i < size; ++i)
        data[i] = static_cast<unsigned char>(hash_of(static_cast<std::uint32_t>(i), 3u) % 7u);
    return data;
}

}  // namespace

TEST_CASE("what is packed unpacks to the same, whatever its length") {
    constexpr std::size_t piece = 1u << 20;
    for (const std::size_t size :
         {std::size_t{0}, std::size_t{1}, piece - 1, piece, piece + 1, 3 * piece + 12345}) {
        const Bytes data = noise(size);
        const Bytes small = packed(data);
        CHECK(unpacked(small, size) == data);
        if (size > 1000) CHECK(small.size() < size / 2);
    }
    const Bytes even(2 * piece, 9);
    CHECK(unpacked(packed(even), even.size()) == even);
}

TEST_CASE("packing is the same with any number of threads") {
    const Bytes data = noise(5u << 20);
    const Bytes many = packed(data);
    const tbb::global_control limit(tbb::global_control::max_allowed_parallelism, 1);
    CHECK(packed(data) == many);
}

// The check value of CRC-32 for the digits 1 to 9 is CBF43926 (catalogues of CRCs; from memory).
TEST_CASE("the checksum of chunks") {
    std::string digits = "123456789";
    CHECK(checksum_for_png(reinterpret_cast<unsigned char*>(digits.data()), 9) == 0xCBF43926u);
}
