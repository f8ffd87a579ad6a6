// What the benchmarks found, for the tables at the end.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "tests/benchmark/measures.h"
#include "tests/benchmark/stopwatch.h"
#include "tests/reference/doorway.h"

namespace lampflight::bench {

/// One method at one setting on one flight; times are for the whole film.
struct LayerResult {
    std::string film;  ///< flight and size
    std::string method;
    std::string setting;    ///< times a pixel, or the error bound
    bool on_ladder = true;  ///< a step towards 1 %; `good` as it is stands beside
    Spent spent;
    double rays_a_pixel = 0.0;  ///< of those that see a surface
    double mrays_core_s = 0.0;  ///< million rays a second of one core
    Errors errors;
    std::optional<double> shadow_kept;
};

struct RateResult {
    std::string flight;
    std::string kind;
    Spent spent;
    double mrays = 0.0;
};

struct ScalingResult {
    std::string table;
    std::string entry;
    double amount = 0.0;  ///< megapixels, triangles or lamps
    Spent spent;          ///< for the whole film
    double rays_a_pixel = 0.0;
};

/// The sky over the demo scene's place at a moment, made once for a take.
struct DomeResult {
    std::string moment;
    Spent spent;
};

/// Processor seconds of the same picture under a stated sky and under its place's.
struct SkyPictures {
    double stated_s = 0.0;
    double place_s = 0.0;
};

/// Processor seconds of one trail, its discs 2 pixels in radius or 2000.
struct TrailCosts {
    double narrow_s = 0.0;
    double wide_s = 0.0;
};

/// A `good` picture in two: its layers put on film, and from there on lens and sensor.
struct DevelopmentResult {
    std::string size;
    Spent exposed;
    Spent developed;
};

/// The film of the lamp behind a doorway, by bounces and quality.
struct BounceResult {
    std::string setting;
    Spent spent;
    LevelErrors errors;  ///< by level
    LevelErrors whole;   ///< as sums
};

struct PictureResult {
    std::string picture;
    double megapixels = 0.0;
    Spent spent;
    double peak_mb = 0.0;
};

/// In the order in which they came first. Google Benchmark calls a function again with more
/// iterations: the last call's result stands.
template <class Result>
class Results {
public:
    void keep(const std::string& name, Result result) {
        const auto [place, is_new] = places_.try_emplace(name, all_.size());
        if (is_new)
            all_.push_back(std::move(result));
        else
            all_[place->second] = std::move(result);
    }

    const std::vector<Result>& all() const { return all_; }

private:
    std::map<std::string, std::size_t> places_;
    std::vector<Result> all_;
};

struct AllResults {
    Results<LayerResult> layers;
    Results<RateResult> rates;
    Results<ScalingResult> scaling;
    Results<PictureResult> pictures;
    Results<DevelopmentResult> developments;
    Results<DomeResult> domes;
    Results<BounceResult> bounces;
    std::optional<SkyPictures> sky_pictures;
    std::optional<TrailCosts> trails;
    std::map<std::string, double> own_errors;  ///< of the truths, by film
};

AllResults& results();

}  // namespace lampflight::bench
