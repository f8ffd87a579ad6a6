// Written paths as a second reader sees them: GDAL's ogr2ogr (Debian's gdal-bin).
#include <doctest/doctest.h>

#include <cmath>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include <unistd.h>

#include "scene/flights/files/write_path_file.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

const GeoFrame ridge(50.1, 8.2, 480.0);

PathRecord climbing_record() {
    PathRecord record{"climb", {}, 1.5};
    for (int i = 0; i < 200; ++i) {
        PathSample sample;
        sample.at_m = {2000.0 + 40.0 * std::sin(0.1 * i), -40.0 * std::cos(0.1 * i), 0.25 * i};
        sample.time_s = 0.5 * i;
        sample.speed_m_s = 2.0;
        sample.lit = i < 60 || i > 70;
        record.samples.push_back(sample);
    }
    return record;
}

/// The points that ogr2ogr finds in a written file, as longitude, latitude, height. `layer` is the
/// one of points or lines; an empty one stands for all.
std::vector<Vec3> points_seen(PathFormat format, const std::string& name,
                              const std::string& layer) {
    const auto text = path_text({climbing_record()}, format, ridge, "climb");
    REQUIRE(text.has_value());
    const std::filesystem::path file =
        std::filesystem::temp_directory_path() / std::to_string(::getpid()).append(name);
    std::ofstream(file, std::ios::binary) << *text;
    const std::string command =
        "ogr2ogr --config GPX_ELE_AS_25D YES -f GeoJSON /vsistdout/ -lco COORDINATE_PRECISION=12 " +
        file.string() + " " + layer;
    std::FILE* const pipe = ::popen(command.c_str(), "r");
    REQUIRE(pipe != nullptr);
    std::string seen;
    for (int letter = std::fgetc(pipe); letter != EOF; letter = std::fgetc(pipe))
        seen += static_cast<char>(letter);
    CHECK(::pclose(pipe) == 0);
    std::filesystem::remove(file);

    // Coordinates are the only lists of three numbers.
    std::vector<Vec3> points;
    for (std::size_t at = seen.find("\"coordinates\""); at != std::string::npos;
         at = seen.find("\"coordinates\"", at + 1)) {
        const std::size_t end = seen.find('}', at);
        std::string numbers = seen.substr(at + 14, end - at - 14);
        for (char& letter : numbers)
            if (letter == '[' || letter == ']' || letter == ',' || letter == ':') letter = ' ';
        std::istringstream stream(numbers);
        for (Vec3 point; stream >> point.x >> point.y >> point.z;) points.push_back(point);
    }
    return points;
}

void check_points(const std::vector<Vec3>& seen, double above_sea_at_zero_m) {
    const PathRecord record = climbing_record();
    REQUIRE(seen.size() == record.samples.size());
    for (std::size_t i = 0; i < seen.size(); ++i) {
        const Vec3 world_m = ridge.world_m({seen[i].y, seen[i].x, seen[i].z});
        const Vec3 expected = record.samples[i].at_m + Vec3(0, 0, above_sea_at_zero_m - 480.0);
        CHECK_WITHIN(world_m, expected, 0.01);
    }
}

}  // namespace

TEST_CASE("GDAL reads written paths within a centimetre") {
    check_points(points_seen(PathFormat::geojson, "a.geojson", ""), 480.0);
    check_points(points_seen(PathFormat::gpx, "a.gpx", "track_points"), 480.0);
    check_points(points_seen(PathFormat::kml, "a.kml", ""), -1.5);
}
