#include "scene/flights/files/svg_path.h"

#include <cmath>
#include <optional>
#include <utility>

#include <fmt/format.h>

#include "scene/flights/files/svg_scanner.h"

namespace lampflight {
namespace {

constexpr std::string_view commands = "MmZzLlHhVvCcSsQqTtAa";

class PathReader {
public:
    PathReader(std::string_view d, std::size_t most_segments)
        : in_(d), most_segments_(most_segments) {}

    /// What is wrong, or an empty text.
    std::string read() {
        in_.skip_space();
        while (fault_.empty() && !in_.at_end()) read_command();
        finish();
        return fault_;
    }

    std::vector<SvgSubpath> subpaths() && { return std::move(subpaths_); }

private:
    void read_command() {
        const char letter = in_.next();
        if (!begun_ && letter != 'M' && letter != 'm') {
            fault_ = in_.fault("M or m, with which a path begins");
            return;
        }
        if (commands.find(letter) == std::string_view::npos) {
            fault_ = in_.fault(kind_ == 'Z' ? "a command out of M L H V C S Q T A Z"
                                            : "a number or a command out of M L H V C S Q T A Z");
            return;
        }
        in_.take(letter);
        in_.skip_space();
        relative_ = letter >= 'a';
        kind_ = relative_ ? static_cast<char>(letter - 'a' + 'A') : letter;
        if (kind_ == 'Z') {
            close();
            return;
        }
        bool more = true;
        while (more && fault_.empty()) {
            read_arguments();
            if (fault_.empty()) more = goes_on();
        }
    }

    /// Whether the same command's arguments follow once more.
    bool goes_on() {
        if (in_.skip_comma()) return true;
        const char next = in_.next();
        return (next >= '0' && next <= '9') || next == '.' || next == '-' || next == '+';
    }

    void read_arguments() {
        switch (kind_) {
            case 'M':
                if (const auto to = point()) move(*to);
                break;
            case 'L':
                if (const auto to = point()) add(SvgLine{*to});
                break;
            case 'H':
                if (const auto x = number()) add(SvgLine{{*x + (relative_ ? at_.x : 0.0), at_.y}});
                break;
            case 'V':
                if (const auto y = number()) add(SvgLine{{at_.x, *y + (relative_ ? at_.y : 0.0)}});
                break;
            case 'C':
            case 'S':
                read_cubic();
                break;
            case 'Q':
            case 'T':
                read_quadratic();
                break;
            default:
                read_arc();
        }
    }

    void read_cubic() {
        const std::optional<Vec2> first =
            kind_ == 'C' ? point_and_comma() : 2.0 * at_ - cubic_handle_.value_or(at_);
        if (!first) return;
        const std::optional<Vec2> second = point_and_comma();
        if (!second) return;
        const std::optional<Vec2> to = point();
        if (!to) return;
        add(SvgCubic{*first, *second, *to});
        cubic_handle_ = second;
    }

    void read_quadratic() {
        const std::optional<Vec2> handle =
            kind_ == 'Q' ? point_and_comma() : 2.0 * at_ - quadratic_handle_.value_or(at_);
        if (!handle) return;
        const std::optional<Vec2> to = point();
        if (!to) return;
        add(svg_quadratic(at_, *handle, *to));
        quadratic_handle_ = handle;
    }

    void read_arc() {
        SvgArcShape shape{};
        for (double* value : {&shape.radii.x, &shape.radii.y, &shape.turned_deg}) {
            const std::optional<double> read = number();
            if (!read) return;
            *value = *read;
            in_.skip_comma();
        }
        for (bool* value : {&shape.large, &shape.sweep}) {
            const std::optional<bool> read = in_.flag();
            if (!read) {
                fault_ = in_.fault("0 or 1, a flag of an arc");
                return;
            }
            *value = *read;
            in_.skip_comma();
        }
        if (const auto to = point()) add(svg_arc(at_, shape, *to));
    }

    std::optional<double> number() {
        const std::optional<double> read = in_.number();
        if (!read) fault_ = in_.fault("a number");
        return read;
    }

    std::optional<Vec2> point() {
        const std::optional<double> x = number();
        if (!x) return std::nullopt;
        in_.skip_comma();
        const std::optional<double> y = number();
        if (!y) return std::nullopt;
        return Vec2(*x, *y) + (relative_ ? at_ : Vec2(0.0));
    }

    std::optional<Vec2> point_and_comma() {
        const std::optional<Vec2> read = point();
        if (read) in_.skip_comma();
        return read;
    }

    void move(const Vec2& to) {
        finish();
        begun_ = true;
        current_.start = at_ = to;
        forget_handles();
        kind_ = 'L';  // of the pairs that follow
    }

    void add(const SvgSegment& segment) {
        if (++segments_ > most_segments_) {
            fault_ =
                fmt::format("segments exceed the {} that are allowed in a drawing", most_segments_);
            return;
        }
        current_.segments.push_back(segment);
        at_ = end_of(segment);
        forget_handles();
    }

    void close() {
        if (!current_.segments.empty()) {
            add(SvgLine{current_.start});
            current_.closed = true;
        }
        finish();
        at_ = current_.start;
        forget_handles();
        in_.skip_space();
    }

    /// Puts the subpath by; the next one begins at the same point unless it is moved.
    void finish() {
        const Vec2 start = current_.start;
        if (!current_.segments.empty()) subpaths_.push_back(std::move(current_));
        current_ = SvgSubpath{};
        current_.start = start;
    }

    void forget_handles() {
        cubic_handle_.reset();
        quadratic_handle_.reset();
    }

    SvgScanner in_;
    std::size_t most_segments_;
    std::size_t segments_ = 0;
    std::string fault_;
    std::vector<SvgSubpath> subpaths_;
    SvgSubpath current_;
    bool begun_ = false;
    bool relative_ = false;
    char kind_ = 'M';
    Vec2 at_{0.0};
    std::optional<Vec2> cubic_handle_;      ///< the second one of the cubic just before
    std::optional<Vec2> quadratic_handle_;  ///< of the quadratic just before
};

}  // namespace

std::variant<std::vector<SvgSubpath>, std::string> read_svg_path(std::string_view d,
                                                                 std::size_t most_segments) {
    if (d == "none") return std::vector<SvgSubpath>{};
    PathReader reader(d, most_segments);
    std::string fault = reader.read();
    if (!fault.empty()) return fault;
    return std::move(reader).subpaths();
}

}  // namespace lampflight
