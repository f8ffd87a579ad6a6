#include "renderer/film/spare_memory.h"

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstring>

#include <doctest/doctest.h>

#include "renderer/film/film_buffer.h"

using namespace lampflight;

TEST_CASE("spare memory is handed out from the shortest stretch that is long enough") {
    std::array<std::byte, 100> place;
    const auto at = [&](int i) { return static_cast<void*>(place.data() + i); };
    SpareMemory spare(70);
    CHECK(spare.take(1) == nullptr);
    CHECK(spare.keep(at(0), 40));
    CHECK(spare.keep(at(60), 20));
    CHECK(spare.take(41) == nullptr);
    CHECK(spare.take(15) == at(60));
    CHECK(spare.take(15) == at(0));
    CHECK(spare.take(5) == at(75));
    CHECK(spare.take(25) == at(15));
    CHECK(spare.take(1) == nullptr);
}

TEST_CASE("spare stretches side by side are one, and there are no more than wished") {
    std::array<std::byte, 100> place;
    const auto at = [&](int i) { return static_cast<void*>(place.data() + i); };
    SpareMemory spare(60);
    CHECK(spare.keep(at(40), 20));
    CHECK(spare.keep(at(0), 20));
    CHECK_FALSE(spare.keep(at(60), 21));
    CHECK(spare.keep(at(20), 20));
    CHECK_FALSE(spare.keep(at(60), 1));
    CHECK(spare.take(60) == at(0));
    CHECK(spare.keep(at(60), 40));
    CHECK(spare.take(40) == at(60));
}

TEST_CASE("what a large film buffer gave back is there for the next, which begins at none") {
    constexpr std::size_t count = std::size_t{3} << 20;
    constexpr std::size_t bytes = count * sizeof(float);
    { const FilmBuffer<float> gone(count, 1.0f); }
    void* const spare = SpareMemory::of_films().take(bytes);
    REQUIRE(spare != nullptr);
    std::memset(spare, 1, bytes);
    CHECK(SpareMemory::of_films().keep(spare, bytes));
    const FilmBuffer<float> next(count);
    CHECK(std::ranges::all_of(next, [](float value) { return value == 0.0f; }));
}
