#include "cli/layers/film_reader.h"

#include <algorithm>
#include <optional>

#include <tbb/enumerable_thread_specific.h>

#include "cli/layers/file_light.h"

namespace lampflight {
namespace {

// Takes ask one after the other for a strip's rows, and those that the lens's reach adds to it.
constexpr int rows_held_for_all_takes = 96;

}  // namespace

/// A film as one thread reads it. Of one that takes share, the rows read last are held.
class FilmReader::OpenFilm {
public:
    OpenFilm(const ExrFile& file, const Film& film)
        : layer_(film.layer),
          width_(static_cast<std::size_t>(part_of(file, film).width())),
          top_(part_of(file, film).window.min.y),
          height_(part_of(file, film).height()),
          rows_at_once_(part_of(file, film).rows_at_once),
          held_(film.is_shared ? static_cast<std::size_t>(
                                     (rows_held_for_all_takes + rows_at_once_ - 1) / rows_at_once_)
                               : 1,
                -1),
          plane_(held_.size() * static_cast<std::size_t>(rows_at_once_) * width_),
          values_(new float[3 * plane_]),
          rows_(file, film.part, targets()) {}

    /// Of the picture's row; none where the file has none, which is dark.
    std::optional<ColourPlanes> row(int picture_y) {
        const int y = picture_y - top_;
        if (y < 0 || y >= height_) return std::nullopt;
        const int pack = y / rows_at_once_;
        const std::size_t slot = static_cast<std::size_t>(pack) % held_.size();
        const std::size_t first = slot * static_cast<std::size_t>(rows_at_once_);
        if (held_[slot] != pack) {
            held_[slot] = -1;
            rows_.read(y, first);
            const int count = std::min(rows_at_once_, height_ - pack * rows_at_once_);
            check_light(planes_from(first), static_cast<std::size_t>(count) * width_, layer_);
            held_[slot] = pack;
        }
        return planes_from(first + static_cast<std::size_t>(y % rows_at_once_));
    }

private:
    static const ExrPart& part_of(const ExrFile& file, const Film& film) {
        return file.parts()[static_cast<std::size_t>(film.part)];
    }

    std::vector<ExrTarget> targets() const {
        std::vector<ExrTarget> targets;
        for (std::size_t c = 0; c < 3; ++c)
            targets.push_back({layer_ + '.' + "RGB"[c], EXR_PIXEL_FLOAT, values_.get() + c * plane_,
                               sizeof(float), width_ * sizeof(float)});
        return targets;
    }

    ColourPlanes planes_from(std::size_t row) const {
        const float* const first = values_.get() + row * width_;
        return {{first, first + plane_, first + 2 * plane_}};
    }

    std::string layer_;
    std::size_t width_;
    int top_;
    int height_;
    int rows_at_once_;
    std::vector<int> held_;            ///< by slot, which rows packed together; -1 for none
    std::size_t plane_;                ///< samples of a colour
    std::unique_ptr<float[]> values_;  ///< colours apart, each slot after slot
    ExrRows rows_;
};

/// What a thread works with.
struct FilmReader::Thread {
    std::vector<std::unique_ptr<OpenFilm>> films;  ///< those that it has opened
    std::vector<PlanarFilmRow> rows = {};
    std::optional<ColourLines> room = {};
};

struct FilmReader::Threads {
    tbb::enumerable_thread_specific<Thread> each;
};

FilmReader::FilmReader(const ExrFile& file) : file_(file), threads_(std::make_unique<Threads>()) {}

FilmReader::~FilmReader() = default;

std::size_t FilmReader::add(int part, const std::string& layer) {
    const auto known = std::ranges::find_if(
        films_, [&](const Film& film) { return film.part == part && film.layer == layer; });
    const auto number = static_cast<std::size_t>(known - films_.begin());
    if (known != films_.end())
        known->is_shared = true;
    else
        films_.push_back({part, layer, false});
    return number;
}

void FilmReader::sum_row(const std::vector<FilmOfTake>& films, int y, Row sum) const {
    Thread& mine = threads_->each.local();
    mine.films.resize(films_.size());
    mine.rows.clear();
    for (const FilmOfTake& film : films) {
        std::unique_ptr<OpenFilm>& open = mine.films[film.film];
        if (!open) open = std::make_unique<OpenFilm>(file_, films_[film.film]);
        if (const auto planes = open->row(y)) mine.rows.push_back({*planes, film.gain, film.scale});
    }
    if (!mine.room) mine.room.emplace(sum.size());
    sum_film_rows(mine.rows, *mine.room, sum);
}

}  // namespace lampflight
