#include "cli/session/heap_at_hand.h"

#include <malloc.h>
#include <unistd.h>
#include <cstddef>
#include <cstdint>
#include <cstdlib>

#include "renderer/film/large_pages.h"

namespace lampflight {

void keep_heap_at_hand() {
    constexpr int two_gigabytes = 2'000'000'000;
    constexpr int ahead = 64 << 20;
    mallopt(M_MMAP_THRESHOLD, two_gigabytes);
    mallopt(M_TRIM_THRESHOLD, two_gigabytes);
    mallopt(M_ARENA_MAX, 1);
    mallopt(M_TOP_PAD, ahead);
    // A block that stays fills the heap to where the first large page begins, for none may be
    // touched before it is wished for.
    [[maybe_unused]] static void* volatile filling;
    auto* const first = static_cast<std::byte*>(sbrk(0));
    const std::size_t before =
        large_page_bytes - reinterpret_cast<std::uintptr_t>(first) % large_page_bytes;
    constexpr std::size_t bookkeeping = 64;
    filling = std::malloc(mallinfo2().keepcost + before - bookkeeping);
    const auto* const end = static_cast<std::byte*>(sbrk(0));
    if (end > first) wish_large_pages(first, static_cast<std::size_t>(end - first));
    // Ever after only a little, or a limit on memory might refuse what there is room for.
    constexpr int little_ahead = 1 << 20;
    mallopt(M_TOP_PAD, little_ahead);
}

}  // namespace lampflight
