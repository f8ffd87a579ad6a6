#include "cli/session/output_width.h"

#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <charconv>
#include <cstdlib>
#include <string_view>

namespace lampflight {
namespace {

constexpr std::size_t fewest = 72;
constexpr std::size_t most = 1000;
constexpr std::size_t of_a_pipe = 100;

/// Of the terminal that figures go to; 0 without one.
std::size_t terminal_columns() {
    winsize size{};
    if (isatty(STDOUT_FILENO) == 0 || ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) != 0) return 0;
    return size.ws_col;
}

/// What the environment states; 0 for nothing, and for what is no number.
std::size_t stated_columns() {
    const char* const stated = std::getenv("COLUMNS");
    if (stated == nullptr) return 0;
    const std::string_view text = stated;
    std::size_t columns = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), columns);
    return error == std::errc() && end == text.data() + text.size() ? columns : 0;
}

}  // namespace

std::size_t output_columns() {
    std::size_t columns = terminal_columns();
    if (columns == 0) columns = stated_columns();
    if (columns == 0) columns = of_a_pipe;
    return std::clamp(columns, fewest, most);
}

}  // namespace lampflight
