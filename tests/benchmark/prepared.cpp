#include "tests/benchmark/prepared.h"

namespace lampflight::bench {

Prepared::Prepared(LampFlight flight, const FilmSize& size)
    : flight_(std::move(flight)), size_(size) {
    flight_.shoot.camera.sensor_pixels_across =
        static_cast<double>(flight_.shoot.camera.pixels.x) / size.pixels.x;
    flight_.shoot.camera.pixels = size.pixels;
    geometry_ = geometry_of(flight_);
    for (const LitLamp& lamp : flying_lamps(flight_)) tracks_.emplace_back(lamp, AimTargets{});
    camera_rays_.emplace(flight_.shoot.camera, *geometry_, good());
    film_ = see_film(*camera_rays_, size.pixels, size.every);
}

const EmbreeRays& Prepared::embree() {
    if (!embree_) embree_ = std::make_unique<EmbreeRays>(geometry_->meshes());
    return *embree_;
}

const Truth& Prepared::truth() {
    if (!truth_)
        truth_ = truth_of(flight_.name, film_, tracks_.front(), *geometry_, size_.truth_times);
    return *truth_;
}

const std::vector<float>& Prepared::without_fine() {
    if (!without_fine_) {
        without_fine_.emplace();
        if (!flight_.fine_subjects.empty())
            without_fine_ = truth_of(flight_.name + "_bare", film_, tracks_.front(),
                                     *geometry_of(flight_, true), size_.truth_times)
                                .grey;
    }
    return *without_fine_;
}

Prepared& prepared(const std::string& name, const FilmSize& size,
                   LampFlight (*make)(const std::string&)) {
    static std::unique_ptr<Prepared> latest;
    static std::string latest_name;
    static FilmSize latest_size;
    if (!latest || latest_name != name || latest_size != size) {
        latest.reset();  // before the next is made: both may not fit
        latest = std::make_unique<Prepared>(make(name), size);
        latest_name = name;
        latest_size = size;
    }
    return *latest;
}

}  // namespace lampflight::bench
