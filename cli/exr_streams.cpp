#include "cli/exr_streams.h"

#include <unistd.h>
#include <algorithm>
#include <cerrno>
#include <cstring>

#include <OpenEXR/Iex.h>

namespace lampflight {
namespace {

constexpr std::size_t output_buffer_bytes = std::size_t{1} << 20;
constexpr std::size_t input_buffer_bytes = std::size_t{1} << 13;

[[noreturn]] void throw_errno() {
    throw std::system_error(errno, std::generic_category());
}

/// Whether `count` bytes at a place lie within a file.
bool within_file(std::uint64_t place, int count, std::uint64_t size) {
    return count >= 0 && place <= size && static_cast<std::uint64_t>(count) <= size - place;
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

void ExrMemoryOutput::write(const char bytes[], int count) {
    const std::size_t end = at_ + static_cast<std::size_t>(count);
    if (bytes_.size() < end) bytes_.resize(end);
    std::memcpy(bytes_.data() + at_, bytes, static_cast<std::size_t>(count));
    at_ = end;
}

ExrFileInput::OpenFile::~OpenFile() {
    ::close(descriptor);
}

ExrFileInput::ExrFileInput(int descriptor, std::uint64_t size)
    : ExrFileInput(std::shared_ptr<const OpenFile>(new OpenFile{descriptor}), size) {}

ExrFileInput::ExrFileInput(std::shared_ptr<const OpenFile> file, std::uint64_t size)
    : ExrInput("layers"), file_(std::move(file)), size_(size) {}

std::unique_ptr<ExrInput> ExrFileInput::again() const {
    return std::unique_ptr<ExrInput>(new ExrFileInput(file_, size_));
}

bool ExrFileInput::read(char bytes[], int count) {
    if (!within_file(at_, count, size_)) throw Iex::InputExc(std::string(ended_too_early));
    auto left = static_cast<std::size_t>(count);
    const auto take_buffered = [&] {
        if (at_ < buffer_at_ || at_ >= buffer_at_ + buffer_.size()) return;
        const std::uint64_t from = at_ - buffer_at_;
        const std::size_t held = std::min<std::uint64_t>(left, buffer_.size() - from);
        std::memcpy(bytes, buffer_.data() + from, held);
        bytes += held;
        at_ += held;
        left -= held;
    };
    take_buffered();
    if (left >= input_buffer_bytes) {
        read_at(at_, bytes, left);
        at_ += left;
    } else if (left > 0) {
        buffer_.resize(std::min<std::uint64_t>(input_buffer_bytes, size_ - at_));
        buffer_at_ = at_;
        read_at(at_, buffer_.data(), buffer_.size());
        take_buffered();
    }
    return at_ < size_;
}

void ExrFileInput::read_at(std::uint64_t place, char* to, std::size_t count) const {
    while (count > 0) {
        const ssize_t got = ::pread(file_->descriptor, to, count, static_cast<off_t>(place));
        if (got < 0 && errno == EINTR) continue;
        if (got < 0) throw_errno();
        if (got == 0) throw Iex::InputExc(std::string(ended_too_early));
        to += got;
        place += static_cast<std::uint64_t>(got);
        count -= static_cast<std::size_t>(got);
    }
}

bool ExrMemoryInput::read(char bytes[], int count) {
    if (!within_file(at_, count, bytes_.size())) throw Iex::InputExc(std::string(ended_too_early));
    std::memcpy(bytes, bytes_.data() + at_, static_cast<std::size_t>(count));
    at_ += static_cast<std::uint64_t>(count);
    return at_ < bytes_.size();
}

}  // namespace lampflight
