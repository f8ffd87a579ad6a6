#include "tests/reference/doorway.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <random>
#include <stdexcept>

#include "scene/reader/read_shoot.h"
#include "scene/shoot/presence.h"
#include "tests/text_of.h"

namespace lampflight {
namespace {

constexpr double lit_share = 0.5;  // of a block's light, from where on it belongs to the strip
constexpr double shaded_share = 0.01;

double luminance_of_pixel(const Image& film, const glm::ivec2& px) {
    return luminance(Rgb(film.at(px.x, px.y)));
}

glm::ivec2 pixel_of(const glm::ivec2& corner_px, std::size_t pixel) {
    const auto number = static_cast<int>(pixel);
    return corner_px + glm::ivec2(number % film_block_side, number / film_block_side);
}

double block_mean(const Image& film, const glm::ivec2& corner_px) {
    double sum = 0.0;
    for (std::size_t pixel = 0; pixel < film_block_pixels; ++pixel)
        sum += luminance_of_pixel(film, pixel_of(corner_px, pixel));
    return sum / film_block_pixels;
}

/// What one value in so many exceeds.
double exceeded_by_one_in(std::vector<double> values, std::size_t many) {
    if (values.empty()) return 0.0;
    const std::size_t place = values.size() / many;
    std::ranges::nth_element(values, values.begin() + static_cast<std::ptrdiff_t>(place),
                             std::greater<>{});
    return values[place];
}

/// Sums of film and truth over blocks.
class BlockSums {
public:
    void add(double film, const TracedBlock& block) {
        film_ += film;
        truth_ += block.total_lxs();
        squares_ += std::pow(block.total_error_lxs, 2);
    }

    LevelErrors::Sum found() const { return {film_ / truth_ - 1.0, std::sqrt(squares_) / truth_}; }

private:
    double film_ = 0.0, truth_ = 0.0, squares_ = 0.0;
};

/// Relative errors of the blocks of one band.
class BandErrors {
public:
    void add(double film, const TracedBlock& block) {
        const double truth = block.total_lxs();
        sums_.add(film, block);
        squares_ += std::pow(film / truth - 1.0, 2);
        truth_squares_ += std::pow(block.total_error_lxs / truth, 2);
        ++blocks_;
    }

    LevelErrors::Band found() const {
        if (blocks_ == 0) return {};
        const auto count = static_cast<double>(blocks_);
        return {blocks_, std::sqrt(squares_ / count), sums_.found().off,
                std::sqrt(truth_squares_ / count)};
    }

private:
    BlockSums sums_;
    double squares_ = 0.0, truth_squares_ = 0.0;
    std::size_t blocks_ = 0;
};

}  // namespace

std::string doorway_file() {
    return std::string(LAMPFLIGHT_SOURCE_DIR) + "/tests/doorway/doorway.toml";
}

PlacedShoot doorway_shoot() {
    const std::string file = doorway_file();
    Checked<PlacedShoot> read = read_placed_shoot(text_of(file), file);
    if (const auto* problems = std::get_if<std::vector<Problem>>(&read))
        throw std::runtime_error(to_string(problems->front()));
    return std::get<PlacedShoot>(std::move(read));
}

std::vector<glm::ivec2> scattered_blocks(const glm::ivec2& film_px, const glm::ivec2& group) {
    std::mt19937 random(1);
    std::vector<glm::ivec2> corners_px;
    const glm::ivec2 groups = film_px / film_block_side / group;
    for (int y = 0; y < groups.y; ++y)
        for (int x = 0; x < groups.x; ++x) {
            const auto place =
                static_cast<int>(random() % static_cast<unsigned>(group.x * group.y));
            corners_px.push_back(film_block_side * (glm::ivec2(x, y) * group +
                                                    glm::ivec2(place % group.x, place / group.x)));
        }
    return corners_px;
}

std::vector<TracedBlock> doorway_truth(const PlacedShoot& shoot,
                                       const std::vector<glm::ivec2>& corners_px,
                                       const PathTracing& settings) {
    const Take& take = shoot.takes.front();
    const Geometry geometry(shoot, present_subjects(shoot, take));
    return traced_blocks(shoot, take, "lamp", geometry, corners_px, settings);
}

std::vector<glm::ivec2> all_blocks(const glm::ivec2& film_px) {
    return scattered_blocks(film_px, {1, 1});
}

std::vector<TracedBlock> whole_doorway_truth(const PlacedShoot& shoot, int bounces) {
    return doorway_truth(shoot, all_blocks(shoot.camera.pixels),
                         {.bounces = bounces, .first_batches = 0, .most_batches = 3});
}

double strip_lxs(const std::vector<TracedBlock>& truth) {
    double sum = 0.0, count = 0.0;
    for (const TracedBlock& block : truth)
        if (block.direct_lxs > lit_share * block.total_lxs()) {
            sum += block.total_lxs();
            count += 1.0;
        }
    return count > 0.0 ? sum / count : 0.0;
}

double level_stops(const TracedBlock& block, double strip) {
    return std::log2(block.total_lxs() / strip);
}

bool in_shade(const TracedBlock& block) {
    return block.bounced_lxs > 0.0 && block.direct_lxs <= shaded_share * block.total_lxs();
}

LevelErrors level_errors(const Image& film, const std::vector<glm::ivec2>& corners_px,
                         const std::vector<TracedBlock>& truth) {
    const double strip = strip_lxs(truth);
    const double darkest = strip * std::exp2(level_bands.back().from_stops);
    BlockSums all, shade;
    std::array<BandErrors, level_bands.size()> bands;
    std::vector<double> ratios;
    for (std::size_t b = 0; b < truth.size(); ++b) {
        const TracedBlock& block = truth[b];
        const double found = block_mean(film, corners_px[b]);
        all.add(found, block);
        if (!in_shade(block)) continue;
        shade.add(found, block);
        for (std::size_t pixel = 0; pixel < film_block_pixels; ++pixel)
            ratios.push_back(luminance_of_pixel(film, pixel_of(corners_px[b], pixel)) /
                             std::max(block.pixel_lxs[pixel], darkest));
        const double level = level_stops(block, strip);
        for (std::size_t k = 0; k < level_bands.size(); ++k)
            if (level_bands[k].from_stops <= level && level < level_bands[k].to_stops)
                bands[k].add(found, block);
    }
    LevelErrors errors;
    for (std::size_t k = 0; k < level_bands.size(); ++k) errors.bands[k] = bands[k].found();
    errors.all = all.found();
    errors.shade = shade.found();
    errors.bright_pixel = exceeded_by_one_in(std::move(ratios), 10'000);
    return errors;
}

}  // namespace lampflight
