#include "renderer/film/film_buffer.h"

#include <algorithm>
#include <limits>
#include <new>

#include <doctest/doctest.h>

using namespace lampflight;

TEST_CASE("a film buffer begins at none, small or over many large pages") {
    for (const std::size_t count : {std::size_t{0}, std::size_t{1}, std::size_t{1000},
                                    std::size_t{1} << 20, (std::size_t{5} << 20) + 3}) {
        CAPTURE(count);
        FilmBuffer<float> buffer(count);
        REQUIRE(buffer.size() == count);
        CHECK(buffer.empty() == (count == 0));
        CHECK(std::ranges::all_of(buffer, [](float value) { return value == 0.0f; }));
        if (count == 0) continue;
        buffer.front() = 1.0f;
        buffer[count - 1] = 2.0f;
        CHECK(*(buffer.end() - 1) == 2.0f);
    }
}

TEST_CASE("a film buffer begins at none where another lay") {
    for (const std::size_t count :
         {std::size_t{1000}, std::size_t{100'000}, std::size_t{3'000'000}}) {
        { const FilmBuffer<float> gone(count, 1.0f); }
        const FilmBuffer<float> next(count);
        CHECK(std::ranges::all_of(next, [](float value) { return value == 0.0f; }));
    }
}

TEST_CASE("film buffers are copied, moved and compared by their values") {
    FilmBuffer<int> first(7, 3);
    FilmBuffer<int> second = first;
    CHECK(second == first);
    second[6] = 4;
    CHECK_FALSE(second == first);
    CHECK(first[6] == 3);
    const int* const values = second.data();
    FilmBuffer<int> third = std::move(second);
    CHECK(third.data() == values);
    first = third;
    CHECK(first == third);
    CHECK(first.data() != third.data());
    CHECK_FALSE(FilmBuffer<int>(6, 3) == FilmBuffer<int>(7, 3));
}

TEST_CASE("a film buffer that no memory holds is refused") {
    constexpr std::size_t most = std::numeric_limits<std::size_t>::max();
    CHECK_THROWS_AS(FilmBuffer<double>{most}, std::bad_alloc);
    CHECK_THROWS_AS(FilmBuffer<double>{most / 32}, std::bad_alloc);
}
