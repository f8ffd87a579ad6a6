// Memory for what writes pictures.
#pragma once

#include <cstddef>
#include <new>

#include "renderer/film/large_pages.h"

namespace lampflight {

/// Each block begins with its size, in front of what is handed out.
constexpr std::size_t picture_memory_header = 64;

/// As `std::malloc`, from the memory that films gave back.
inline void* picture_memory(std::size_t bytes) {
    try {
        const std::size_t whole = picture_memory_header + bytes;
        std::byte* const block = LargePages<std::byte>().allocate(whole);
        new (block) std::size_t(whole);
        return block + picture_memory_header;
    } catch (const std::bad_alloc&) {
        return nullptr;
    }
}

/// As `std::free`.
inline void free_picture_memory(void* memory) {
    if (memory == nullptr) return;
    std::byte* const block = static_cast<std::byte*>(memory) - picture_memory_header;
    LargePages<std::byte>().deallocate(block, *reinterpret_cast<std::size_t*>(block));
}

}  // namespace lampflight
