// Memory for films in pages of 2 MB where the system has them. A 24-megapixel film is 70 thousand
// pages of the usual size, and to be handed them one by one takes longer than to fill them.
#pragma once

#include <cstddef>
#include <cstdlib>
#include <new>
#include <vector>

#include <sys/mman.h>

namespace lampflight {

/// An allocator of the standard library's kind. Small blocks come as they always do.
template <class Value>
class LargePages {
public:
    using value_type = Value;

    LargePages() = default;
    template <class Other>
    LargePages(const LargePages<Other>&) noexcept {}

    /// Throws std::bad_alloc.
    Value* allocate(std::size_t count) {
        if (count > (static_cast<std::size_t>(-1) - page_bytes) / sizeof(Value))
            throw std::bad_array_new_length();
        const std::size_t bytes = count * sizeof(Value);
        void* const block = bytes < least_bytes ? std::malloc(bytes) : large_block(bytes);
        if (block == nullptr) throw std::bad_alloc();
        return static_cast<Value*>(block);
    }

    void deallocate(Value* block, std::size_t) noexcept { std::free(block); }

    friend bool operator==(const LargePages&, const LargePages&) noexcept { return true; }

private:
    static constexpr std::size_t page_bytes = std::size_t{1} << 21;
    static constexpr std::size_t least_bytes = 2 * page_bytes;

    static void* large_block(std::size_t bytes) {
        const std::size_t whole_pages = (bytes + page_bytes - 1) / page_bytes * page_bytes;
        void* const block = std::aligned_alloc(page_bytes, whole_pages);
#ifdef MADV_HUGEPAGE
        // A wish: where it is not granted, the pages are small.
        if (block != nullptr) madvise(block, whole_pages, MADV_HUGEPAGE);
#endif
        return block;
    }
};

/// Numbers of which there are as many as pixels.
template <class Value>
using FilmVector = std::vector<Value, LargePages<Value>>;

}  // namespace lampflight
