#include "renderer/expose/memory_need.h"

#include <cmath>
#include <set>
#include <utility>

#include "renderer/expose/frame_shares.h"
#include "renderer/expose/shared_passes.h"
#include "renderer/expose/trail_reach.h"
#include "renderer/lens/diffraction.h"
#include "scene/shoot/lit_lamp.h"
#include "scene/shoot/take_moment.h"
#include "scene/sky/night_sky.h"

namespace lampflight {
namespace {

constexpr double mb = 1e6;

// Chosen so that the peak of whole renders is not undercut; single parts were not measured but for
// the first: a mesh's file, its text and the loader's tables, at 100 thousand and a million.
constexpr double reading_bytes_of_triangle = 260.0;
constexpr double program_bytes = 24 * mb;  // libraries, stacks and tables that come with the work
constexpr double sky_bytes = 6 * mb;       // tables of one moment's dome
constexpr double rough_ground_bytes = 24 * mb;  // with its stones and their tree
constexpr double flat_ground_bytes = 16 * mb;
constexpr double tree_bytes_of_triangle = 130.0;  // Embree's, while it builds
constexpr double cache_bytes_of_vertex = 28.0;
constexpr double cells_at_most = 30000.0;  // of the irradiance cache, with what refines it
constexpr double cell_bytes = 80.0;
constexpr double cell_bytes_of_source = 24.0;
constexpr double lamp_bytes = 0.3 * mb;  // its course in tables
constexpr double tile_bytes = 2.0 * mb;  // of a thread
constexpr double page_bytes = 2.1 * mb;  // a film ends within one

constexpr double film_bytes_px = 12.0;
constexpr double depth_bytes_px = 4.0;
// Blur by depth, weights and bounds of the wide discs, and again of the smoothing; one in the
// making. Light held apart until all of a film has been read, as its list grows.
constexpr double blur_bytes_px = 16.0;
constexpr double smoothed_bytes_px = 28.0;
constexpr double apart_bytes_px = 20.0;
constexpr double smoothing_from_px = 8.0;

constexpr double trail_place_bytes = 8.0;  // of a pixel, beside its parts
constexpr double trail_list_bytes = 64.0;  // where a row's are looked up

double pixels_of(const Camera& camera) {
    return static_cast<double>(camera.pixels.x) * camera.pixels.y;
}

double trail_pixel_bytes(const Camera& camera) {
    const double side = trail_side(camera);
    return film_bytes_px * side * side + trail_place_bytes;
}

/// Those of a take, and their sum of which it is developed.
void add_trails(const Camera& camera, double reached_px, MemoryNeed& need) {
    need.trails += reached_px * trail_pixel_bytes(camera);
    need.trail_growth += reached_px * (trail_pixel_bytes(camera) + trail_list_bytes);
}

/// Films of a shoot's takes, pass by pass as `expose` goes.
class Films {
public:
    Films(const PlacedShoot& shoot, const std::vector<const Take*>& takes)
        : shoot_(shoot), takes_(takes), pixels_(pixels_of(shoot.camera)) {
        for (const Take* take : takes) {
            lit_.push_back(lit_lamps(shoot, *take));
            f_numbers_.push_back(settings_of(shoot, *take).f_number);
        }
        FrameShares all{0.0, 0.0, 0.0, 0.0};
        for (const double f_number : std::set<double>(f_numbers_.begin(), f_numbers_.end())) {
            const FrameShares shares = frame_shares(shoot, f_number);
            all = {shares.surfaces, shares.sky, std::max(all.blurred, shares.blurred),
                   std::max(all.widest_blur_px, shares.widest_blur_px)};
        }
        blurred_ = all.blurred;
        full_ = film_bytes_px * pixels_;
        surface_ = std::min(full_, all.surfaces * full_ + page_bytes);
        view_ = std::min(full_, all.sky * full_ + page_bytes);
        const bool smooth = all.widest_blur_px > smoothing_from_px;
        if (blurred_ > 0.0)
            defocus_ = pixels_ *
                       ((smooth ? smoothed_bytes_px : blur_bytes_px) + apart_bytes_px * blurred_);
    }

    void expose() {
        for (const SharedPass& pass : shared_passes(shoot_, takes_)) expose(pass);
    }

    double most_bytes() const { return most_; }
    /// Whole: some systems find memory for rows that were never written once they are read.
    double kept_bytes() const { return static_cast<double>(kept_films_) * full_; }
    double defocus_bytes() const { return defocus_; }
    std::size_t most_lamps() const { return most_lamps_; }
    std::size_t skies() const { return skies_.size(); }
    const std::vector<std::vector<LitLamp>>& lit() const { return lit_; }
    const std::vector<double>& f_numbers() const { return f_numbers_; }

private:
    using OwnLayer = std::pair<std::size_t, std::string>;  ///< take and layer

