#include "cli/film_reader.h"

#include <array>
#include <cstdint>
#include <cstring>
#include <map>
#include <utility>

#include <Imath/half.h>
#include <OpenEXR/ImfChannelList.h>
#include <OpenEXR/ImfFrameBuffer.h>
#include <OpenEXR/ImfHeader.h>
#include <OpenEXR/ImfInputPart.h>
#include <OpenEXR/ImfMultiPartInputFile.h>
#include <tbb/enumerable_thread_specific.h>

#include "cli/file_light.h"
#include "cli/unfit_layers.h"

namespace lampflight {
namespace {

/// Samples of a row, one channel after the other.
struct ChannelPlace {
    std::size_t offset;
    Imf::PixelType type;
};

[[noreturn]] void refuse_change() {
    throw UnfitLayers{"it changed while it was read"};
}

std::size_t sample_bytes(Imf::PixelType type) {
    return type == Imf::HALF ? 2 : 4;
}

/// At any address.
void floats_from_halves(const char* halves, std::size_t count, float* to) {
    for (std::size_t i = 0; i < count; ++i) {
        std::uint16_t bits;
        std::memcpy(&bits, halves + sizeof bits * i, sizeof bits);
        to[i] = imath_half_to_float(bits);
    }
}

/// Rows of a part that a thread holds: what takes ask for one after the other, and share.
constexpr std::size_t held_rows = 64;

/// A part of the file, of which the rows read last are held.
class PartRows {
public:
    PartRows(Imf::MultiPartInputFile& file, int number, std::size_t width)
        : part_(file, number), is_plain_(part_.header().compression() == Imf::NO_COMPRESSION) {
        // Looked over when the file was opened; it may have been written to since.
        const Imath::Box2i& window = part_.header().dataWindow();
        if (window.min.x != 0 || window.max.x + 1 != static_cast<int>(width)) refuse_change();
        const Imf::ChannelList& channels = part_.header().channels();
        std::size_t size = 0;
        for (auto i = channels.begin(); i != channels.end(); ++i) {
            is_plain_ &= i.channel().xSampling == 1 && i.channel().ySampling == 1;
            places_[i.name()] = {size, i.channel().type};
            size += width * sample_bytes(i.channel().type);
        }
        row_bytes_ = size;
        rows_.resize(held_rows * size);
        held_.fill(-1);
    }

    ChannelPlace place_of(const std::string& channel) const {
        const auto place = places_.find(channel);
        if (place == places_.end()) refuse_change();
        return place->second;
    }

    const char* row(int y) {
        const std::size_t slot = static_cast<std::size_t>(y) % held_rows;
        char* const row = rows_.data() + slot * row_bytes_;
        if (y != held_[slot]) {
            held_[slot] = -1;
            if (is_plain_)
                read_as_it_is(y, row);
            else
                unpack(y, row);
            held_[slot] = y;
        }
        return row;
    }

private:
    /// A row that is not packed lies in the file as we want it.
    void read_as_it_is(int y, char* row) {
        int size = static_cast<int>(row_bytes_);
        part_.rawPixelDataToBuffer(y, row, size);
        if (static_cast<std::size_t>(size) != row_bytes_)
            throw UnfitLayers{"it is damaged (a row is too short)"};
    }

    void unpack(int y, char* row) {
        Imf::FrameBuffer buffer;
        for (const auto& [name, place] : places_)
            if (const Imf::Channel* channel = part_.header().channels().findChannel(name);
                channel->xSampling == 1 && channel->ySampling == 1)
                buffer.insert(name, Imf::Slice(place.type, row + place.offset,
                                               sample_bytes(place.type), 0));
        part_.setFrameBuffer(buffer);
        part_.readPixels(y);
    }

    Imf::InputPart part_;
    bool is_plain_;
    std::map<std::string, ChannelPlace> places_;
    std::size_t row_bytes_ = 0;
    std::vector<char> rows_;
    std::array<int, held_rows> held_{};
};

}  // namespace

/// The file as one thread has it.
class FilmReader::OpenFile {
public:
    OpenFile(std::unique_ptr<ExrInput> input, const std::vector<Film>& films, std::size_t width)
        : input_(std::move(input)), file_(*input_, no_threads, repair_offsets) {
        planes_.fill(std::vector<float>(width));
        for (const Film& film : films) {
            PartRows& part = parts_.try_emplace(film.part, file_, film.part, width).first->second;
            films_.push_back({part, {}});
            for (std::size_t c = 0; c < 3; ++c)
                films_.back().colours[c] = part.place_of(film.layer + '.' + "RGB"[c]);
        }
    }

    ColourPlanes planes(std::size_t film, int y) {
        const char* const row = films_[film].part.row(y);
        for (std::size_t c = 0; c < 3; ++c) {
            const auto [offset, type] = films_[film].colours[c];
            std::vector<float>& plane = planes_[c];
            if (type == Imf::HALF)
                floats_from_halves(row + offset, plane.size(), plane.data());
            else
                std::memcpy(plane.data(), row + offset, plane.size() * sizeof(float));
        }
        return {{planes_[0].data(), planes_[1].data(), planes_[2].data()}};
    }

private:
    static constexpr int no_threads = 0;
    static constexpr bool repair_offsets = false;

    struct PlacedFilm {
        PartRows& part;
        std::array<ChannelPlace, 3> colours;
    };

    std::unique_ptr<ExrInput> input_;
    Imf::MultiPartInputFile file_;
    std::map<int, PartRows> parts_;
    std::vector<PlacedFilm> films_;
    std::array<std::vector<float>, 3> planes_;
};

struct FilmReader::OpenFiles {
    tbb::enumerable_thread_specific<std::unique_ptr<OpenFile>> each;
};

FilmReader::FilmReader(Open open, int width)
    : open_(std::move(open)),
      width_(static_cast<std::size_t>(width)),
      files_(std::make_unique<OpenFiles>()) {}

FilmReader::~FilmReader() = default;

std::size_t FilmReader::add(int part, const std::string& layer) {
    films_.push_back({part, layer});
    return films_.size() - 1;
}

FilmReader::OpenFile& FilmReader::mine() const {
    std::unique_ptr<OpenFile>& file = files_->each.local();
    if (!file) file = std::make_unique<OpenFile>(open_(), films_, width_);
    return *file;
}

void FilmReader::add_row(const std::vector<FilmOfTake>& films, int y, Row sum) const {
    const auto read = guarded([&] {
        OpenFile& file = mine();
        for (const FilmOfTake& film : films) {
            const ColourPlanes planes = file.planes(film.film, y);
            check_light(planes, sum.size(), films_[film.film].layer);
            add_film_row(sum, planes, film.gain, film.scale);
        }
        return true;
    });
    if (const auto* wrong = std::get_if<std::string>(&read)) throw UnfitLayers{*wrong};
}

}  // namespace lampflight
