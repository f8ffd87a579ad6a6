// The compressor for PNG, undone by zlib itself, which checks both ends and the sum (RFC 1950).
#include "cli/deflate.h"

#include <doctest/doctest.h>
#include <zlib.h>

#include <string>
#include <vector>

#include "renderer/low_discrepancy.h"

using namespace lampflight;

namespace {

/// In pieces of such lengths, and the rest.
std::string packed(const std::string& data, const std::vector<std::size_t>& lengths) {
    std::string bytes(zlib_head);
    std::vector<DataSum> sums;
    std::string_view left(data);
    const auto pack = [&](std::size_t length, bool is_last) {
        REQUIRE(add_deflated(left.substr(0, length), is_last, bytes));
        sums.push_back(sum_of(left.substr(0, length)));
        left.remove_prefix(length);
    };
    for (const std::size_t length : lengths) pack(length, false);
    pack(left.size(), true);
    return bytes + zlib_tail(sums);
}

std::string unpacked(const std::string& packed_data, std::size_t size) {
    std::string data(size + 1, '\0');
    uLongf length = data.size();
    REQUIRE(uncompress(reinterpret_cast<Bytef*>(data.data()), &length,
                       reinterpret_cast<const Bytef*>(packed_data.data()),
                       packed_data.size()) == Z_OK);
    data.resize(length);
    return data;
}

/// Mostly small differences, as a filtered photograph has.
std::string noise(std::size_t size) {
    std::string data(size, '\0');
    for (std::size_t i = 0; i < size; ++i)
        data[i] = static_cast<char>(hash_of(static_cast<std::uint32_t>(i), 3u) % 7u);
    return data;
}

}  // namespace

TEST_CASE("what is packed unpacks to the same, whatever its pieces") {
    constexpr std::size_t some = 1u << 18;
    const std::vector<std::vector<std::size_t>> ways{
        {}, {0}, {1}, {some}, {some, 0, some}, {3, some - 3}};
    for (const std::vector<std::size_t>& lengths : ways) {
        std::size_t size = 12345;
        for (const std::size_t length : lengths) size += length;
        const std::string data = noise(size);
        const std::string small = packed(data, lengths);
        CHECK(unpacked(small, size) == data);
        CHECK(small.size() < size / 2);
    }
    CHECK(unpacked(packed("", {}), 0).empty());
    const std::string even(some, 'x');
    CHECK(unpacked(packed(even, {some / 2}), even.size()) == even);
}