    /// Sun and moon where they light surfaces straight.
    std::size_t discs_at(double after_s) const {
        if (!shoot_.place) return 0;
        constexpr double some_of_it_deg = -0.5;
        const NightSky sky = night_sky(shoot_, shoot_.place->when.unix_s + after_s);
        return (sky.sun.altitude_deg > some_of_it_deg ? 1u : 0u) +
               (sky.moon.altitude_deg > some_of_it_deg ? 1u : 0u);
    }

    void keep(double bytes) {
        kept_ += bytes;
        ++kept_films_;
    }

    /// A film that is no other layer's: a take's second is added to its first.
    void keep_own(std::size_t take, const std::string& layer, double bytes) {
        if (own_.insert({take, layer}).second)
            keep(bytes);
        else if (summed_.insert({take, layer}).second)
            kept_ += full_ - bytes;
    }

    void keep_sky(const SharedPass& pass, std::size_t sky, const std::string& layer, double bytes) {
        std::set<double> f_numbers;
        std::vector<std::size_t> users;
        for (const PassUse& use : pass.uses)
            if (use.sky == sky) {
                users.push_back(use.take);
                f_numbers.insert(f_numbers_[use.take]);
            }
        if (users.size() == 1) return keep_own(users.front(), layer, bytes);
        keep(bytes);
        if (blurred_ > 0.0)
            for (std::size_t i = 1; i < f_numbers.size(); ++i) keep(full_);
    }

    void expose(const SharedPass& pass) {
        double films = depth_bytes_px * pixels_;
        std::size_t lamps = 0, discs = 0;
        for (const PassUse& use : pass.uses)
            for (const LitLamp& lit : lit_[use.take])
                if (!lit_during(lit, use.times).lit.empty()) ++lamps;
        for (const double after_s : pass.skies_after_s) {
            skies_.insert(after_s);
            discs += discs_at(after_s);
        }
        films += static_cast<double>(lamps + discs + pass.skies_after_s.size()) * surface_;
        films += static_cast<double>(pass.skies_after_s.size()) * view_;
        most_lamps_ = std::max(most_lamps_, lamps);
        const double before = kept_;
        for (const PassUse& use : pass.uses)
            for (const LitLamp& lit : lit_[use.take])
                if (!lit_during(lit, use.times).lit.empty())
                    keep_own(use.take, lit.lamp->name, surface_);
        for (std::size_t sky = 0; sky < pass.skies_after_s.size(); ++sky) {
            keep_sky(pass, sky, "sky by surface", surface_);
            keep_sky(pass, sky, "sky by view", view_);
            for (std::size_t disc = 0; disc < discs_at(pass.skies_after_s[sky]); ++disc)
                keep_sky(pass, sky, "disc " + std::to_string(disc), surface_);
        }
        const double summing = summed_.empty() ? 0.0 : full_;
        most_ = std::max({most_, before + films + summing, kept_ + depth_bytes_px * pixels_});
    }

