#include "renderer/film/disc_drawing.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <utility>

#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>

#include "scene/basics/angle.h"

namespace lampflight {
namespace {

constexpr double shift_parts = 0.25;
constexpr double shift_radii = 1.0 / 512.0;

// From here on a disc's sum over parts is its area to 0.03 %, and the running sum is cheaper.
constexpr double wide_parts = 32.0;

constexpr int band_px = 8;
constexpr std::size_t looks_every = 256;  // discs, for whether to stop
constexpr std::size_t most_queued = 65536;

/// A disc in the film's parts.
struct PartDisc {
    glm::dvec2 centre;
    double reach;           ///< where its soft edge ends; it begins one part within
    double per_part = 0.0;  ///< of the deposit
    glm::vec3 deposit;

    bool is_wide() const { return reach > wide_parts + 0.5; }

    double weight(int x, int y) const {
        const double dx = x + 0.5 - centre.x;
        const double dy = y + 0.5 - centre.y;
        return std::clamp(reach - std::sqrt(dx * dx + dy * dy), 0.0, 1.0);
    }
};

/// Some rows of parts of a film, the second not among them.
struct PartRows {
    int from, to;
};

/// Whole numbers within bounds; places far outside the frame are too large for an integer.
int floored(double place, int low, int high) {
    return static_cast<int>(std::clamp(std::floor(place), 1.0 * low, 1.0 * high));
}

/// Sum of a narrow disc's weights, outside the frame as well.
double weights_of(const PartDisc& disc) {
    const auto x0 = static_cast<int>(std::floor(disc.centre.x - disc.reach));
    const auto x1 = static_cast<int>(std::floor(disc.centre.x + disc.reach));
    const auto y0 = static_cast<int>(std::floor(disc.centre.y - disc.reach));
    const auto y1 = static_cast<int>(std::floor(disc.centre.y + disc.reach));
    double total = 0.0;
    for (int y = y0; y <= y1; ++y)
        for (int x = x0; x <= x1; ++x) total += disc.weight(x, y);
    return total;
}

/// `per_part` is 0 where none of it reaches the film.
PartDisc part_disc(const FilmDisc& disc, const TrailFilm& film) {
    const double side = film.side();
    // A disc narrower than a part could slip between the middles of four.
    PartDisc made{disc.centre_px * side, std::max(disc.radius_px * side, 0.5) + 0.5, 0.0,
                  disc.deposit};
    const glm::dvec2 parts = side * glm::dvec2(film.width(), film.height());
    const bool outside = glm::any(glm::lessThan(made.centre + made.reach, glm::dvec2(0.0))) ||
                         glm::any(glm::greaterThanEqual(made.centre - made.reach, parts));
    if (outside || !std::isfinite(made.reach)) return made;
    // Of a wide one the volume of a truncated cone.
    const double total =
        made.is_wide() ? pi * (made.reach * (made.reach - 1.0) + 1.0 / 3.0) : weights_of(made);
    if (total > 0.0) made.per_part = side * side / total;
    return made;
}

void add_narrow(const PartDisc& disc, const PartRows& rows, TrailFilm& film) {
    const int last = film.width() * film.side() - 1;
    const int x0 = floored(disc.centre.x - disc.reach, 0, last + 1);
    const int x1 = floored(disc.centre.x + disc.reach, -1, last);
    const int y0 = floored(disc.centre.y - disc.reach, rows.from, rows.to);
    const int y1 = floored(disc.centre.y + disc.reach, rows.from - 1, rows.to - 1);
    for (int y = y0; y <= y1; ++y)
        for (int x = x0; x <= x1; ++x)
            if (const double share = disc.weight(x, y); share > 0.0)
                film.part(x, y) += static_cast<float>(share * disc.per_part) * disc.deposit;
}

/// One row of parts under wide discs.
class WideLine {
public:
    explicit WideLine(int parts) : parts_(static_cast<std::size_t>(parts) + 1) {}

    void add(const PartDisc& disc, int y) {
        const double dy = y + 0.5 - disc.centre.y;
        const double outer = disc.reach * disc.reach - dy * dy;
        if (outer <= 0.0) return;
        const int end = static_cast<int>(parts_.size()) - 1;
        // Middles of parts from one place to another, as those parts from the first to before the
        // second.
        const auto from = [&](double place) { return floored(place + 0.5, 0, end); };
        const double half = std::sqrt(outer);
        const int first = from(disc.centre.x - half);
        const int last = from(disc.centre.x + half);
        if (first >= last) return;
        first_ = std::min(first_, first);
        last_ = std::max(last_, last);
        const double full = disc.reach - 1.0;
        const double inner = full * full - dy * dy;
        int flat_from = last, flat_to = last;
        if (inner > 0.0) {
            flat_from = std::clamp(from(disc.centre.x - std::sqrt(inner)), first, last);
            flat_to = std::clamp(from(disc.centre.x + std::sqrt(inner)), flat_from, last);
        }
        const glm::dvec3 deposit = disc.per_part * glm::dvec3(disc.deposit);
        add_soft(disc, y, first, flat_from, deposit);
        add_soft(disc, y, flat_to, last, deposit);
        if (flat_from == flat_to) return;
        at(flat_from).step += deposit;
        at(flat_to).step -= deposit;
        ++at(flat_from).opened;
        --at(flat_to).opened;
    }

