#include "cli/layers/layers_plan.h"

#include <algorithm>
#include <map>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace lampflight {
namespace {

/// The rows between which a film has light; none for a dark one.
RowRange lit_rows(const Image& film) {
    const auto is_dark = [&](int y) {
        return std::ranges::all_of(film.row(y),
                                   [](const glm::vec3& pixel) { return pixel == glm::vec3(0.0f); });
    };
    RowRange rows{0, film.height};
    while (rows.first < rows.end && is_dark(rows.first)) ++rows.first;
    while (rows.first < rows.end && is_dark(rows.end - 1)) --rows.end;
    return rows;
}

/// Gives every film its part.
class FilmPlanner {
public:
    explicit FilmPlanner(const std::vector<ExposedTake>& takes) : takes_(takes) {
        for (std::size_t take = 0; take < takes.size(); ++take)
            for (const Layer& layer : takes[take].layers)
                for (const ScaledFilm& film : layer.films)
                    if (std::vector<std::size_t>& users = users_[film.film.get()];
                        users.empty() || users.back() != take)
                        users.push_back(take);
        for (const auto& [film, users] : users_) lit_.emplace(film, lit_rows(*film));
    }

    bool is_left_out(const Image* film) const { return lit_.at(film).is_empty(); }

    const std::string& part_of(const LayerId& layer, const Image* film) {
        const auto known = std::ranges::find(parts_, film, &FilmPart::film);
        if (known != parts_.end()) return known->name;
        const std::vector<std::size_t>& users = users_.at(film);
        parts_.push_back({free_name(users, layer), users, layer, film, lit_.at(film)});
        return parts_.back().name;
    }

    std::vector<FilmPart> take_parts() { return std::move(parts_); }

private:
    /// A layer of a take may have several films, for several sets of subjects.
    std::string free_name(const std::vector<std::size_t>& users, const LayerId& layer) const {
        std::vector<std::string> names;
        for (const std::size_t take : users) names.push_back(takes_[take].name);
        const std::string name = fmt::format("{}: {}", fmt::join(names, " + "), layer.text());
        std::string free = name;
        for (int count = 2; std::ranges::find(parts_, free, &FilmPart::name) != parts_.end();
             ++count)
            free = fmt::format("{} ({})", name, count);
        return free;
    }

    const std::vector<ExposedTake>& takes_;
    std::map<const Image*, std::vector<std::size_t>> users_;
    std::map<const Image*, RowRange> lit_;
    std::vector<FilmPart> parts_;
};

TrailPart trail_part(const std::string& take_name, std::size_t take, const Layer& layer) {
    const std::string name = fmt::format("{}: {}", take_name, layer.id.text());
    return {take,
            layer.id,
            layer.trail->pixels(),
            layer.trail->side(),
            name,
            name + " by sensor pixel"};
}

}  // namespace

LayersPlan layers_plan(const std::vector<ExposedTake>& takes) {
    LayersPlan plan;
    FilmPlanner films(takes);
    for (std::size_t i = 0; i < takes.size(); ++i) {
        TakeInFile take{takes[i].name};
        for (const Layer& layer : takes[i].layers) {
            LayerInFile listed{layer.id};
            for (const auto& [film, scale] : layer.films)
                if (!films.is_left_out(film.get()))
                    listed.films.push_back(
                        {films.part_of(layer.id, film.get()), static_cast<double>(scale)});
            if (layer.trail) {
                TrailPart trail = trail_part(takes[i].name, i, layer);
                const bool reached = !trail.pixels.empty();
                listed.trail =
                    TrailInFile{reached ? trail.parts_name : "",
                                static_cast<std::int64_t>(trail.pixels.size()), trail.parts_across};
                if (reached) plan.trails.push_back(std::move(trail));
            }
            take.layers.push_back(std::move(listed));
        }
        plan.takes.push_back(std::move(take));
    }
    plan.films = films.take_parts();
    return plan;
}

}  // namespace lampflight