    const PlacedShoot& shoot_;
    const std::vector<const Take*>& takes_;
    double pixels_;
    std::vector<std::vector<LitLamp>> lit_;
    std::vector<double> f_numbers_;
    double full_ = 0.0, surface_ = 0.0, view_ = 0.0, blurred_ = 0.0, defocus_ = 0.0;
    double most_ = 0.0, kept_ = 0.0;
    std::size_t kept_films_ = 0, most_lamps_ = 0;
    std::set<double> skies_;
    std::set<OwnLayer> own_, summed_;
};

/// Room of a thread for strips of a picture this wide.
double strip_bytes(const Camera& camera, const KernelRadii& radii) {
    constexpr double rows = 64.0;
    const double width = camera.pixels.x;
    const double strips = 3.0 * rows * film_bytes_px + 0.5 * (0.5 * rows + 3.0) * film_bytes_px;
    const double window = film_bytes_px * (2.0 * std::max(radii.near, radii.mid) + 4.0);
    return width * (strips + window + 40.0 * film_bytes_px) +
           2.0 * std::max(radii.near, radii.mid) * window;
}

void add_development(const Shoot& shoot, const std::vector<double>& f_numbers,
                     const PictureBytes& picture, int threads, MemoryNeed& need) {
    const Camera& camera = shoot.camera;
    const double pixels = pixels_of(camera);
    // Of each take the surfaces at half the size and, twice, at a quarter.
    need.development +=
        static_cast<double>(f_numbers.size()) * film_bytes_px * pixels * (1.0 / 4.0 + 2.0 / 16.0);
    double widest_strip = 0.0;
    for (const double f_number : std::set<double>(f_numbers.begin(), f_numbers.end())) {
        const KernelRadii radii = kernel_radii(camera, f_number);
        const double ring = (0.25 * camera.pixels.x + 2.0 * radii.far + 8.0) *
                            (0.25 * camera.pixels.y + 2.0 * radii.far + 8.0);
        const glm::dvec3 sides = 2.0 * glm::dvec3(radii.far, radii.near, radii.mid) + 1.0;
        const double taps = glm::dot(glm::dvec3(1.0, 8.0, 8.0), sides * sides);
        need.development += film_bytes_px * taps + (6.0 + 4.0) * ring;
        widest_strip = std::max(widest_strip, strip_bytes(camera, radii));
    }
    need.threads += threads * (tile_bytes + widest_strip);
    need.picture = pixels * picture.developing;
    need.file = pixels * picture.writing;
}

}  // namespace

double held_bytes(const PlacedShoot& shoot) {
    constexpr double smallest_bytes = 20 * mb;  // measured: 22 MB with models, 13 MB without
    double bytes = smallest_bytes;
    for (const Mesh& mesh : shoot.meshes)
        bytes += static_cast<double>(
            sizeof(glm::vec3) *
                (mesh.positions.size() + mesh.normals.size() + mesh.bulges_m.size()) +
            (sizeof mesh.triangles[0] + sizeof mesh.material_of[0]) * mesh.triangles.size());
    return bytes;
}

MemoryNeed memory_need(const PlacedShoot& shoot, const RenderSettings& settings,
                       const std::vector<std::string>& only_takes, const PictureBytes& picture,
                       const Workshop& workshop) {
    const std::vector<const Take*> takes = wanted_takes(shoot, only_takes);
    Films films(shoot, takes);
    films.expose();
    MemoryNeed need;
    need.held = workshop.held_bytes + program_bytes +
                sky_bytes * static_cast<double>(films.skies()) +
                lamp_bytes * static_cast<double>(films.most_lamps());
    need.geometry = shoot.ground.kind == GroundKind::flat ? flat_ground_bytes : rough_ground_bytes;
    need.reading = workshop.held_bytes;
    for (const SurveyedSubject& surveyed : shoot.surveyed)
        need.reading += reading_bytes_of_triangle *
                        static_cast<double>(shoot.meshes[surveyed.subject].triangles.size());
    double vertices = 0.0;
    for (const Mesh& mesh : shoot.meshes) {
        vertices += static_cast<double>(mesh.positions.size());
        need.geometry += tree_bytes_of_triangle * static_cast<double>(mesh.triangles.size());
    }
    if (settings.bounces > 0)
        need.bounces =
            cache_bytes_of_vertex * vertices +
            cells_at_most *
                (cell_bytes + cell_bytes_of_source * static_cast<double>(films.most_lamps() + 1));
    need.films = films.most_bytes();
    need.defocus = films.defocus_bytes();
    need.kept = films.kept_bytes();
    for (std::size_t i = 0; i < takes.size(); ++i) {
        double of_take = reached_by_sky(shoot, settings_of(shoot, *takes[i]));
        for (const LitLamp& lit : films.lit()[i])
            of_take += reached_pixels(shoot.camera, films.f_numbers()[i], lit);
        add_trails(shoot.camera, of_take, need);
    }
    add_development(shoot, films.f_numbers(), picture, workshop.threads, need);
    return need;
}

MemoryNeed memory_to_develop(const Shoot& shoot, const std::vector<double>& f_numbers,
                             const std::vector<double>& trail_pixels, const PictureBytes& picture,
                             const Workshop& workshop) {
    MemoryNeed need;
    need.held = workshop.held_bytes + program_bytes;
    need.kept = static_cast<double>(f_numbers.size()) * film_bytes_px * pixels_of(shoot.camera);
    // Pixels of a file are kept in runs with others; thin trails in half-empty ones.
    constexpr double kept_for_one = 3.0;
    for (const double reached : trail_pixels)
        add_trails(shoot.camera, kept_for_one * reached, need);
    add_development(shoot, f_numbers, picture, workshop.threads, need);
    return need;
}

MemoryNeed memory_for_dusk(const Workshop& workshop) {
    MemoryNeed need;
    need.held = workshop.held_bytes + program_bytes;
    return need;
}

double seconds_needed(const PlacedShoot& shoot, const RenderSettings& settings,
                      const std::vector<std::string>& only_takes, int threads) {
    constexpr double start_s = 3.0;         // of one thread's work: ground, tree, skies
    constexpr double developed_s = 0.5e-6;  // a pixel and take
    constexpr double seen_s = 2e-6;         // a pixel and pass, at `good`
    constexpr double lit_s = 1e-6;          // a pixel and lamp, at `good`
    const std::vector<const Take*> takes = wanted_takes(shoot, only_takes);
    double lamps = 0.0;
    for (const Take* take : takes) lamps += static_cast<double>(lit_lamps(shoot, *take).size());
    const double passes = static_cast<double>(shared_passes(shoot, takes).size());
    const double effort = settings.quality == Quality::draft  ? 0.5
                          : settings.quality == Quality::good ? 1.0
                                                              : 6.0;
    const double a_pixel_s =
        effort * (passes * seen_s * (1.0 + 0.1 * settings.bounces) + lamps * lit_s) +
        static_cast<double>(takes.size()) * developed_s;
    return (start_s + pixels_of(shoot.camera) * a_pixel_s) / std::max(1, threads);
}

}  // namespace lampflight
