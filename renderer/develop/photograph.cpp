#include "renderer/develop/photograph.h"

#include <tbb/enumerable_thread_specific.h>
#include <tbb/parallel_for.h>
#include <tbb/parallel_invoke.h>

#include <algorithm>
#include <deque>
#include <utility>

#include "renderer/develop/take_development.h"

namespace lampflight {
namespace {

// Many for the reach of the lens's spread and of a mosaic, of which every strip reads more rows.
constexpr int strip_rows = 64;

void blend_rows(Blend blend, Row picture, ConstRow take, float share) {
    switch (blend) {
        case Blend::lighten:
            for (std::size_t x = 0; x < picture.size(); ++x)
                picture[x] = glm::max(picture[x], take[x]);
            return;
        case Blend::add:
            return add_scaled(picture, take, 1.0f);
        case Blend::mean:
            return add_scaled(picture, take, share);
    }
}

/// What a thread works with.
struct Strip {
    Image picture;
    Image take;
    TakeDevelopment::Room room;
};

/// The takes' pixels in some rows, blended.
void develop_strip(const Shoot& shoot, const std::deque<TakeDevelopment>& takes, int first,
                   Strip& strip) {
    const float share = 1.0f / static_cast<float>(std::max<std::size_t>(1, takes.size()));
    const Blend blend = shoot.photograph.blend;
    const int end = first + strip.picture.height;
    for (const TakeDevelopment& take : takes) {
        // The first take is where the picture begins: what it has below none is not lost to a
        // start at 0.
        if (&take == &takes.front()) {
            take.develop(first, end, strip.picture, strip.room);
            if (blend == Blend::mean)
                for (glm::vec3& pixel : strip.picture.pixels) pixel *= share;
        } else {
            take.develop(first, end, strip.take, strip.room);
            blend_rows(blend, strip.picture.pixels, strip.take.pixels, share);
        }
    }
}

}  // namespace

Image film_lxs(const Camera& camera, const ExposedTake& take) {
    const FilmRows rows(take);
    return PointSpread(camera, take.settings.f_number)
        .laid_on(rows.reading_surfaces(), lit_by_trails(rows));
}

void photograph(const Shoot& shoot, const std::vector<ExposedTake>& takes, Noise noise,
                const KeepRows& keep) {
    const glm::ivec2 size = shoot.camera.pixels;
    std::deque<FilmRows> film_rows;
    std::vector<ReadRow> films;
    for (const ExposedTake& take : takes)
        films.push_back(film_rows.emplace_back(take).reading_surfaces());
    std::vector<Image> halves;
    PointSpreads spreads(shoot.camera);
    tbb::parallel_invoke([&] { halves = halved(size.x, size.y, films); },
                         [&] {
                             for (const ExposedTake& take : takes)
                                 spreads.at(take.settings.f_number);
                         });
    std::deque<TakeDevelopment> developments;
    for (std::size_t i = 0; i < takes.size(); ++i)
        developments.emplace_back(shoot, spreads.at(takes[i].settings.f_number), takes[i], film_rows[i],
                                  std::move(halves[i]), noise);
    tbb::enumerable_thread_specific<Strip> strips;
    tbb::parallel_for(0, (size.y + strip_rows - 1) / strip_rows, [&](int number) {
        const int first = number * strip_rows;
        const int rows = std::min(strip_rows, size.y - first);
        Strip& strip = strips.local();
        if (strip.picture.height != rows) strip.picture = strip.take = Image(size.x, rows);
        develop_strip(shoot, developments, first, strip);
        keep(first, strip.picture);
    });
}

Image photograph(const Shoot& shoot, const std::vector<ExposedTake>& takes, Noise noise) {
    Image picture(shoot.camera.pixels.x, shoot.camera.pixels.y);
    photograph(shoot, takes, noise, [&](int first, const Image& rows) {
        std::ranges::copy(rows.pixels, &picture.at(0, first));
    });
    return picture;
}

}  // namespace lampflight
