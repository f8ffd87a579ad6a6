// Memory for what writes pictures.
#pragma once

#include <cstddef>
#include <cstdlib>

#include "renderer/large_pages.h"

namespace lampflight {

/// As `std::malloc`, to be freed as from there, in large pages where these fit.
inline void* picture_memory(std::size_t bytes) {
    void* const block = std::malloc(bytes);
    if (block != nullptr) wish_large_pages(block, bytes);
    return block;
}

}  // namespace lampflight
