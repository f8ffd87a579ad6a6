// A small file of layers, and what is read from it.
#pragma once

#include <unistd.h>
#include <filesystem>
#include <fstream>
#include <sstream>

#include <doctest/doctest.h>

#include "cli/layers/read_layers.h"
#include "cli/layers/write_layers.h"
#include "renderer/develop/photograph.h"
#include "tests/film.h"
#include "tests/icosphere.h"

namespace lampflight {

/// A file name of its own, removed at the end.
class TemporaryFile {
public:
    TemporaryFile()
        : path_(std::filesystem::temp_directory_path() /
                ("lampflight-layers-" + std::to_string(::getpid()))) {}
    ~TemporaryFile() { std::filesystem::remove(path_); }
    TemporaryFile(const TemporaryFile&) = delete;
    TemporaryFile& operator=(const TemporaryFile&) = delete;
    const std::filesystem::path& path() const { return path_; }

private:
    std::filesystem::path path_;
};

/// Three takes, of which two share the light of the sky, with a flown lamp, a standing lamp and a
/// ball that stays for a part of one take.
inline PlacedShoot three_takes() {
    PlacedShoot shoot = dark_shoot({48, 32});
    shoot.title = "Balls and lamps";
    shoot.sky.horizontal_lx = 0.02;
    shoot.camera.sensor_pixels_across = 3.0;
    shoot.camera.position_m = {0.0, -9.0, 1.5};
    shoot.camera.look_at_m = Vec3(0.0, 0.0, 2.0);
    shoot.camera.shutter_s = 4.0;
    stand(shoot, bare_lamp("low", 3.0), {1.0, 1.0, 0.6});
    Flight flight;
    flight.height_m = 4.0;
    flight.radius_m = 2.0;
    flight.lap_s = 4.0;
    fly(shoot, bare_lamp("high", 40.0), flight);
    add_subject(shoot, "ball", icosphere({0.0, 0.0, 0.8}, 0.8, 2, false));
    add_subject(shoot, "guest", icosphere({2.0, 0.0, 0.5}, 0.5, 2, false));
    shoot.subjects.back().present_s = TimeWindows{{0.0, 1.5}};
    Take second = shoot.takes.front();
    second.name = "second";
    second.shutter_s = 2.5;
    Take third = shoot.takes.front();
    third.name = "third";
    third.subjects = {"ball"};
    third.flights.clear();
    shoot.takes.push_back(second);
    shoot.takes.push_back(third);
    shoot.photograph.takes = {"take", "second", "third"};
    shoot.photograph.blend = Blend::add;
    return shoot;
}

struct Exposed {
    PlacedShoot shoot = three_takes();
    std::vector<ExposedTake> takes = *expose(shoot, {Quality::draft, 1});
};

inline const Exposed& exposed_once() {
    static const Exposed once;
    return once;
}

inline std::string bytes_of(const LayersSource& source, SampleType type) {
    const TemporaryFile file;
    REQUIRE(write_layers(file.path(), source, type, {}));
    std::ifstream stream(file.path(), std::ios::binary);
    std::ostringstream text;
    text << stream.rdbuf();
    return text.str();
}

inline std::string bytes_of(SampleType type) {
    const Exposed& exposed = exposed_once();
    return bytes_of({exposed.shoot,
                     exposed.takes,
                     "title = \"Balls and lamps\"\n",
                     "balls.toml",
                     {{"camera.iso", "800"}},
                     {Quality::draft, 1}},
                    type);
}

inline std::optional<glm::vec3> as_it_is(const std::string&, const LayerId&) {
    return glm::vec3(1.0f);
}

inline LayersFile opened(const std::string& bytes) {
    auto file = LayersFile::in_memory(bytes);
    if (const auto* wrong = std::get_if<std::string>(&file)) FAIL(*wrong);
    return std::get<LayersFile>(std::move(file));
}

/// All takes of a file, or what is said of them.
inline std::variant<std::vector<ExposedTake>, std::string> read_all(
    LayersFile& file, const LayerGain& gain = as_it_is) {
    std::vector<const TakeInFile*> listed;
    for (const TakeInFile& take : file.manifest().takes) listed.push_back(&take);
    return file.takes(listed, gain);
}

inline std::vector<ExposedTake> takes_of(LayersFile& file, const LayerGain& gain = as_it_is) {
    auto read = read_all(file, gain);
    if (const auto* wrong = std::get_if<std::string>(&read)) FAIL(*wrong);
    auto takes = std::get<std::vector<ExposedTake>>(std::move(read));
    for (ExposedTake& take : takes)
        for (const ExposedTake& before : exposed_once().takes)
            if (before.name == take.name) take.settings = before.settings;
    return takes;
}

/// A take's film before the lens spreads it.
inline Image film_of(const ExposedTake& take) {
    const FilmRows rows(take);
    Image film(rows.width(), rows.height());
    for (int y = 0; y < film.height; ++y) {
        rows.read_surfaces(y, film.row(y));
        for (const TrailPixel& pixel : rows.trails(y)) film.at(pixel.x, y) += pixel.mean_lxs;
    }
    return film;
}

/// What is said of takes and all their light; empty when all is well.
inline std::string said_of_light(LayersFile& file) {
    const auto takes = read_all(file);
    if (const auto* wrong = std::get_if<std::string>(&takes)) return *wrong;
    return "";
}

inline bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

}  // namespace lampflight
