#include "renderer/lens/sparse_image.h"

#include <algorithm>
#include <random>

#include "tests/film.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// One pixel in so many is lit, and the corners are.
Image sparks(const glm::ivec2& size, unsigned apart) {
    Image film(size.x, size.y);
    std::minstd_rand random(3);
    for (glm::vec3& pixel : film.pixels)
        if (random() % apart == 0) pixel = {static_cast<float>(random() % 1000 + 1), 20.0f, 1.0f};
    film.at(0, 0) = film.at(size.x - 1, size.y - 1) = glm::vec3(500.0f);
    return film;
}

/// Alike on opposite sides, in nothing else.
SpreadKernel slanted_kernel(int radius) {
    SpreadKernel kernel{radius, {}};
    for (std::size_t colour = 0; colour < 3; ++colour)
        for (int y = -radius; y <= radius; ++y)
            for (int x = -radius; x <= radius; ++x)
                kernel.taps[colour].push_back(static_cast<float>(colour + 1) /
                                              static_cast<float>(5 + x * x + x * y + 3 * y * y));
    return kernel;
}

void check_alike(const Image& one, const Image& other) {
    REQUIRE(one.pixels.size() == other.pixels.size());
    for (std::size_t i = 0; i < one.pixels.size(); ++i)
        for (int c = 0; c < 3; ++c)
            CHECK_WITHIN(static_cast<double>(one.pixels[i][c]),
                         static_cast<double>(other.pixels[i][c]),
                         1e-5 * (1.0 + static_cast<double>(other.pixels[i][c])));
}

Image dense(const SparseImage& lit) {
    Image film(lit.width, lit.height());
    for (int y = 0; y < film.height; ++y) add_row(lit, y, film.row(y));
    return film;
}

Image convolved(const SpreadKernel& kernel, const Image& film, int rows_at_once) {
    const SparseConvolution convolution(kernel);
    const SparseImage lit = lit_of(film);
    Image sum(film.width, film.height);
    for (int first = 0; first < film.height; first += rows_at_once)
        convolution.add_rows(
            lit, {film.height, first, std::min(first + rows_at_once, film.height), sum, 0});
    return sum;
}

}  // namespace

TEST_CASE("few lit pixels are halved as a whole picture is") {
    for (const glm::ivec2 size : {glm::ivec2(1, 1), glm::ivec2(2, 5), glm::ivec2(40, 31)}) {
        const Image film = sparks(size, 9);
        check_alike(dense(halved(lit_of(film))), halved(film));
    }
}

TEST_CASE("few lit pixels are convolved as a whole picture is, edges and all") {
    for (const glm::ivec2 size : {glm::ivec2(1, 1), glm::ivec2(3, 4), glm::ivec2(70, 41)}) {
        const Image film = sparks(size, 9);
        const SpreadKernel kernel = slanted_kernel(6);
        Image sum(size.x, size.y);
        std::vector<float> room;
        TapConvolution(kernel).add_rows(
            [&](int y, Row row) { std::ranges::copy(film.row(y), row.begin()); },
            {size.y, 0, size.y, sum, 0}, room);
        check_alike(convolved(kernel, film, size.y), sum);
    }
}

TEST_CASE("lit pixels make the same bytes in strips of any height") {
    const Image film = sparks({70, 41}, 5);
    const SpreadKernel kernel = slanted_kernel(4);
    const Image whole = convolved(kernel, film, 41);
    for (const int rows : {1, 3, 16}) CHECK(convolved(kernel, film, rows).pixels == whole.pixels);
}
