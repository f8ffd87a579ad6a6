#include "cli/exr_header_guard.h"

#include <algorithm>
#include <iterator>
#include <string_view>

#include <fmt/format.h>

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

/// What is wrong, thrown up to `unfit_exr_header`.
struct Unfit {
    std::string what;
};

class HeaderWalk {
public:
    explicit HeaderWalk(ExrInput& input) : input_(input) {}

    void walk() {
        if (input_.size() < 8 || whole() != magic_number) throw Unfit{"it is no OpenEXR file"};
        const std::uint32_t version = whole();
        if ((version & 0xff) != 2) throw Unfit{"it is an OpenEXR file of an unknown version"};
        const bool multi_part = (version & multi_part_flag) != 0;
        for (int part = 0; part < most_parts; ++part) {
            const bool has_attributes = walk_part();
            if (!multi_part || !has_attributes) return;
        }
        throw Unfit{fmt::format("it has more than {} parts", most_parts)};
    }

private:
    /// Whether the part had any attributes.
    bool walk_part() {
        bool any = false;
        while (!name().empty()) {
            any = true;
            const std::string type = name();
            const std::uint32_t size = whole();
            if (size > left()) throw Unfit{"its header is damaged"};
            const std::uint64_t end = input_.tellg() + size;
            check_value(type, size);
            input_.seekg(end);
            if (end > largest_header)
                throw Unfit{fmt::format("its header is larger than {} MB", largest_header >> 20)};
        }
        return any;
    }

    /// Values whose own contents say how far they go must end where the header says.
    void check_value(const std::string& type, std::uint32_t size) {
        const auto* fixed = std::ranges::find(fixed_sizes, type, &FixedSize::type);
        bool sound = fixed == std::end(fixed_sizes) || fixed->bytes == size;
        if (type == "chlist") {
            const std::uint64_t end = input_.tellg() + size;
            constexpr int bytes_of_channel = 16;
            while (input_.tellg() < end && !name().empty() && left() > bytes_of_channel)
                input_.seekg(input_.tellg() + bytes_of_channel);
            sound = input_.tellg() == end;
        } else if (type == "preview") {
            const std::uint64_t width = size < 8 ? 0 : whole();
            const std::uint64_t height = size < 8 ? 0 : whole();
            sound = size >= 8 && width < (1u << 16) && height < (1u << 16) &&
                    4 * width * height + 8 == size;
        }
        if (!sound) throw Unfit{"its header is damaged"};
    }

    std::uint64_t left() { return input_.size() - input_.tellg(); }

    std::uint32_t whole() {
        unsigned char bytes[4];
        take(reinterpret_cast<char*>(bytes), 4);
        return static_cast<std::uint32_t>(bytes[0]) | static_cast<std::uint32_t>(bytes[1]) << 8 |
               static_cast<std::uint32_t>(bytes[2]) << 16 |
               static_cast<std::uint32_t>(bytes[3]) << 24;
    }

    std::string name() {
        std::string text;
        for (char letter = 1; text.size() <= longest_name;) {
            take(&letter, 1);
            if (letter == 0) return text;
            text += letter;
        }
        throw Unfit{"its header is damaged"};
    }

    void take(char* to, int count) {
        if (static_cast<std::uint64_t>(count) > left()) throw Unfit{"its header ends too early"};
        input_.read(to, count);
    }

    ExrInput& input_;
};

}  // namespace

std::optional<std::string> unfit_exr_header(ExrInput& input) {
    input.seekg(0);
    try {
        HeaderWalk(input).walk();
    } catch (const Unfit& unfit) {
        return unfit.what;
    }
    input.seekg(0);
    return std::nullopt;
}

}  // namespace lampflight
