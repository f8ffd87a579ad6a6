#include "cli/pictures/srgb_profile.h"

#include <array>
#include <cmath>
#include <cstdint>
#include <initializer_list>
#include <string_view>
#include <utility>
#include <vector>

#include "cli/pictures/big_endian.h"

namespace lampflight {
namespace {

using namespace std::string_view_literals;

/// s15Fixed16Number, clause 4.6.
std::string fixed(double number) {
    return big_endian(static_cast<std::uint32_t>(std::lround(number * 65536.0)));
}

std::string fixed(std::initializer_list<double> numbers) {
    std::string text;
    for (const double number : numbers) text += fixed(number);
    return text;
}

std::string of_type(std::string_view type, const std::string& data) {
    return std::string(type) + big_endian(0) + data;
}

/// One record of English, clause 10.13.
std::string words(std::string_view ascii) {
    std::string utf16;
    for (const char letter : ascii) utf16.append({'\0', letter});
    constexpr std::uint32_t record_size = 12;
    constexpr std::uint32_t text_begins = 28;
    return of_type("mluc"sv, big_endian(1) + big_endian(record_size) + "enUS" +
                                 big_endian(static_cast<std::uint32_t>(utf16.size())) +
                                 big_endian(text_begins) + utf16);
}

std::string xyz(std::initializer_list<double> values) {
    return of_type("XYZ "sv, fixed(values));
}

/// Parametric curve of type 3, clause 10.16: (a x + b)^g from d on, c x below.
std::string srgb_curve() {
    return of_type("para"sv, big_endian(3, 2) + big_endian(0, 2) +
                                 fixed({2.4, 1.0 / 1.055, 0.055 / 1.055, 1.0 / 12.92, 0.04045}));
}

/// Clause 7.2; without a date that would change from file to file.
std::string header(std::size_t size) {
    std::string text = big_endian(static_cast<std::uint32_t>(size)) + big_endian(0) +
                       big_endian(0x04300000) + "mntrRGB XYZ ";
    for (const std::uint32_t part : {2026u, 1u, 1u, 0u, 0u, 0u}) text += big_endian(part, 2);
    text += "acsp";
    text.append(28, '\0');                 // no platform, no flags, no device, perceptual intent
    text += fixed({0.9642, 1.0, 0.8249});  // D50
    text.resize(128, '\0');
    return text;
}

}  // namespace

std::string srgb_profile() {
    const std::string curve = srgb_curve();
    const std::vector<std::pair<std::string_view, std::string>> tags{
        {"desc", words("sRGB IEC 61966-2-1")},
        {"cprt", words("No copyright, use freely")},
        {"wtpt", xyz({0.9642, 1.0, 0.8249})},
        {"chad", of_type("sf32"sv, fixed({1.04788, 0.02292, -0.05022, 0.02959, 0.99048, -0.01707,
                                          -0.00925, 0.01508, 0.75168}))},
        {"rXYZ", xyz({0.436041, 0.222485, 0.013920})},
        {"gXYZ", xyz({0.385113, 0.716905, 0.097067})},
        {"bXYZ", xyz({0.143046, 0.060610, 0.713913})},
        {"rTRC", curve},
        {"gTRC", curve},
        {"bTRC", curve}};
    constexpr std::size_t header_size = 128;
    std::string table = big_endian(static_cast<std::uint32_t>(tags.size()));
    std::string data;
    const std::size_t data_begins = header_size + 4 + 12 * tags.size();
    for (const auto& [name, content] : tags) {
        table += std::string(name) +
                 big_endian(static_cast<std::uint32_t>(data_begins + data.size())) +
                 big_endian(static_cast<std::uint32_t>(content.size()));
        data += content;
        data.resize((data.size() + 3) / 4 * 4, '\0');
    }
    return header(data_begins + data.size()) + table + data;
}

}  // namespace lampflight
