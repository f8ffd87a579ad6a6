// The progress line on a terminal: a bar, the share done and the time left.
#pragma once

#include <chrono>
#include <functional>
#include <mutex>
#include <string>
#include <string_view>

namespace lampflight {

/// "[=====     ]  50 %  1 min 20 s left"; the time left only once it can be told.
std::string progress_text(double done_share, double elapsed_s);

/// Rewrites one line in place; `show` may be empty, then nothing happens. Safe from any thread.
class Progress {
public:
    explicit Progress(std::function<void(std::string_view)> show);
    ~Progress();  ///< wipes the line
    Progress(const Progress&) = delete;
    Progress& operator=(const Progress&) = delete;

    /// A share that is behind the last one shown is left out.
    void update(double done_share);

private:
    using Clock = std::chrono::steady_clock;

    std::function<void(std::string_view)> show_;
    std::mutex mutex_;
    Clock::time_point start_;
    Clock::time_point shown_;
    double shown_share_ = 0.0;
    std::size_t shown_length_ = 0;
};

}  // namespace lampflight
