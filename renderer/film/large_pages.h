// Memory in pages of 2 MB, where the system has them: a 24-megapixel film is 70 thousand of the
// usual size, and to be handed them one by one takes longer than to fill them.
#pragma once

#include <sys/mman.h>

#include <cstddef>
#include <cstdint>
#include <cstring>
#include <new>

#include "renderer/film/spare_memory.h"

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

/// A block by itself in large pages that takes up no memory before it is written to, unless it
/// belonged to another. Throws std::bad_alloc.
class MappedBlock {
public:
    /// Zero from the start.
    static void* take(std::size_t bytes) {
        if (void* const spare = SpareMemory::of_films().take(rounded(bytes)))
            return std::memset(spare, 0, bytes);
        return fresh(rounded(bytes));
    }

    /// Whatever it holds.
    static void* take_unset(std::size_t bytes) {
        void* const spare = SpareMemory::of_films().take(rounded(bytes));
        return spare != nullptr ? spare : fresh(rounded(bytes));
    }

    static void give_back(void* block, std::size_t bytes) noexcept {
        if (!SpareMemory::of_films().keep(block, rounded(bytes))) munmap(block, rounded(bytes));
    }

private:
    static std::size_t rounded(std::size_t bytes) {
        return (bytes + large_page_bytes - 1) / large_page_bytes * large_page_bytes;
    }

    static void* mapped(std::size_t bytes) {
        void* const block =
            mmap(nullptr, bytes, PROT_READ | PROT_WRITE, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0);
        if (block == MAP_FAILED) throw std::bad_alloc();
        return block;
    }

    /// Begins where a large page may, and gives back what lies before and behind.
    static void* fresh(std::size_t bytes) {
        auto* const first = static_cast<std::byte*>(mapped(bytes + large_page_bytes));
        const std::size_t before =
            (large_page_bytes - reinterpret_cast<std::uintptr_t>(first)) & (large_page_bytes - 1);
        std::byte* const block = first + before;
        if (before > 0) munmap(first, before);
        munmap(block + bytes, large_page_bytes - before);
        wish_large_pages(block, bytes);
        return block;
    }
};

/// For containers that may grow large.
template <class Value>
struct LargePages {
    using value_type = Value;

    LargePages() = default;
    template <class Other>
    LargePages(const LargePages<Other>&) {}  // NOLINT: allocators are made from each other

    Value* allocate(std::size_t count) {
        if (count > (static_cast<std::size_t>(-1) >> 1) / sizeof(Value)) throw std::bad_alloc();
        const std::size_t bytes = count * sizeof(Value);
        void* const block =
            bytes < large_page_bytes ? ::operator new(bytes) : MappedBlock::take_unset(bytes);
        return static_cast<Value*>(block);
    }

    void deallocate(Value* values, std::size_t count) noexcept {
        const std::size_t bytes = count * sizeof(Value);
        if (bytes < large_page_bytes)
            ::operator delete(values);
        else
            MappedBlock::give_back(values, bytes);
    }

    friend bool operator==(const LargePages&, const LargePages&) { return true; }
};

}  // namespace lampflight
