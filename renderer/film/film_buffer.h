// Memory for as many numbers as a film has pixels. It is zero from the start and, where there is
// much of it, takes up none before it is written to: the ground's films stay empty where the sky
// is, and the sky's on the ground.
#pragma once

#include <algorithm>
#include <cstddef>
#include <new>
#include <type_traits>
#include <utility>

namespace lampflight {

/// Zeros, in large pages where that helps. Throws std::bad_alloc.
void* zeroed_memory(std::size_t bytes);
void free_memory(void* block) noexcept;

/// A fixed number of values. Constructors throw std::bad_alloc.
template <class Value>
class FilmBuffer {
    static_assert(std::is_trivially_copyable_v<Value>);

public:
    FilmBuffer() = default;
    explicit FilmBuffer(std::size_t count) : size_(count) {
        if (count > (static_cast<std::size_t>(-1) >> 1) / sizeof(Value)) throw std::bad_alloc();
        if (count > 0) values_ = static_cast<Value*>(zeroed_memory(count * sizeof(Value)));
    }
    FilmBuffer(std::size_t count, const Value& value) : FilmBuffer(count) {
        std::fill(begin(), end(), value);
    }
    FilmBuffer(const FilmBuffer& other) : FilmBuffer(other.size_) {
        std::copy(other.begin(), other.end(), begin());
    }
    FilmBuffer(FilmBuffer&& other) noexcept { swap(other); }
    FilmBuffer& operator=(FilmBuffer other) noexcept {
        swap(other);
        return *this;
    }
    ~FilmBuffer() { free_memory(values_); }

    void swap(FilmBuffer& other) noexcept {
        std::swap(values_, other.values_);
        std::swap(size_, other.size_);
    }

    std::size_t size() const { return size_; }
    bool empty() const { return size_ == 0; }
    Value* data() { return values_; }
    const Value* data() const { return values_; }
    Value* begin() { return values_; }
    const Value* begin() const { return values_; }
    Value* end() { return values_ + size_; }
    const Value* end() const { return values_ + size_; }
    Value& operator[](std::size_t i) { return values_[i]; }
    const Value& operator[](std::size_t i) const { return values_[i]; }
    Value& front() { return *values_; }
    const Value& front() const { return *values_; }

    friend bool operator==(const FilmBuffer& a, const FilmBuffer& b) {
        return std::equal(a.begin(), a.end(), b.begin(), b.end());
    }

private:
    Value* values_ = nullptr;
    std::size_t size_ = 0;
};

}  // namespace lampflight
