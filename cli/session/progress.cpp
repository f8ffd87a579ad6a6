#include "cli/session/progress.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include <fmt/format.h>

namespace lampflight {
namespace {

constexpr double shortest_pause_s = 0.1;  // between two lines; faster only flickers

std::string time_text(double time_s) {
    const auto seconds = static_cast<long>(std::ceil(time_s));
    if (seconds < 60) return fmt::format("{} s", seconds);
    if (seconds < 3600) return fmt::format("{} min {} s", seconds / 60, seconds % 60);
    return fmt::format("{} h {} min", seconds / 3600, seconds % 3600 / 60);
}

}  // namespace

std::string progress_text(double done_share, double elapsed_s) {
    constexpr int width = 30;
    const double share = std::clamp(done_share, 0.0, 1.0);
    const int filled = static_cast<int>(share * width);
    std::string text =
        fmt::format("[{:<{}}] {:3} %", std::string(static_cast<std::size_t>(filled), '='), width,
                    static_cast<int>(share * 100.0));
    // Early on the rate is mostly preparation and would mislead.
    if (share >= 0.03 && elapsed_s >= 0.5)
        text += fmt::format("  {} left", time_text(elapsed_s * (1.0 - share) / share));
    return text;
}

Progress::Progress(std::function<void(std::string_view)> show)
    : show_(std::move(show)), start_(Clock::now()), shown_(start_ - std::chrono::hours(1)) {
    update(0.0);
}

Progress::~Progress() {
    if (show_) show_(fmt::format("\r{:<{}}\r", "", shown_length_));
}

void Progress::update(double done_share) {
    if (!show_) return;
    const std::lock_guard lock(mutex_);
    const auto now = Clock::now();
    const auto seconds_since = [now](Clock::time_point then) {
        return std::chrono::duration<double>(now - then).count();
    };
    if (done_share < shown_share_ || seconds_since(shown_) < shortest_pause_s) return;
    const std::string text = progress_text(done_share, seconds_since(start_));
    const std::size_t length = std::max(text.size(), shown_length_);
    show_(fmt::format("\r{:<{}}", text, length));
    shown_ = now;
    shown_share_ = done_share;
    shown_length_ = length;
}

}  // namespace lampflight