    /// Adds the row to the film and clears it.
    void lay(int y, TrailFilm& film) {
        if (first_ >= last_) return;
        row_.clear();
        glm::dvec3 level(0.0);
        int open = 0;
        for (int x = first_; x < last_; ++x) {
            Part& part = at(x);
            open += part.opened;
            // Rounding leaves nothing where no disc is.
            level = open > 0 ? level + part.step : glm::dvec3(0.0);
            row_.emplace_back(part.soft + glm::max(level, 0.0));
            part = {};
        }
        at(last_) = {};
        film.add_row(first_, y, row_);
        first_ = static_cast<int>(parts_.size());
        last_ = 0;
    }

private:
    struct Part {
        glm::dvec3 soft{0.0};  ///< light of edges
        glm::dvec3 step{0.0};  ///< by how much the level of what is within edges differs from here
        int opened = 0;        ///< discs whose inside begins here, less those whose ends
    };

    Part& at(int x) { return parts_[static_cast<std::size_t>(x)]; }

    void add_soft(const PartDisc& disc, int y, int from, int to, const glm::dvec3& deposit) {
        for (int x = from; x < to; ++x) at(x).soft += disc.weight(x, y) * deposit;
    }

    std::vector<Part> parts_;  ///< one more than the row has, where what leaves the frame ends
    std::vector<glm::vec3> row_;
    int first_ = static_cast<int>(parts_.size());
    int last_ = 0;
};

/// Some of it where stopped.
void add_band(std::span<const PartDisc> discs, const std::vector<std::uint32_t>& of_band,
              const PartRows& rows, TrailFilm& film, const std::stop_token& stop) {
    std::vector<const PartDisc*> wide;
    for (std::size_t i = 0; i < of_band.size(); ++i) {
        if (i % looks_every == 0 && stop.stop_requested()) return;
        const PartDisc& disc = discs[of_band[i]];
        if (disc.is_wide())
            wide.push_back(&disc);
        else
            add_narrow(disc, rows, film);
    }
    if (wide.empty()) return;
    WideLine line(film.width() * film.side());
    for (int y = rows.from; y < rows.to; ++y) {
        for (std::size_t i = 0; i < wide.size(); ++i) {
            if (i % (16 * looks_every) == 0 && stop.stop_requested()) return;
            line.add(*wide[i], y);
        }
        line.lay(y, film);
    }
}

}  // namespace

double finest_shift_px(double radius_px, int side) {
    return std::max(shift_parts / side, shift_radii * radius_px);
}

bool add_discs(std::span<const FilmDisc> discs, TrailFilm& film, const std::stop_token& stop) {
    std::vector<PartDisc> made(discs.size());
    tbb::parallel_for(tbb::blocked_range<std::size_t>(0, discs.size(), looks_every),
                      [&](const tbb::blocked_range<std::size_t>& some) {
                          if (stop.stop_requested()) return;
                          for (std::size_t i = some.begin(); i < some.end(); ++i)
                              made[i] = part_disc(discs[i], film);
                      });
    if (stop.stop_requested()) return false;
    const int band_parts = band_px * film.side();
    const int bands = (film.height() + band_px - 1) / band_px;
    std::vector<std::vector<std::uint32_t>> of_band(static_cast<std::size_t>(bands));
    for (std::size_t i = 0; i < made.size(); ++i) {
        const PartDisc& disc = made[i];
        if (disc.per_part <= 0.0 || disc.deposit == glm::vec3(0.0f)) continue;
        const int first = floored((disc.centre.y - disc.reach) / band_parts, 0, bands);
        const int last = floored((disc.centre.y + disc.reach) / band_parts, -1, bands - 1);
        for (int band = first; band <= last; ++band)
            of_band[static_cast<std::size_t>(band)].push_back(static_cast<std::uint32_t>(i));
    }
    tbb::parallel_for(0, bands, [&](int band) {
        const PartRows rows{band * band_parts,
                            std::min((band + 1) * band_parts, film.height() * film.side())};
        add_band(made, of_band[static_cast<std::size_t>(band)], rows, film, stop);
    });
    return !stop.stop_requested();
}

void DiscQueue::Joined::add(const FilmDisc& disc) {
    const double share = static_cast<double>(disc.deposit.x + disc.deposit.y + disc.deposit.z);
    if (light == 0.0) first = disc;
    light += share;
    centre_px += share * disc.centre_px;
    radius_px += share * disc.radius_px;
    deposit += glm::dvec3(disc.deposit);
}

FilmDisc DiscQueue::Joined::disc() const {
    return {centre_px / light, radius_px / light, glm::vec3(deposit)};
}

DiscQueue::DiscQueue(TrailFilm& film, std::stop_token stop) : film_(film), stop_(std::move(stop)) {}

bool DiscQueue::add(const FilmDisc& disc) {
    if (disc.deposit == glm::vec3(0.0f)) return true;
    const double shift_px = finest_shift_px(disc.radius_px, film_.side());
    // What is drawn in shifts of the part is narrow: it keeps each of its discs.
    if (shift_px <= finest_shift_px(0.0, film_.side())) return push_joined() && push(disc);
    const FilmDisc& first = joined_.first;
    if (joined_.light > 0.0 && (glm::distance(first.centre_px, disc.centre_px) > shift_px ||
                                std::abs(first.radius_px - disc.radius_px) > shift_px))
        if (!push_joined()) return false;
    joined_.add(disc);
    return true;
}

bool DiscQueue::push_joined() {
    if (joined_.light <= 0.0) return true;
    const FilmDisc disc = joined_.disc();
    joined_ = {};
    return push(disc);
}

bool DiscQueue::push(const FilmDisc& disc) {
    discs_.push_back(disc);
    if (discs_.size() < most_queued) return true;
    const bool laid = add_discs(discs_, film_, stop_);
    discs_.clear();
    return laid;
}

bool DiscQueue::finish() {
    if (!push_joined()) return false;
    const bool laid = add_discs(discs_, film_, stop_);
    discs_.clear();
    return laid;
}

}  // namespace lampflight
