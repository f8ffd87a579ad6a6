#include "renderer/film/film_buffer.h"

#include <sys/mman.h>

#include <cstdint>
#include <cstdlib>

namespace lampflight {

// A 24-megapixel film is 70 thousand pages of the usual size, and to be handed them one by one
// takes longer than to fill them. So pages of 2 MB are wished for wherever whole ones fit.
void* zeroed_memory(std::size_t bytes) {
    void* const block = std::calloc(bytes, 1);
    if (block == nullptr) throw std::bad_alloc();
#ifdef MADV_HUGEPAGE
    constexpr std::uintptr_t page = std::uintptr_t{1} << 21;
    const auto first = reinterpret_cast<std::uintptr_t>(block);
    const std::uintptr_t from = (first + page - 1) & ~(page - 1);
    const std::uintptr_t to = (first + bytes) & ~(page - 1);
    if (from < to) madvise(reinterpret_cast<void*>(from), to - from, MADV_HUGEPAGE);
#endif
    return block;
}

void free_memory(void* block) noexcept {
    std::free(block);
}

}  // namespace lampflight
