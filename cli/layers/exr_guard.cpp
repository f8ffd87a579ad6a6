#include "cli/layers/exr_guard.h"

#include <algorithm>
#include <iterator>
#include <string_view>

#include <fmt/format.h>

#include "cli/layers/unfit_layers.h"

namespace lampflight {
namespace {

constexpr std::uint32_t magic_number = 20000630;
constexpr std::uint32_t multi_part_flag = 0x1000;
constexpr std::uint64_t largest_header = 32u << 20;
constexpr std::size_t longest_name = 255;
constexpr int most_parts = 10'000;

/// Types that the library reads by their own length, whatever the header says it is.
struct FixedSize {
    std::string_view type;
    std::uint32_t bytes;
};
constexpr FixedSize fixed_sizes[]{{"box2f", 16},
                                  {"box2i", 16},
                                  {"chromaticities", 32},
                                  {"compression", 1},
                                  {"deepImageState", 1},
                                  {"double", 8},
                                  {"envmap", 1},
                                  {"float", 4},
                                  {"int", 4},
                                  {"keycode", 28},
                                  {"lineOrder", 1},
                                  {"m33d", 72},
                                  {"m33f", 36},
                                  {"m44d", 128},
                                  {"m44f", 64},
                                  {"rational", 8},
                                  {"tiledesc", 9},
                                  {"timecode", 8},
                                  {"v2d", 16},
                                  {"v2f", 8},
                                  {"v2i", 8},
                                  {"v3d", 24},
                                  {"v3f", 12},
                                  {"v3i", 12}};

class HeaderWalk {
public:
    HeaderWalk(std::istream& file, std::uint64_t size) : file_(file), size_(size) {}

    void walk() {
        if (size_ < 8 || whole() != magic_number) throw UnfitLayers{"it is no OpenEXR file"};
        const std::uint32_t version = whole();
        if ((version & 0xff) != 2) throw UnfitLayers{"it is an OpenEXR file of an unknown version"};
        const bool multi_part = (version & multi_part_flag) != 0;
        for (int part = 0; part < most_parts; ++part) {
            const bool has_attributes = walk_part();
            if (!multi_part || !has_attributes) return;
        }
        throw UnfitLayers{fmt::format("it has more than {} parts", most_parts)};
    }

private:
    /// Whether the part had any attributes.
    bool walk_part() {
        bool any = false;
        while (!name().empty()) {
            any = true;
            const std::string type = name();
            const std::uint32_t size = whole();
            if (size > size_ - place_) throw UnfitLayers{"its header is damaged"};
            const std::uint64_t end = place_ + size;
            check_value(type, size);
            go_to(end);
            if (end > largest_header)
                throw UnfitLayers{
                    fmt::format("its header is larger than {} MB", largest_header >> 20)};
        }
        return any;
    }

    /// Values whose own contents say how far they go must end where the header says.
    void check_value(const std::string& type, std::uint32_t size) {
        const auto* fixed = std::ranges::find(fixed_sizes, type, &FixedSize::type);
        bool sound = fixed == std::end(fixed_sizes) || fixed->bytes == size;
        if (type == "chlist") {
            const std::uint64_t end = place_ + size;
            constexpr int bytes_of_channel = 16;
            while (place_ < end && !name().empty() && size_ - place_ > bytes_of_channel)
                go_to(place_ + bytes_of_channel);
            sound = place_ == end;
        } else if (type == "preview") {
            const std::uint64_t width = size < 8 ? 0 : whole();
            const std::uint64_t height = size < 8 ? 0 : whole();
            sound = size >= 8 && width < (1u << 16) && height < (1u << 16) &&
                    4 * width * height + 8 == size;
        }
        if (!sound) throw UnfitLayers{"its header is damaged"};
    }

    std::uint32_t whole() {
        std::uint32_t number = 0;
        for (const unsigned shift : {0u, 8u, 16u, 24u}) number |= std::uint32_t{next()} << shift;
        return number;
    }

    std::string name() {
        std::string text;
        while (text.size() <= longest_name) {
            const unsigned char letter = next();
            if (letter == 0) return text;
            text += static_cast<char>(letter);
        }
        throw UnfitLayers{"its header is damaged"};
    }

    unsigned char next() {
        const int byte = file_.get();
        if (byte == std::istream::traits_type::eof())
            throw UnfitLayers{"its header ends too early"};
        ++place_;
        return static_cast<unsigned char>(byte);
    }

    void go_to(std::uint64_t place) {
        file_.seekg(static_cast<std::streamoff>(place));
        place_ = place;
    }

    std::istream& file_;
    std::uint64_t size_;
    std::uint64_t place_ = 0;
};

}  // namespace

void check_exr_header(std::istream& file, std::uint64_t size) {
    HeaderWalk(file, size).walk();
}

}  // namespace lampflight
