// Memory that large blocks gave back, kept for whoever asks next: to be handed fresh pages, each
// cleared by the system, can take longer than to fill them.
#pragma once

#include <cstddef>
#include <map>
#include <mutex>

namespace lampflight {

/// Stretches of mapped memory, in whole large pages. For several threads at once.
class SpareMemory {
public:
    /// Keeps so much at most.
    explicit SpareMemory(std::size_t most_bytes) : most_bytes_(most_bytes) {}

    /// So much of what is kept, as it was left; null where no stretch is as long.
    void* take(std::size_t bytes);

    /// Keeps a block. False for more than is to be kept.
    bool keep(void* block, std::size_t bytes);

    /// The one that blocks of films share.
    static SpareMemory& of_films();

private:
    std::size_t most_bytes_;
    std::mutex mutex_;
    std::size_t kept_bytes_ = 0;
    std::map<std::byte*, std::size_t> stretches_;  ///< no two side by side
};

}  // namespace lampflight
