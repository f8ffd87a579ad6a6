#include "cli/layers/exr_output.h"

#include <unistd.h>
#include <algorithm>
#include <cerrno>

namespace lampflight {
namespace {

constexpr std::size_t output_buffer_bytes = std::size_t{1} << 20;

[[noreturn]] void throw_errno() {
    throw std::system_error(errno, std::generic_category());
}

}  // namespace

ExrFileOutput::ExrFileOutput(int descriptor, std::stop_token stop)
    : OStream("layers"), descriptor_(descriptor), stop_(std::move(stop)) {}

void ExrFileOutput::write(const char bytes[], int count) {
    buffer_.append(bytes, static_cast<std::size_t>(count));
    if (buffer_.size() >= output_buffer_bytes) flush();
}

void ExrFileOutput::seekp(std::uint64_t place) {
    if (place == tellp()) return;
    flush();
    at_ = place;
}

void ExrFileOutput::flush() {
    const char* from = buffer_.data();
    std::size_t left = buffer_.size();
    while (left > 0) {
        if (stop_.stop_requested()) throw WriteStopped{};
        const ssize_t count = ::pwrite(descriptor_, from, std::min(left, output_buffer_bytes),
                                       static_cast<off_t>(at_));
        if (count < 0 && errno == EINTR) continue;
        if (count < 0) throw_errno();
        from += count;
        left -= static_cast<std::size_t>(count);
        at_ += static_cast<std::uint64_t>(count);
    }
    buffer_.clear();
}

}  // namespace lampflight
