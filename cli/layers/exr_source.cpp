#include "cli/layers/exr_source.h"

#include <unistd.h>
#include <algorithm>
#include <array>
#include <cerrno>
#include <cstring>
#include <string>
#include <system_error>
#include <vector>

#include <tbb/enumerable_thread_specific.h>

#include "cli/layers/unfit_layers.h"

namespace lampflight {

void ExrSource::read(std::uint64_t place, char* to, std::size_t count) const {
    if (count == 0) return;
    if (place > size() || count > size() - place) throw UnfitLayers{std::string(ended_too_early)};
    read_within(place, to, count);
}

/// Stretches of the file that one thread read last.
struct ReadAhead {
    struct Stretch {
        std::uint64_t place = 0;
        std::vector<char> bytes = {};
        bool holds(std::uint64_t wanted) const {
            return wanted >= place && wanted - place < bytes.size();
        }
    };
    std::array<Stretch, 16> stretches = {};  // as many films may be read in turn
    std::size_t next = 0;                    ///< that gives way
};

struct ExrFileSource::Threads {
    tbb::enumerable_thread_specific<ReadAhead> each;
};

ExrFileSource::ExrFileSource(int descriptor, std::uint64_t size)
    : descriptor_(descriptor), size_(size), threads_(std::make_unique<Threads>()) {}

ExrFileSource::~ExrFileSource() {
    ::close(descriptor_);
}

void ExrFileSource::read_within(std::uint64_t place, char* to, std::size_t count) const {
    constexpr std::size_t stretch_bytes = std::size_t{1} << 16;
    ReadAhead& mine = threads_->each.local();
    while (count > 0) {
        auto held = std::ranges::find_if(mine.stretches,
                                         [&](const auto& known) { return known.holds(place); });
        if (held == mine.stretches.end()) {
            if (count >= stretch_bytes) return read_file(place, to, count);
            held = mine.stretches.begin() + static_cast<std::ptrdiff_t>(mine.next);
            mine.next = (mine.next + 1) % mine.stretches.size();
            held->place = size_;  // holds nothing if reading fails
            held->bytes.resize(std::min<std::uint64_t>(stretch_bytes, size_ - place));
            read_file(place, held->bytes.data(), held->bytes.size());
            held->place = place;
        }
        const std::size_t from = place - held->place;
        const std::size_t part = std::min(count, held->bytes.size() - from);
        std::memcpy(to, held->bytes.data() + from, part);
        place += part;
        to += part;
        count -= part;
    }
}

void ExrFileSource::read_file(std::uint64_t place, char* to, std::size_t count) const {
    while (count > 0) {
        const ssize_t got = ::pread(descriptor_, to, count, static_cast<off_t>(place));
        if (got < 0 && errno == EINTR) continue;
        if (got < 0) throw UnfitLayers{std::generic_category().message(errno)};
        if (got == 0) throw UnfitLayers{std::string(ended_too_early)};
        to += got;
        place += static_cast<std::uint64_t>(got);
        count -= static_cast<std::size_t>(got);
    }
}

void ExrMemorySource::read_within(std::uint64_t place, char* to, std::size_t count) const {
    std::memcpy(to, bytes_.data() + place, count);
}

}  // namespace lampflight
