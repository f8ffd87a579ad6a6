#include "cli/exr_source.h"

#include <unistd.h>
#include <cerrno>
#include <cstring>
#include <string>
#include <system_error>

#include "cli/unfit_layers.h"

namespace lampflight {

void ExrSource::read(std::uint64_t place, char* to, std::size_t count) const {
    if (count == 0) return;
    if (place > size() || count > size() - place) throw UnfitLayers{std::string(ended_too_early)};
    read_within(place, to, count);
}

ExrFileSource::~ExrFileSource() {
    ::close(descriptor_);
}

void ExrFileSource::read_within(std::uint64_t place, char* to, std::size_t count) const {
    while (count > 0) {
        const ssize_t got = ::pread(descriptor_, to, count, static_cast<off_t>(place));
        if (got < 0 && errno == EINTR) continue;
        if (got < 0) throw std::system_error(errno, std::generic_category());
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
