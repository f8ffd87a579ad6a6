// Memory in pages of 2 MB, where the system has them: a 24-megapixel film is 70 thousand of the
// usual size, and to be handed them one by one takes longer than to fill them.
#pragma once

#include <sys/mman.h>

#include <cstddef>
#include <cstdint>

namespace lampflight {

constexpr std::size_t large_page_bytes = std::size_t{1} << 21;

/// Wishes for large pages wherever whole ones fit into a block that is not written to yet, whoever
/// it came from. Small blocks stay as they are.
inline void wish_large_pages([[maybe_unused]] void* block, [[maybe_unused]] std::size_t bytes) {
#ifdef MADV_HUGEPAGE
    const auto first = reinterpret_cast<std::uintptr_t>(block);
    const std::uintptr_t from = (first + large_page_bytes - 1) & ~(large_page_bytes - 1);
    const std::uintptr_t to = (first + bytes) & ~(large_page_bytes - 1);
    if (from < to) madvise(reinterpret_cast<void*>(from), to - from, MADV_HUGEPAGE);
#endif
}

}  // namespace lampflight
