#include "renderer/film/spare_memory.h"

#include <iterator>

namespace lampflight {

void* SpareMemory::take(std::size_t bytes) {
    const std::lock_guard lock(mutex_);
    auto best = stretches_.end();
    for (auto i = stretches_.begin(); i != stretches_.end(); ++i)
        if (i->second >= bytes && (best == stretches_.end() || i->second < best->second)) best = i;
    if (best == stretches_.end()) return nullptr;
    const auto [first, length] = *best;
    stretches_.erase(best);
    if (length > bytes) stretches_.emplace(first + bytes, length - bytes);
    kept_bytes_ -= bytes;
    return first;
}

bool SpareMemory::keep(void* block, std::size_t bytes) {
    const std::lock_guard lock(mutex_);
    if (bytes > most_bytes_ - kept_bytes_) return false;
    kept_bytes_ += bytes;
    auto here = stretches_.emplace(static_cast<std::byte*>(block), bytes).first;
    if (const auto next = std::next(here);
        next != stretches_.end() && here->first + here->second == next->first) {
        here->second += next->second;
        stretches_.erase(next);
    }
    if (here != stretches_.begin())
        if (const auto before = std::prev(here); before->first + before->second == here->first) {
            before->second += here->second;
            stretches_.erase(here);
        }
    return true;
}

SpareMemory& SpareMemory::of_films() {
    constexpr std::size_t most_bytes = std::size_t{256} << 20;
    // Never destroyed: blocks of static lifetime are given back after it would be.
    static auto* const spare = new SpareMemory(most_bytes);
    return *spare;
}

}  // namespace lampflight
